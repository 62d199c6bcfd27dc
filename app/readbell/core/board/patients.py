"""What may be noted about a person, and what has to be for a cartridge to be begun for them."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.leaving import UNKNOWN_PARTY, decide_left
from readbell.core.board.paper_runs import is_on_paper
from readbell.core.board.shifts import is_label_taken
from readbell.core.people.acts import (
    LabelAhead,
    NoteConsent,
    NoteLeft,
    NoteParticulars,
    NoteParty,
    NoteSymptoms,
    PatientAct,
    RefuseConsent,
)
from readbell.core.people.events import (
    ConsentNoted,
    ConsentRefused,
    LabelledAhead,
    ParticularNoted,
    PartyNoted,
    SymptomsNoted,
)
from readbell.core.people.file import NOTHING_KNOWN, PersonFile, agrees, day_of, years_between
from readbell.core.people.particulars import ConsentBy, OfParty, Particular, ToldTo
from readbell.core.policy.identifying import SecondIdentifier
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date

    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.cartridge.acts import Label
    from readbell.core.instant import Instant
    from readbell.core.people.events import PatientEvent
    from readbell.core.private import Private

ASKED: dict[SecondIdentifier, Particular | None] = {
    SecondIdentifier.NONE: None,
    SecondIdentifier.NAME: Particular.NAME,
    SecondIdentifier.BIRTH_DATE: Particular.BIRTH_DATE,
}
"""Which particular a site reads back."""

NO_SUCH_DAY = "no such day"
DAY_TO_COME = "day to come"
MINOR = "minor"
NOT_ALONE = "not told to the person alone"
NOT_AHEAD = "label ahead"
SECOND_WRONG = "second identifier"
"""Subject of a refusal at the label: what was said is not what the person is known by."""


def decide_patient(
    board: Board, act: PatientAct, now: Instant
) -> tuple[PatientEvent, ...] | Refusal:
    """Judge what somebody says about a person."""
    by = board.operators.get(act.by)
    if by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    if isinstance(act, NoteParty):
        return _note_party(board, act, by, now)
    if isinstance(act, NoteLeft):
        return decide_left(board, act, by, now)
    person = board.persons.get(act.person)
    if person is None:
        return Refusal(code=RefusalCode.UNKNOWN_PERSON)
    match act:
        case LabelAhead():
            return _label_ahead(board, act, person, by, now)
        case NoteParticulars():
            return refuse_particulars(act.particulars, act.today) or tuple(
                noted(act.particulars, person, by, now)
            )
        case NoteConsent():
            return _consent(board, act, person, by, now)
        case RefuseConsent():
            return (
                ConsentRefused(at=now, by=by, person=person, reason=act.reason, words=act.words),
            )
        case NoteSymptoms():
            refused = None if act.onset is None else _refuse_day(act.onset.value, act.today)
            return refused or (
                SymptomsNoted(at=now, by=by, person=person, present=act.present, onset=act.onset),
            )
        case _:
            assert_never(act)


def refuse_particulars(
    particulars: Iterable[tuple[Particular, Private]], today: date
) -> Refusal | None:
    """Say why one of `particulars` cannot be so, or None."""
    days = (value.value for what, value in particulars if what is Particular.BIRTH_DATE)
    return next((found for each in days if (found := _refuse_day(each, today))), None)


def noted(
    particulars: Iterable[tuple[Particular, Private]], person: str, by: str | None, now: Instant
) -> Iterator[ParticularNoted]:
    """Yield what is recorded of `particulars`."""
    for what, value in particulars:
        yield ParticularNoted(at=now, by=by, person=person, what=what, value=value)


def file_of(board: Board, person: str) -> PersonFile:
    """Return what is known of the person with this key."""
    return board.person_files.get(person, NOTHING_KNOWN)


def second_known(board: Board, person: str) -> str | None:
    """Return what the site reads back of a person, as it was entered; None: it asks or has none."""
    what = ASKED[board.policy.second_identifier]
    return None if what is None else _of(file_of(board, person), what)


def is_second(board: Board, person: str, said: str) -> bool:
    """Say whether `said` is what that person is known by; of two things the site may ask, either.

    Where the site has chosen one of them, only that one counts.
    """
    chosen = ASKED[board.policy.second_identifier]
    known = file_of(board, person)
    for what in (Particular.NAME, Particular.BIRTH_DATE) if chosen is None else (chosen,):
        entered = _of(known, what)
        if entered is not None and agrees(what, entered, said):
            return True
    return False


def refuse_patient(board: Board, act: Label, person: str, assay: Assay) -> Refusal | None:
    """Say why no cartridge of `assay` is begun for the person with this key, or None."""
    if is_anothers(board, act.aim.cartridge, person, act.day_began):
        return Refusal(code=RefusalCode.WRONG_PERSON, subject=act.aim.cartridge)
    said = act.aim.second
    if said is not None and not is_second(board, person, said):
        return Refusal(code=RefusalCode.WRONG_PERSON, subject=SECOND_WRONG)
    what = ASKED[board.policy.second_identifier]
    if what is not None and said is None:
        return Refusal(code=RefusalCode.SECOND_MISSING, subject=what)
    return _refuse_unconsented(board, act, person, assay)


def is_anothers(board: Board, label: str, person: str, since: Instant | None) -> bool:
    """Say whether `label` was written ahead for somebody else, since then; None: since ever."""
    ahead = board.ahead.get(label)
    if ahead is None or (since is not None and ahead.at < since):
        return False
    return ahead.person != person


def is_minor(board: Board, person: str, today: date) -> bool:
    """Say whether a person is known to be younger than the site lets consent alone."""
    born = day_of(file_of(board, person).born or "")
    return born is not None and years_between(born, today) < board.policy.minor_below_years


def _refuse_unconsented(board: Board, act: Label, person: str, assay: Assay) -> Refusal | None:
    consent = file_of(board, person).consent
    began = act.day_began
    of_today = consent is not None and (began is None or consent.at >= began)
    if isinstance(consent, ConsentRefused) and of_today:
        return Refusal(code=RefusalCode.CONSENT_REFUSED, subject=consent.reason)
    asks = board.policy.ask_consent or is_minor(board, person, act.today)
    if not asks:
        return None
    if not isinstance(consent, ConsentNoted) or not of_today:
        return Refusal(code=RefusalCode.CONSENT_MISSING, subject=assay.id)
    if consent.assays and assay.id not in consent.assays:
        return Refusal(code=RefusalCode.CONSENT_MISSING, subject=assay.id)
    if is_minor(board, person, act.today) and consent.giver is ConsentBy.SELF:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=MINOR)
    if assay.confidential and consent.told_to is not ToldTo.PERSON:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOT_ALONE)
    return None


def _note_party(
    board: Board, act: NoteParty, by: str, now: Instant
) -> tuple[PartyNoted, ...] | Refusal:
    party = next((key for key in board.parties if board.name(key) == act.party), None)
    if party is None:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=UNKNOWN_PARTY)
    return tuple(noted_of_party(party, act.lane, act.note, by, now))


def noted_of_party(
    party: str, lane: Private | None, note: Private | None, by: str | None, now: Instant
) -> Iterator[PartyNoted]:
    """Yield what is recorded of a party: where it waits, and what is to be known about it."""
    for what, value in ((OfParty.LANE, lane), (OfParty.NOTE, note)):
        if value is not None:
            yield PartyNoted(at=now, by=by, party=party, what=what, value=value)


def _label_ahead(
    board: Board, act: LabelAhead, person: str, by: str, now: Instant
) -> tuple[LabelledAhead] | Refusal:
    if not board.policy.label_ahead:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOT_AHEAD)
    taken = is_label_taken(board, act.label) or is_on_paper(board, act.label, act.day_began)
    if taken or is_anothers(board, act.label, person, act.day_began):
        return Refusal(code=RefusalCode.LABEL_IN_USE, subject=act.label)
    return (LabelledAhead(at=now, by=by, person=person, label=act.label),)


def _consent(
    board: Board, act: NoteConsent, person: str, by: str, now: Instant
) -> tuple[ConsentNoted] | Refusal:
    for each in act.assays:
        adopted = board.assay_called(each)
        if adopted is None:
            return Refusal(code=RefusalCode.NOT_ADOPTED, subject=each)
        if adopted.assay.confidential and act.told_to is not ToldTo.PERSON:
            return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOT_ALONE)
    if act.giver is ConsentBy.SELF and is_minor(board, person, act.today):
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=MINOR)
    return (
        ConsentNoted(
            at=now,
            by=by,
            person=person,
            giver=act.giver,
            how=act.how,
            assays=act.assays,
            told_to=act.told_to,
            words=act.words,
        ),
    )


def _of(known: PersonFile, what: Particular) -> str | None:
    return known.name if what is Particular.NAME else known.born


def _refuse_day(text: str | None, today: date) -> Refusal | None:
    day = day_of(text or "")
    if day is None:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_SUCH_DAY)
    if day > today:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=DAY_TO_COME)
    return None
