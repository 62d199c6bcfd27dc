"""Which of a person's cartridges is owed a repeat: one of those of their last visit, or none.

Rule: a repeat is owed while nothing that was begun at the visit by the same assay runs, and
nothing of it gave a result that stands. Then it is owed for the cartridge that failed last,
whichever was begun first and in whichever order the record heard of them. What fails later, or is
taken back later, owes it after all. If whoever it was run for declined last, or left, none is.

What is held for review counts as what runs: the strip has its answer, and a supervisor has yet
to say whether it stands. Another swab before that would be taken for nothing, or stand against it.

A visit is for this what a start was warned of as a second test of the same day, and whatever was
begun within four hours of the one before: stations that do not reach each other cannot warn, and
a day ends at midnight while somebody waits.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol, TypeVar

from readbell.core.board.repeats import asks_for_repeat, is_owed_repeat
from readbell.core.cartridge.at_instant import closed_unread
from readbell.core.instant import HOUR, Instant, Span, between, earlier
from readbell.core.reading.interpretation import Outcome

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.assay.events import AssayAdopted
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.paper.events import PaperRunEntered
    from readbell.core.review.events import ResultWithdrawn

TESTED_TODAY = "tested-today"
"""The person has a cartridge of this assay from today that runs, or has a result."""
SOON_AFTER = Span(4 * HOUR)
"""What was begun so soon after another is of the same visit (our own choice)."""

Found = TypeVar("Found", covariant=True)


class LookedUp(Protocol[Found]):
    """What is found by its key."""

    def get(self, key: str, /) -> Found | None:
        """Return the entry `key`, or None."""


class Known(Protocol):
    """A board, or one while events are entered into it."""

    @property
    def history(self) -> LookedUp[tuple[str, ...]]:
        """Key of a person to their cartridges, in the order in which they were begun."""

    @property
    def on_paper(self) -> LookedUp[tuple[str, ...]]:
        """Key of a person to their runs that were entered from paper."""

    @property
    def paper_runs(self) -> LookedUp[PaperRunEntered]:
        """Those runs, by their opaque id."""

    @property
    def paper_withdrawn(self) -> LookedUp[ResultWithdrawn]:
        """Those of them that were taken back."""

    @property
    def assays(self) -> LookedUp[AssayAdopted]:
        """By content hash."""

    def cartridge(self, cartridge_id: str, /) -> Cartridge | None:
        """Return the cartridge with this opaque id."""


def last_visit(known: Known, person: str, assay: str) -> tuple[Cartridge, ...]:
    """Return what was begun for a person by one assay when they came last, the newest first."""
    found: list[Cartridge] = []
    for key in reversed(known.history.get(person) or ()):
        each = known.cartridge(key)
        if each is None or each.assay.id != assay:
            continue
        if found and not _is_one_visit(each, found[-1]):
            break
        found.append(each)
    return tuple(found)


def owed_in(known: Known, visit: tuple[Cartridge, ...]) -> Cartridge | None:
    """Return which cartridge of a `last_visit` is owed a repeat, or None."""
    if not visit or spared_by(known, visit) is not None:
        return None
    last = max(visit, key=lambda each: (_failed(each), each.labelled.at, each.label))
    return last if is_owed_repeat(last) else None


def spared_by(known: Known, visit: tuple[Cartridge, ...]) -> Cartridge | PaperRunEntered | None:
    """Return what of a `last_visit` may give a result or has given one that stands, or None."""
    begun = next((each for each in visit if not asks_for_repeat(each)), None)
    return next(_on_paper(known, visit), None) if begun is None else begun


def spares(known: Known, cartridge: Cartridge) -> Cartridge | PaperRunEntered | None:
    """Return what spares the person of `cartridge`, of which nothing came, a repeat; None: nothing."""
    if not asks_for_repeat(cartridge):
        return None
    visit = last_visit(known, cartridge.labelled.subject, cartridge.assay.id)
    return spared_by(known, visit) if any(each.id == cartridge.id for each in visit) else None


def _is_one_visit(before: Cartridge, after: Cartridge) -> bool:
    if TESTED_TODAY in after.labelled.warnings:
        return True
    return between(before.labelled.at, after.labelled.at) < SOON_AFTER


def _failed(cartridge: Cartridge) -> Instant:
    """Return since when nothing came of `cartridge`."""
    if cartridge.withdrawn is not None:
        return cartridge.withdrawn.at
    if cartridge.voided is not None:
        return cartridge.voided.at
    said = (cartridge.reading, cartridge.second, *cartridge.corrections, *cartridge.amendments)
    times = (*(each.at for each in said if each is not None), closed_unread(cartridge))
    return max(each for each in times if each is not None)


def _on_paper(known: Known, visit: tuple[Cartridge, ...]) -> Iterator[PaperRunEntered]:
    """Yield the runs on paper that gave a result at the visit, or were begun after it."""
    first = visit[-1]
    for key in known.on_paper.get(first.labelled.subject) or ():
        run = known.paper_runs.get(key)
        if run is not None and _spares(known, run, first):
            yield run


def _spares(known: Known, run: PaperRunEntered, first: Cartridge) -> bool:
    adopted = known.assays.get(run.assay)
    return (
        adopted is not None
        and adopted.assay.id == first.assay.id
        and run.outcome is not Outcome.INVALID
        and known.paper_withdrawn.get(run.run) is None
        and run.steps[0].said > earlier(first.labelled.at, SOON_AFTER)
    )
