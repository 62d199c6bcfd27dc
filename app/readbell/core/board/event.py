"""Whatever a journal may hold, as one type."""

from __future__ import annotations

from readbell.core.assay.events import AssayAdopted
from readbell.core.board.events import BoardEvent
from readbell.core.cartridge.events import CartridgeEvent
from readbell.core.climate.events import ClimateEvent
from readbell.core.controls.events import SampleEvent
from readbell.core.paper.events import PaperRunEntered
from readbell.core.people.events import (
    OperatorRegistered,
    PartyRegistered,
    PatientEvent,
    PersonRegistered,
)
from readbell.core.policy.events import PolicySet
from readbell.core.review.events import ReviewEvent
from readbell.core.shift.events import ShiftEvent
from readbell.core.staff.events import StaffEvent
from readbell.core.starts.events import StartsEvent
from readbell.core.stock.events import LotHeld, LotOpened, LotReceived, StockEvent

Event = (
    BoardEvent
    | CartridgeEvent
    | PolicySet
    | StaffEvent
    | ReviewEvent
    | ClimateEvent
    | AssayAdopted
    | OperatorRegistered
    | PersonRegistered
    | PartyRegistered
    | PatientEvent
    | PaperRunEntered
    | LotReceived
    | LotHeld
    | LotOpened
    | StockEvent
    | SampleEvent
    | StartsEvent
    | ShiftEvent
)
