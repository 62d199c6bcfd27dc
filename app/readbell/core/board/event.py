"""Whatever a journal may hold, as one type."""

from __future__ import annotations

from readbell.core.assay.events import AssayAdopted
from readbell.core.board.events import BoardEvent
from readbell.core.cartridge.events import CartridgeEvent
from readbell.core.people.events import OperatorRegistered, PartyRegistered, PersonRegistered
from readbell.core.policy.events import PolicySet
from readbell.core.stock.events import LotHeld, LotOpened, LotReceived

Event = (
    BoardEvent
    | CartridgeEvent
    | PolicySet
    | AssayAdopted
    | OperatorRegistered
    | PersonRegistered
    | PartyRegistered
    | LotReceived
    | LotHeld
    | LotOpened
)
