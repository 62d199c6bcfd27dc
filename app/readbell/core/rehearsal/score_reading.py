"""What was made of each strip, held against what it showed at that instant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.reading.interpretation import Outcome, judge_window
from readbell.core.rehearsal.score_marks import Area, Judged, Mistake, Slip
from readbell.core.rehearsal.score_right import of_strip
from readbell.core.rehearsal.truth import drawn_at, right_outcomes, seen_at
from readbell.core.rehearsal.virtual_cartridge import Shade
from readbell.core.statistics.agreement import FEWEST, Agreement, cohen
from readbell.core.statistics.proportion import Share, wilson

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.events import CartridgeRead, EarlyPositiveSeen
    from readbell.core.reading.bands import Bands
    from readbell.core.rehearsal.scenario import Scenario

CATEGORIES = (Outcome.POSITIVE, Outcome.NEGATIVE, Outcome.INVALID)
"""What a line may be by the strip alone; withheld is what two looks come to, not one."""

_WRONG: Mapping[tuple[Outcome, Outcome], Slip] = {
    (Outcome.POSITIVE, Outcome.NEGATIVE): Slip.FALSE_NEGATIVE,
    (Outcome.NEGATIVE, Outcome.POSITIVE): Slip.FALSE_POSITIVE,
    (Outcome.INVALID, Outcome.POSITIVE): Slip.INVALID_TAKEN,
    (Outcome.INVALID, Outcome.NEGATIVE): Slip.INVALID_TAKEN,
    (Outcome.POSITIVE, Outcome.INVALID): Slip.RESULT_GIVEN_UP,
    (Outcome.NEGATIVE, Outcome.INVALID): Slip.RESULT_GIVEN_UP,
}
"""By what a line was, and what it was said to be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """So many of so many, with the 95 % interval of their share."""

    right: int
    of: int

    @property
    def share(self) -> Share:
        """The share, by Wilson."""
        return wilson(self.right, self.of)


NONE_COUNTED = Counted(right=0, of=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Every line that was read, and the figures that follow."""

    judged: tuple[Judged, ...]
    strips: int
    early: Counted = NONE_COUNTED
    """Lines that were taken as positive early: those that were there, on strips that counted then."""

    @property
    def all_right(self) -> Counted:
        """Lines of which was said what they showed, early and in the window: for a pass rule."""
        right, early = self.right, self.early
        return Counted(right=right.right + early.right, of=right.of + early.of)

    @property
    def right(self) -> Counted:
        """Lines of which was said what they showed."""
        return _counted(self.judged)

    @property
    def sensitivity(self) -> Counted:
        """Of the lines that were there, on strips that count: those said to be there."""
        there = [each for each in self.judged if each.truth is Outcome.POSITIVE]
        return _counted(there)

    @property
    def specificity(self) -> Counted:
        """Of the lines that were not there, on strips that count: those said not to be."""
        none = [each for each in self.judged if each.truth is Outcome.NEGATIVE]
        return _counted(none)

    @property
    def validity(self) -> Counted:
        """Of the lines of strips that count for nothing: those called invalid."""
        invalid = [each for each in self.judged if each.truth is Outcome.INVALID]
        return _counted(invalid)

    @property
    def faint(self) -> Counted:
        """Of the faint and the very faint lines: those said to be there."""
        return self.of_shades(Shade.FAINT, Shade.VERY_FAINT)

    def of_shades(self, *shades: Shade) -> Counted:
        """Of the lines of these shades: those said to be there."""
        found = [each for each in self.judged if each.shade in shades]
        return _counted(found)

    def table(self) -> tuple[tuple[int, ...], ...]:
        """How often what was (rows) was said to be what (columns), in the order of `CATEGORIES`."""
        return tuple(
            tuple(
                sum(each.truth is truth and each.said is said for each in self.judged)
                for said in CATEGORIES
            )
            for truth in CATEGORIES
        )

    @property
    def agreement(self) -> Agreement | None:
        """Kappa against the truth; None below `FEWEST` strips, or where it says nothing.

        Each line counts by itself, as if the lines of one strip were apart.
        """
        return cohen(self.table()) if self.strips >= FEWEST else None

    def mistakes(self) -> Iterator[Mistake]:
        """Yield each line that was read otherwise than it was."""
        for each in self.judged:
            if not each.is_right:
                yield Mistake(
                    at=each.at,
                    area=Area.READING,
                    code=_WRONG[each.truth, each.said],
                    refused=False,
                    by=each.by,
                    cartridge=each.cartridge,
                    line=each.line,
                    right=each.right,
                )


def readings(scenario: Scenario, board: Board, cartridges: Iterable[Cartridge]) -> Readings:
    """Return what was made of each strip that was read, as its readers last corrected it."""
    known = list(cartridges)
    read = [(each, each.reading) for each in known if each.reading is not None]
    early = [
        line in _there(scenario, board, each, look)
        for each in known
        for look in each.early_looks
        for line in look.lines
    ]
    return Readings(
        judged=tuple(
            judged
            for each, first in read
            for reading, entered in _entered(each, first)
            for judged in _judged(scenario, board, each, reading, entered)
        ),
        strips=len(read),
        early=Counted(right=sum(early), of=len(early)),
    )


def _entered(cartridge: Cartridge, first: CartridgeRead) -> Iterator[tuple[CartridgeRead, Bands]]:
    """Yield each reading, a second reader's too, with what its reader came to enter."""
    mended = cartridge.corrections
    yield first, mended[-1].bands if mended else first.bands
    if cartridge.second is not None:
        yield cartridge.second, cartridge.second.bands


def early_mistakes(
    scenario: Scenario, board: Board, cartridges: Iterable[Cartridge]
) -> Iterator[Mistake]:
    """Yield each line that was taken as positive at an early look and did not count then."""
    for cartridge in cartridges:
        for look in cartridge.early_looks:
            there = _there(scenario, board, cartridge, look)
            for line in look.lines:
                if line in there:
                    continue
                right = of_strip(scenario, board, cartridge, line, look.at)
                shown = right.shade is not Shade.ABSENT
                yield Mistake(
                    at=look.at,
                    area=Area.READING,
                    code=Slip.EARLY_NO_CONTROL if shown else Slip.EARLY_FALSE_POSITIVE,
                    refused=False,
                    by=board.name(look.by),
                    cartridge=cartridge.label,
                    line=line,
                    look=True,
                    right=right,
                )


def rightly_seen_early(
    scenario: Scenario, board: Board, cartridges: Iterable[Cartridge]
) -> tuple[int, int]:
    """Return how many early looks took nothing but lines that were there, and how many took others."""
    found = [
        set(look.lines) <= _there(scenario, board, each, look)
        for each in cartridges
        for look in each.early_looks
    ]
    return sum(found), len(found) - sum(found)


def _there(
    scenario: Scenario, board: Board, cartridge: Cartridge, look: EarlyPositiveSeen
) -> set[str]:
    """Return the lines that were there at an early look, on a strip that counted then."""
    right = right_outcomes(cartridge, seen_at(scenario, board, cartridge, look.at))
    return {each.line for each in right if each.outcome is Outcome.POSITIVE}


def _judged(
    scenario: Scenario,
    board: Board,
    cartridge: Cartridge,
    reading: CartridgeRead,
    entered: Bands,
) -> Iterator[Judged]:
    seen = seen_at(scenario, board, cartridge, reading.at)
    keys = cartridge.assay.line_keys
    said = {each.line: each.outcome for each in judge_window(keys, entered, ())}
    drawn = drawn_at(scenario, board, cartridge, reading.at)
    shades = dict(drawn.lines)
    for right in right_outcomes(cartridge, seen):
        counts = right.outcome is not Outcome.INVALID
        wrong = said[right.line] is not right.outcome
        yield Judged(
            cartridge=cartridge.label,
            line=right.line,
            at=reading.at,
            by=board.name(reading.by),
            truth=right.outcome,
            said=said[right.line],
            shade=shades[right.line] if counts else Shade.ABSENT,
            spoilt=drawn.spoilt,
            right=of_strip(scenario, board, cartridge, right.line, reading.at) if wrong else None,
        )


def _counted(judged: Sequence[Judged]) -> Counted:
    return Counted(right=sum(each.is_right for each in judged), of=len(judged))
