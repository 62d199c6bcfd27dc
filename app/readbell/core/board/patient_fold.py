"""What was noted about persons, entered on a board."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from readbell.core.board.leaving import enter_left
from readbell.core.board.sending import note_run
from readbell.core.board.stock_fold import write_lot
from readbell.core.board.telling_fold import note_paper_run
from readbell.core.errors import BrokenRecordError
from readbell.core.people.events import (
    ConsentNoted,
    ConsentRefused,
    LabelledAhead,
    ParticularNoted,
    PartyNoted,
    PersonLeft,
    SymptomsNoted,
)
from readbell.core.people.file import NOTHING_KNOWN
from readbell.core.people.particulars import OfParty, Particular

if TYPE_CHECKING:
    from readbell.core.board.draft import Draft
    from readbell.core.paper.events import PaperRunEntered
    from readbell.core.people.events import PatientEvent
    from readbell.core.people.file import PersonFile
    from readbell.core.review.events import ResultWithdrawn


def enter_patient(draft: Draft, event: PatientEvent) -> None:
    """Enter what was noted about one person.

    Raises:
        BrokenRecordError: the record never introduced them.
    """
    if isinstance(event, PartyNoted):
        party = draft.parties.want(event.party, "party")
        said = event.value
        is_lane = event.what is OfParty.LANE
        changed = replace(party, at_lane=said) if is_lane else replace(party, noted=said)
        draft.parties.put(party.key, changed)
        return
    if event.person not in draft.names.mapping:
        msg = f"the record speaks of person {event.person!r}, whom it never introduced"
        raise BrokenRecordError(msg)
    if isinstance(event, LabelledAhead):
        draft.ahead.put(event.label, event)
        return
    if isinstance(event, PersonLeft):
        enter_left(draft, event)
        return
    known = draft.person_files.get(event.person) or NOTHING_KNOWN
    draft.person_files.put(event.person, _with(known, event))
    if isinstance(event, ConsentRefused):
        draft.waiting.drop(event.person)  # the visit ends: nobody waits for them any more


def enter_paper_run(draft: Draft, event: PaperRunEntered) -> None:
    """Enter a run from paper: it took a unit of its lot.

    Raises:
        BrokenRecordError: the record never introduced its lot, or enters the run again.
    """
    lot = draft.lots.want(event.lot, "lot")
    if draft.paper_runs.get(event.run) is not None:
        msg = f"the record enters the run {event.run} a second time"
        raise BrokenRecordError(msg)
    draft.paper_runs.put(event.run, event)
    theirs = draft.on_paper.get(event.person) or ()
    draft.on_paper.put(event.person, (*theirs, event.run))
    note_paper_run(draft, event)
    note_run(draft, event)
    draft.owe(event.person, draft.assays.want(event.assay, "assay").assay.id)
    draft.waiting.drop(event.person)
    draft.gone.drop(event.person)
    write_lot(draft, replace(lot, used=lot.used + 1))


def take_paper_back(draft: Draft, event: ResultWithdrawn) -> None:
    """Enter that the result of a run from paper was taken back."""
    run = draft.paper_runs.want(event.cartridge, "run")
    draft.paper_withdrawn.put(run.run, event)
    note_paper_run(draft, run)
    note_run(draft, run)
    draft.owe(run.person, draft.assays.want(run.assay, "assay").assay.id)


def _with(
    known: PersonFile,
    event: ParticularNoted | ConsentNoted | ConsentRefused | SymptomsNoted,
) -> PersonFile:
    match event:
        case ParticularNoted(what=Particular.NAME):
            return replace(known, name=event.value.value)
        case ParticularNoted(what=Particular.BIRTH_DATE):
            return replace(known, born=event.value.value)
        case ParticularNoted():
            return replace(known, contact=event.value.value)
        case ConsentNoted() | ConsentRefused():
            return replace(known, consent=event)
        case SymptomsNoted():
            return replace(known, symptoms=event)
        case _:
            assert_never(event)
