"""Results of one person that contradict each other: which of them is right a supervisor says.

Rule 1: a repeat that says otherwise than a positive seen early on the one it repeats is held.
That one was withheld, because its own two looks disagree.
Rule 2: of two cartridges that were run for one person by one assay at the same time, as two
stations that cannot reach each other may, both are held if one is positive and the other negative
for the same analyte. Each was begun before the other had ended: a test on another occasion
contradicts nothing, nor does a repeat what it repeats.
Rule 3: what a supervisor let stand is held again by rule 2 only once either says something new.

Of a reading that a second person has still to make nothing is said: it would give the first one
away. What the two come to is held against the other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.events import (
    CartridgeRead,
    EarlyPositiveSeen,
    ReadingCorrected,
    ResultAmended,
)
from readbell.core.cartridge.fold import fold_cartridge
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

_OPPOSITES = {Outcome.POSITIVE: Outcome.NEGATIVE, Outcome.NEGATIVE: Outcome.POSITIVE}


def with_contradiction(
    board: Board, cartridge: Cartridge, decided: tuple[Event, ...] | Refusal
) -> tuple[Event, ...] | Refusal:
    """Return what comes of a reading, with a hold if it contradicts what was seen early before.

    What contradicts another cartridge of the same time is held with that one.
    """
    if isinstance(decided, Refusal):
        return decided
    event = decided[0]
    assert isinstance(event, (CartridgeRead, ReadingCorrected))  # noqa: S101  # nothing else comes of one
    decided = (*decided, *_both_held(board, cartridge, event))
    reason = HoldReason.CONTRADICTS_EARLIER
    open_still = isinstance(event, CartridgeRead) and event.second is not None
    corrected_meanwhile = isinstance(event, ReadingCorrected) and cartridge.awaits_second
    if open_still or corrected_meanwhile or reason in cartridge.held:
        return decided
    negative = {each.line for each in event.outcomes if each.outcome is Outcome.NEGATIVE}
    if not any(negative.intersection(each) for each in _seen_early(board, cartridge)):
        return decided
    by = event.by if event.by in board.names else None
    return *decided, ReadingHeld(at=event.at, by=by, cartridge=cartridge.id, reasons=(reason,))


def with_both_held(
    board: Board, cartridge: Cartridge, decided: tuple[Event, ...] | Refusal
) -> tuple[Event, ...] | Refusal:
    """Return what comes of a look or a reading, of its correction or amendment, with the holds of rule 2.

    Args:
        board: the bay before it.
        cartridge: as it was before it.
        decided: what comes of it; what somebody says is on the strip stands first.
    """
    if isinstance(decided, Refusal):
        return decided
    event = decided[0]
    assert isinstance(  # noqa: S101  # nothing else comes of one
        event, (EarlyPositiveSeen, CartridgeRead, ReadingCorrected, ResultAmended)
    )
    return *decided, *_both_held(board, cartridge, event)


def _both_held(
    board: Board,
    cartridge: Cartridge,
    event: EarlyPositiveSeen | CartridgeRead | ReadingCorrected | ResultAmended,
) -> Iterator[ReadingHeld]:
    """Yield the holds of rule 2 that come of `event`: on `cartridge`, and on each that it contradicts."""
    after = fold_cartridge(cartridge, event)
    held: dict[str, None] = {}
    for other in contradicted_by(board, after):
        is_new = not _contradict(cartridge, other)
        held.update((each.id, None) for each in (after, other) if _is_to_be_held(each, is_new))
    by = event.by if event.by in board.names else None
    reasons = (HoldReason.CONTRADICTS_ANOTHER,)
    yield from (ReadingHeld(at=event.at, by=by, cartridge=each, reasons=reasons) for each in held)


def contradicted_by(board: Board, cartridge: Cartridge) -> Iterator[Cartridge]:
    """Yield the other cartridges that `cartridge` contradicts, by rule 2, as both stand now."""
    if cartridge.awaits_second:
        return
    for key in board.history.get(cartridge.labelled.subject, ()):
        other = board.cartridge(key)
        if (
            other is not None
            and other.id != cartridge.id
            and other.assay.id == cartridge.assay.id
            and not other.awaits_second
            and _contradict(cartridge, other)
            and _overlap(cartridge, other)
            and not _is_repeat(board, cartridge, other)
            and not _is_repeat(board, other, cartridge)
        ):
            yield other


def _is_to_be_held(cartridge: Cartridge, is_new: bool) -> bool:
    """Say whether `cartridge` is held for a contradiction; what was released comes back by a new one."""
    reason = HoldReason.CONTRADICTS_ANOTHER
    was_held = any(reason in each.reasons for each in cartridge.holds)
    return reason not in cartridge.held and (is_new or not was_held)


def _contradict(one: Cartridge, other: Cartridge) -> bool:
    """Say whether two cartridges say opposite things of one analyte."""
    there = _said(other)
    return any(there.get(line) is _OPPOSITES.get(said) for line, said in _said(one).items())


def _said(cartridge: Cartridge) -> dict[str, Outcome]:
    """Return what may be told of each analyte, if nothing is held: what is valid as it stands."""
    if not cartridge.has_ended:
        # A positive seen early is valid until the window says otherwise.
        early = () if cartridge.is_read_on_both_sides else cartridge.early_lines
        return dict.fromkeys(early, Outcome.POSITIVE)
    if cartridge.outcome not in _OPPOSITES:
        return {}  # invalid, withheld, void or taken back: nothing of it may be told
    return {each.line: each.outcome for each in cartridge.outcomes if each.outcome in _OPPOSITES}


def _overlap(one: Cartridge, other: Cartridge) -> bool:
    """Say whether each of two cartridges was begun before the other had ended."""
    return _began_within(one, other) and _began_within(other, one)


def _began_within(one: Cartridge, other: Cartridge) -> bool:
    end = _ends(other)
    return end is None or one.labelled.at < end


def _ends(cartridge: Cartridge) -> Instant | None:
    """Return when a cartridge was read, else the close of its window, recorded or not; None: not yet."""
    if cartridge.stage is Stage.READ:
        return cartridge.last_act
    span = window(cartridge)
    return None if span is None else span.closes


def _is_repeat(board: Board, cartridge: Cartridge, earlier: Cartridge) -> bool:
    """Say whether `cartridge` repeats `earlier`, or a repeat of it."""
    return any(each.id == earlier.id for each in _repeated_by(board, cartridge))


def _repeated_by(board: Board, cartridge: Cartridge) -> Iterator[Cartridge]:
    """Yield what `cartridge` repeats, and what that one repeats, and so on."""
    key = cartridge.labelled.repeat_of
    while key is not None and (found := board.cartridge(key)) is not None:
        yield found
        key = found.labelled.repeat_of


def _seen_early(board: Board, cartridge: Cartridge) -> Iterator[tuple[str, ...]]:
    """Yield the analytes seen early and withheld then, of each that `cartridge` repeats."""
    for each in _repeated_by(board, cartridge):
        if each.withdrawn is None:
            withheld = {one.line for one in each.outcomes if one.outcome is Outcome.WITHHELD}
            yield tuple(line for line in each.early_lines if line in withheld)
