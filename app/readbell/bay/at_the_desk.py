"""What the desk makes of a line: the act that it asks of the bay, by each kind of line."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from readbell.bay.paper_desk import act_of_paper
from readbell.bay.patient_desk import patient_desk
from readbell.bay.shift_desk import ShiftDesk
from readbell.bay.staff_desk import StaffDesk
from readbell.bay.stations_desk import act_of_stations
from readbell.bay.stock_desk import stock_desk
from readbell.bay.telling_desk import serve_telling
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
    AmendLine,
    CompetenceLine,
    LockLine,
    PinLine,
    RecordLine,
    ReleaseLine,
    RetireLine,
    RolesLine,
    SignInLine,
    SignOutLine,
    TraceLine,
    UnlockLine,
    WithdrawLine,
)
from readbell.scenarios.station_lines import StationLine
from readbell.scenarios.stock_lines import StockLine
from readbell.scenarios.telling_lines import TellLine

if TYPE_CHECKING:
    from readbell.bay.bay import Bay
    from readbell.bay.desk import Desk
    from readbell.bay.news import Answer
    from readbell.core.board.acts import Act, SoundAct
    from readbell.scenarios.line import Request, SoundLine


async def serve_line(desk: Desk, bay: Bay, line: Request) -> Answer:
    """Do what `line` asks of `bay`, at `desk`.

    Raises:
        WrongFileError: the line names an assay that is not at hand.
    """
    if isinstance(line, StockLine | SampleLine):
        return await bay.do(stock_desk(bay, desk.private).act_of(line))
    if isinstance(line, StationLine):
        return await bay.do(act_of_stations(bay, line))
    if isinstance(line, PaperRunLine):
        return await bay.do(act_of_paper(bay, line, desk.identifiers.new("paper")))
    if isinstance(line, TellLine):
        return await serve_telling(bay, line, desk.private, desk.hand_over)
    if isinstance(line, PatientLine | PersonLine):
        return await bay.do(patient_desk(bay, desk.private).act_of(line))
    if isinstance(line, ShiftLine):
        of_shift = ShiftDesk(look_about=desk.look_about, private=desk.private)
        return await of_shift.serve(bay, line)
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
            | TraceLine()
            | ReleaseLine()
            | WithdrawLine()
            | AmendLine()
        ):
            return await StaffDesk(pins=desk.pins, private=desk.private).serve(bay, line)
        case TestAlarmLine(heard=None):
            return await bay.ring_test()
        case HearLine() | MuteLine() | UnmuteLine() | TestAlarmLine():
            return await bay.do(_on_sound(line))
        case _:
            return await bay.do(_act(desk, line))


def _act(desk: Desk, line: OperatorLine | PartyLine | AdoptionLine | LotLine) -> Act:
    match line:
        case OperatorLine():
            return RegisterOperator(by=line.by, operator=desk.private(line.id))
        case PartyLine():
            return RegisterParty(
                by=line.by,
                party=desk.private(line.id),
                persons=tuple(desk.private(each) for each in line.persons),
                lane=None if line.lane is None else desk.private(line.lane),
                note=None if line.note is None else desk.private(line.note),
            )
        case AdoptionLine():
            assay, content_hash = desk.find_assay(line.assay)
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
