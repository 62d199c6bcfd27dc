"""The desk of a bay without a screen: lines in, answers out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, assert_never

from readbell.bay.paper_desk import act_of_paper
from readbell.bay.patient_desk import patient_desk
from readbell.bay.shift_desk import ShiftDesk
from readbell.bay.staff_desk import StaffDesk
from readbell.bay.stock_desk import stock_desk
from readbell.core.assay.events import Basis
from readbell.core.board.acts import (
    AdoptAssay,
    HearAlert,
    MuteSound,
    ReceiveLot,
    RegisterOperator,
    RegisterParty,
    TryAlarm,
    Unmute,
)
from readbell.core.instant import earlier
from readbell.core.private import Private
from readbell.core.shift.checks import Facts
from readbell.scenarios.climate_lines import TemperatureLine
from readbell.scenarios.line import (
    AdoptionLine,
    EntryLine,
    HearLine,
    LotLine,
    MuteLine,
    OpenLotLine,
    OperatorLine,
    PartyLine,
    TestAlarmLine,
    UnmuteLine,
)
from readbell.scenarios.paper_lines import PaperRunLine
from readbell.scenarios.patient_lines import PatientLine, PersonLine
from readbell.scenarios.plan_loading import DropPlanLine, LoadPlanLine
from readbell.scenarios.sample_lines import SampleLine
from readbell.scenarios.shift_lines import ShiftLine
from readbell.scenarios.staff_lines import (
    CompetenceLine,
    LockLine,
    PinLine,
    RecordLine,
    ReleaseLine,
    RetireLine,
    RolesLine,
    SignInLine,
    SignOutLine,
    UnlockLine,
    WithdrawLine,
)
from readbell.scenarios.stock_lines import StockLine

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.bay import Bay
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import Answer
    from readbell.bay.pins import Pins
    from readbell.core.assay.assay import Assay
    from readbell.core.board.acts import Act, SoundAct
    from readbell.core.board.board import Board
    from readbell.scenarios.line import Request, SoundLine


def nothing_known(_: Board) -> Facts:
    """Return what is known of a computer that nobody has looked at: nothing."""
    return Facts()


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """Turns lines into acts.

    Attributes:
        find_assay: gives the assay of an id, and its content hash.
        pins: keeps the PINs of the bay's operators; None where none can be.
    """

    identifiers: Identifiers
    find_assay: Callable[[str], tuple[Assay, str]]
    pins: Pins | None = None
    look_about: Callable[[Board], Facts] = nothing_known
    """Says what the computer says of itself when a shift is opened."""

    async def serve(self, bay: Bay, line: Request) -> Answer:
        """Do what `line` asks.

        Raises:
            WrongFileError: the line names an assay that is not at hand.
        """
        if isinstance(line, StockLine | SampleLine):
            return await bay.do(stock_desk(bay, self._private).act_of(line))
        if isinstance(line, PaperRunLine):
            return await bay.do(act_of_paper(bay, line, self.identifiers.new("paper")))
        if isinstance(line, PatientLine | PersonLine):
            return await bay.do(patient_desk(bay, self._private).act_of(line))
        if isinstance(line, ShiftLine):
            desk = ShiftDesk(look_about=self.look_about, private=self._private)
            return await desk.serve(bay, line)
        match line:
            case EntryLine():
                entry = line.entry
                if line.ago is not None:
                    entry = replace(entry, done_at=earlier(bay.now(), line.ago))
                return await bay.enter(entry)
            case OpenLotLine():
                return await bay.enter(line.to_entry())
            case TemperatureLine() | LoadPlanLine() | DropPlanLine():
                return await bay.do(line.to_act())
            case (
                RolesLine()
                | RetireLine()
                | PinLine()
                | SignInLine()
                | SignOutLine()
                | LockLine()
                | UnlockLine()
                | CompetenceLine()
                | RecordLine()
                | ReleaseLine()
                | WithdrawLine()
            ):
                return await StaffDesk(pins=self.pins, private=self._private).serve(bay, line)
            case TestAlarmLine(heard=None):
                return await bay.ring_test()
            case HearLine() | MuteLine() | UnmuteLine() | TestAlarmLine():
                return await bay.do(_on_sound(line))
            case _:
                return await bay.do(self._act(line))

    def _act(self, line: OperatorLine | PartyLine | AdoptionLine | LotLine) -> Act:
        match line:
            case OperatorLine():
                return RegisterOperator(by=line.by, operator=self._private(line.id))
            case PartyLine():
                return RegisterParty(
                    by=line.by,
                    party=self._private(line.id),
                    persons=tuple(self._private(each) for each in line.persons),
                    lane=None if line.lane is None else self._private(line.lane),
                    note=None if line.note is None else self._private(line.note),
                )
            case AdoptionLine():
                assay, content_hash = self.find_assay(line.assay)
                return AdoptAssay(
                    by=line.by,
                    assay=assay,
                    content_hash=content_hash,
                    basis=Basis.CHECKED,
                    instructions_version=line.instructions,
                )
            case LotLine():
                return ReceiveLot(
                    by=line.by,
                    number=line.number,
                    assay=line.assay,
                    expires=line.expires,
                    units=line.units,
                )
            case _:
                assert_never(line)

    def _private(self, value: str) -> Private:
        return Private(
            key=self.identifiers.new("key"),
            salt=self.identifiers.new("salt"),
            value=value,
        )


def _on_sound(line: SoundLine) -> SoundAct:
    match line:
        case HearLine():
            return HearAlert(by=line.by, cartridge=line.cartridge)
        case MuteLine():
            return MuteSound(by=line.by, reason=line.reason, span=line.lasts)
        case UnmuteLine():
            return Unmute(by=line.by)
        case TestAlarmLine():
            return TryAlarm(by=line.by, heard=bool(line.heard))
        case _:
            assert_never(line)
