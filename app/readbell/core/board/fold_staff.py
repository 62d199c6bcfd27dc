"""How the board changes by what happens to those who work here."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from readbell.core.errors import BrokenRecordError
from readbell.core.figures.near_misses import NearMiss
from readbell.core.refusal import RefusalCode
from readbell.core.staff.events import (
    CompetenceStated,
    OperatorRetired,
    OperatorUnlocked,
    PinSet,
    RecordOpened,
    RolesGiven,
    SignedIn,
    SignedOut,
    StartSupervised,
    StationLocked,
)
from readbell.core.staff.roster import Cleared, Roster, Standing

if TYPE_CHECKING:
    from readbell.core.board.draft import Draft
    from readbell.core.board.events import ActRefused
    from readbell.core.people.events import OperatorRegistered
    from readbell.core.review.events import ReviewEvent
    from readbell.core.staff.events import StaffEvent


def enter_operator(draft: Draft, event: OperatorRegistered) -> None:
    """Enter somebody who works here from now on."""
    draft.know(draft.operators, event.operator)
    draft.roster = draft.roster.having(Standing(key=event.operator.key))


def enter_staff(draft: Draft, event: StaffEvent) -> None:
    """Enter what happened to somebody who works here.

    Raises:
        BrokenRecordError: the record never introduced them.
    """
    match event:
        case StationLocked():
            draft.roster = draft.roster.signing_out_all()
        case StartSupervised() | RecordOpened():
            pass  # kept for whoever looks into the record; nobody stands otherwise for it
        case (
            RolesGiven()
            | OperatorRetired()
            | PinSet()
            | SignedIn()
            | SignedOut()
            | OperatorUnlocked()
            | CompetenceStated()
        ):
            draft.roster = _after(_known(draft.roster, event.operator), draft.roster, event)
            if isinstance(event, OperatorRetired):
                _let_go(draft, event.operator)
        case _:
            assert_never(event)


def enter_refusal(draft: Draft, event: ActRefused) -> None:
    """Keep what can be counted of it, and a wrong PIN against whoever it was given for.

    It changes nothing else.
    """
    about = None
    if event.cartridge is not None:
        about = draft.running.get(event.cartridge) or draft.ended.get(event.cartridge)
    miss = NearMiss(
        at=event.at,
        code=event.code,
        act=event.act,
        assay=None if about is None else about.assay.id,
        lot=None if about is None else about.labelled.lot,
        operator=event.by,
    )
    draft.near_misses.put(str(len(draft.near_misses.mapping)), miss)
    if event.code is RefusalCode.WRONG_PIN and event.by is not None:
        standing = _known(draft.roster, event.by)
        counted = replace(standing, wrong_pins=standing.wrong_pins + 1, last_wrong=event.at)
        draft.roster = draft.roster.having(counted)


def enter_start_of_program(draft: Draft) -> None:
    """Sign everybody out: who starts anew may be somebody else."""
    draft.roster = draft.roster.signing_out_all()


def enter_stated_name(draft: Draft, event: ReviewEvent) -> None:
    """Enter a name that was typed for a reading, so that the reading says whose it was."""
    name = getattr(event, "stated_name", None)
    if name is not None:
        draft.names.put(name.key, name.value)


def _known(roster: Roster, key: str) -> Standing:
    standing = roster.standings.get(key)
    if standing is None:
        msg = f"the record speaks of operator {key!r}, whom it never introduced"
        raise BrokenRecordError(msg)
    return standing


def _after(
    standing: Standing,
    roster: Roster,
    event: RolesGiven
    | OperatorRetired
    | PinSet
    | SignedIn
    | SignedOut
    | OperatorUnlocked
    | CompetenceStated,
) -> Roster:
    match event:
        case RolesGiven():
            return replace(roster.having(replace(standing, roles=event.roles)), has_roles=True)
        case OperatorRetired():
            return roster.having(replace(standing, is_retired=True, is_signed_in=False))
        case PinSet():
            return roster.having(replace(standing, has_pin=True, wrong_pins=0, last_wrong=None))
        case SignedIn():
            return roster.having(
                replace(standing, is_signed_in=True, wrong_pins=0, last_wrong=None)
            )
        case SignedOut():
            return roster.having(replace(standing, is_signed_in=False))
        case OperatorUnlocked():
            return roster.having(replace(standing, wrong_pins=0, last_wrong=None))
        case CompetenceStated():
            cleared = Cleared(
                assay=event.assay_id, until=event.until, vision_checked=event.vision_checked
            )
            others = tuple(each for each in standing.cleared if each.assay != event.assay_id)
            changed = roster.having(replace(standing, cleared=(*others, cleared)))
            if not event.own:
                return changed
            own = (*roster.own_clearances, (event.at, event.by))
            return replace(changed, own_clearances=own)
        case _:
            assert_never(event)


def _let_go(draft: Draft, key: str) -> None:
    """Take an operator's ID off the list of those who may act; their name stays known."""
    written = draft.names.get(key)
    if written is not None:
        draft.operators.drop(written)
