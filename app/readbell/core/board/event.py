"""Whatever a journal may hold, as one type."""

from __future__ import annotations

from readbell.core.assay.events import AssayAdopted
from readbell.core.board.events import BoardEvent
from readbell.core.cartridge.events import CartridgeEvent
from readbell.core.climate.events import ClimateEvent
from readbell.core.controls.events import SampleEvent
from readbell.core.exports.events import ResultsExported
from readbell.core.keeping.events import KeepingEvent
from readbell.core.paper.events import PaperRunEntered
from readbell.core.people.events import (
    OperatorRegistered,
    PartyRegistered,
    PatientEvent,
    PersonRegistered,
)
from readbell.core.policy.events import PolicySet
from readbell.core.practice.events import PracticeEvent
from readbell.core.results.telling import ResultTold
from readbell.core.review.events import MixUpFound, ReviewEvent
from readbell.core.shift.events import ShiftEvent
from readbell.core.staff.events import StaffEvent
from readbell.core.starts.events import StartsEvent
from readbell.core.stations.events import StationsEvent
from readbell.core.stock.events import LotHeld, LotOpened, LotReceived, StockEvent

Event = (
    BoardEvent
    | CartridgeEvent
    | PolicySet
    | PracticeEvent
    | StaffEvent
    | ReviewEvent
    | MixUpFound
    | ResultTold
    | ClimateEvent
    | AssayAdopted
    | OperatorRegistered
    | PersonRegistered
    | PartyRegistered
    | PatientEvent
    | PaperRunEntered
    | ResultsExported
    | LotReceived
    | LotHeld
    | LotOpened
    | StockEvent
    | SampleEvent
    | StartsEvent
    | ShiftEvent
    | KeepingEvent
    | StationsEvent
)
