"""Lines about those who are tested, turned into acts."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.bay.site_time import day_began, site_date, time_zone
from readbell.core.board.acts import RegisterPerson
from readbell.core.made_later import dataclass
from readbell.core.people.acts import (
    LabelAhead,
    NoteConsent,
    NoteLeft,
    NoteParticulars,
    NoteParty,
    NoteSymptoms,
    RefuseConsent,
)
from readbell.scenarios.patient_lines import (
    ConsentLine,
    LabelAheadLine,
    LeftLine,
    NotePartyLine,
    NotePersonLine,
    PersonLine,
    RefuseConsentLine,
    SymptomsLine,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from readbell.bay.bay import Bay
    from readbell.core.instant import Instant
    from readbell.core.people.acts import PatientAct
    from readbell.core.people.particulars import Particular
    from readbell.core.private import Private
    from readbell.scenarios.patient_lines import KnownBy, PatientLine


@dataclass(frozen=True, slots=True, kw_only=True)
class PatientDesk:
    """Turns lines into acts on one day of the site.

    Attributes:
        today: the site's date.
        day_began: when it began.
        keep_apart: wraps words so that they can be erased later.
    """

    today: date
    day_began: Instant
    keep_apart: Callable[[str], Private]

    def act_of(self, line: PatientLine | PersonLine) -> PatientAct | RegisterPerson:
        """Return what `line` asks of the bay."""
        match line:
            case PersonLine():
                return RegisterPerson(
                    by=line.by,
                    person=self.keep_apart(line.id),
                    particulars=self._particulars(line),
                    today=self.today,
                )
            case NotePersonLine():
                return NoteParticulars(
                    by=line.by,
                    person=line.person,
                    particulars=self._particulars(line),
                    today=self.today,
                )
            case ConsentLine() | RefuseConsentLine():
                return self._consent(line)
            case SymptomsLine():
                return NoteSymptoms(
                    by=line.by,
                    person=line.person,
                    present=line.present,
                    onset=self._words(line.onset),
                    today=self.today,
                )
            case NotePartyLine():
                return NoteParty(
                    by=line.by,
                    party=line.party,
                    lane=self._words(line.lane),
                    note=self._words(line.note),
                )
            case LabelAheadLine():
                return LabelAhead(
                    by=line.by,
                    person=line.person,
                    label=line.cartridge,
                    day_began=self.day_began,
                )
            case LeftLine():
                return NoteLeft(
                    by=line.by,
                    person=line.person,
                    party=line.party,
                    reason=line.reason,
                    words=self._words(line.words),
                )
            case _:
                assert_never(line)

    def _consent(self, line: ConsentLine | RefuseConsentLine) -> NoteConsent | RefuseConsent:
        words = self._words(line.words)
        if isinstance(line, RefuseConsentLine):
            return RefuseConsent(by=line.by, person=line.person, reason=line.reason, words=words)
        return NoteConsent(
            by=line.by,
            person=line.person,
            giver=line.giver,
            how=line.how,
            assays=line.assays,
            told_to=line.told_to,
            words=words,
            today=self.today,
        )

    def _particulars(self, line: KnownBy) -> tuple[tuple[Particular, Private], ...]:
        return tuple((what, self.keep_apart(said)) for what, said in line.particulars())

    def _words(self, said: str | None) -> Private | None:
        return None if said is None else self.keep_apart(said)


def patient_desk(bay: Bay, keep_apart: Callable[[str], Private]) -> PatientDesk:
    """Return the desk for `bay` on the day that it is there."""
    founded = bay.board.founded
    zone = time_zone("UTC" if founded is None else founded.timezone)
    news = bay.present()
    return PatientDesk(
        today=site_date(news.wall, zone),
        day_began=day_began(news.at, news.wall, zone),
        keep_apart=keep_apart,
    )
