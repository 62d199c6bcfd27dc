"""The desk of a bay without a screen: lines in, answers out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, assert_never

from readbell.core.assay.events import Basis
from readbell.core.board.acts import (
    AdoptAssay,
    HearAlert,
    MuteSound,
    ReceiveLot,
    RegisterOperator,
    RegisterParty,
    RegisterPerson,
    TryAlarm,
    Unmute,
)
from readbell.core.instant import earlier
from readbell.core.private import Private
from readbell.scenarios.line import (
    AdoptionLine,
    EntryLine,
    HearLine,
    LotLine,
    MuteLine,
    OpenLotLine,
    OperatorLine,
    PartyLine,
    PersonLine,
    TestAlarmLine,
    UnmuteLine,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.bay import Bay
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import Answer
    from readbell.core.assay.assay import Assay
    from readbell.core.board.acts import Act, SoundAct
    from readbell.scenarios.line import Request, SoundLine


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """Turns lines into acts.

    Attributes:
        find_assay: gives the assay of an id, and its content hash.
    """

    identifiers: Identifiers
    find_assay: Callable[[str], tuple[Assay, str]]

    async def serve(self, bay: Bay, line: Request) -> Answer:
        """Do what `line` asks.

        Raises:
            WrongFileError: the line names an assay that is not at hand.
        """
        match line:
            case EntryLine():
                entry = line.entry
                if line.ago is not None:
                    entry = replace(entry, done_at=earlier(bay.now(), line.ago))
                return await bay.enter(entry)
            case OpenLotLine():
                return await bay.enter(line.to_entry())
            case TestAlarmLine(heard=None):
                return await bay.ring_test()
            case HearLine() | MuteLine() | UnmuteLine() | TestAlarmLine():
                return await bay.do(_on_sound(line))
            case _:
                return await bay.do(self._act(line))

    def _act(self, line: OperatorLine | PersonLine | PartyLine | AdoptionLine | LotLine) -> Act:
        match line:
            case OperatorLine():
                return RegisterOperator(by=line.by, operator=self._private(line.id))
            case PersonLine():
                return RegisterPerson(by=line.by, person=self._private(line.id))
            case PartyLine():
                return RegisterParty(
                    by=line.by,
                    party=self._private(line.id),
                    persons=tuple(self._private(each) for each in line.persons),
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
