"""An assay as a planner sees it: unbroken pieces of work with lags between them.

Steps with no wait between them are one piece: one operator does them in a row on
one person. A piece ends where a wait with a `least` must first pass; a limit with
a `most` alone (an open pouch, the age of a specimen) asks for no pause. The window
reading is the last piece. Between two pieces lie lags: at least so long, at most
so long. Every instant on record is the end of a step, for a step is confirmed when
it is done; so a `least` is counted from the end of one step to the beginning of
the other, and a `most` to its end. That keeps both limits however they are judged.

Gloves are changed before a piece that touches the specimen if the same hands
last touched the specimen of somebody else. Reading touches none.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from readbell.core.assay.step import Limit
from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.plan.hands_on import READING, HandsOn, total, usual_times

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from readbell.core.assay.assay import Assay


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One step, or the window reading, with its hands-on time."""

    key: str
    """Key of the step, or `READING`."""
    hands: HandsOn
    touches: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """What one operator does on one person without a break."""

    parts: tuple[Part, ...]

    @property
    def hands(self) -> HandsOn:
        """How long it takes, gloves left out."""
        return total(part.hands for part in self.parts)

    @property
    def touches(self) -> bool:
        """Whether gloves must be fresh for this person before it."""
        return any(part.touches for part in self.parts)

    def before(self, key: str) -> HandsOn:
        """Return the time from the beginning of the piece to the beginning of the part `key`."""
        place = [part.key for part in self.parts].index(key)
        return total(part.hands for part in self.parts[:place])

    def after(self, key: str) -> HandsOn:
        """Return the time from the end of the part `key` to the end of the piece."""
        place = [part.key for part in self.parts].index(key)
        return total(part.hands for part in self.parts[place + 1 :])


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """How long may pass from the end of one piece to the beginning of another."""

    least: Span
    most: Span | None
    """None: no limit. Below `least`: it cannot be kept."""

    @property
    def is_empty(self) -> bool:
        """Whether no length at all keeps it."""
        return self.most is not None and self.most < self.least


@dataclass(frozen=True, slots=True, kw_only=True)
class Lag:
    """A wait of the assay, or its read window, between two pieces (or inside one).

    `first` and `second` are places in `Work.pieces`; `since` and `until` are the
    parts whose ends are on record.
    """

    first: int
    second: int
    since: str
    until: str
    least: Span
    """From the end of `since` to the beginning of `until`."""
    most: Span | None
    """From the end of `since` to the end of `until`; None where there is no limit."""
    most_is: Limit
    tail: HandsOn
    """From the end of `since` to the end of its piece."""
    lead: HandsOn
    """From the beginning of its piece to the beginning of `until`."""
    hands: HandsOn
    """The time of `until` itself."""

    def usual_gap(self) -> Gap:
        """Return the gap between the two pieces for hands that keep usual times exactly."""
        out = self.tail.usual + self.lead.usual
        return self._gap(out, out + self.hands.usual)

    def sure_gap(self) -> Gap:
        """Return the gap that keeps both limits whatever the times, within their bounds."""
        out = self.tail.most + self.lead.most + self.hands.most
        return self._gap(self.tail.least + self.lead.least, out)

    def _gap(self, out_of_least: int, out_of_most: int) -> Gap:
        most = None if self.most is None else Span(self.most - out_of_most)
        return Gap(least=Span(max(0, self.least - out_of_least)), most=most)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """All the hands-on work of one cartridge of an assay."""

    assay: str
    pieces: tuple[Piece, ...]
    """In their order; the last is the window reading."""
    lags: tuple[Lag, ...]
    """Between two pieces, in the order of `first`; the read window is among them."""
    inside: tuple[Lag, ...]
    """Limits that begin and end within one piece: kept if the piece itself is short enough."""
    gloves: Span
    """How long a change of gloves takes."""

    @property
    def hands(self) -> HandsOn:
        """The work on one cartridge, gloves left out."""
        return total(piece.hands for piece in self.pieces)

    @property
    def reading(self) -> Piece:
        """The window reading."""
        return self.pieces[-1]

    @property
    def read_lag(self) -> Lag:
        """The read window, from the end of the application."""
        return next(lag for lag in self.lags if lag.until == READING)


def work_of(
    assay: Assay,
    *,
    times: Mapping[str, HandsOn] | None = None,
    gloves: Span | None = None,
    wishes: bool = True,
) -> Work:
    """Return the work of `assay`.

    Args:
        assay: a sound assay, as `core/assay/check.py` has it.
        times: a site's own hands-on times by step, `READING` among them; the assay's
            usual time with the bounds of `about` stands in for what is missing.
        gloves: how long a change of gloves takes here; the assay's own figure otherwise.
        wishes: whether an advisory `most` is kept like a firm one. False leaves it out:
            going past it is a deviation on record, not a lost test.
    """
    known = {**usual_times(assay), **(times or {})}
    parts = [
        Part(key=step.key, hands=known[step.key], touches=step.touches_specimen)
        for step in assay.steps
    ]
    reading = Piece(parts=(Part(key=READING, hands=known[READING], touches=False),))
    pieces = (*_pieces(assay, parts), reading)
    lags = [*_waits(assay, pieces, wishes=wishes), _read_window(assay, pieces)]
    return Work(
        assay=assay.id,
        pieces=pieces,
        lags=tuple(sorted((each for each in lags if each.first != each.second), key=_by_first)),
        inside=tuple(each for each in lags if each.first == each.second),
        gloves=assay.glove_change if gloves is None else gloves,
    )


def _pieces(assay: Assay, parts: Sequence[Part]) -> list[Piece]:
    breaks = [
        place
        for place, part in enumerate(parts)
        if any(wait.least > 0 for _, wait in assay.waits_ending_at(part.key))
    ]
    return [Piece(parts=tuple(parts[a:b])) for a, b in pairwise((0, *breaks, len(parts)))]


def _waits(assay: Assay, pieces: Sequence[Piece], *, wishes: bool) -> list[Lag]:
    return [
        _lag(
            pieces,
            step.key,
            step.wait.until,
            least=step.wait.least,
            most=step.wait.most if wishes or step.wait.most_is is Limit.FIRM else None,
            most_is=step.wait.most_is,
        )
        for step in assay.steps
        if step.wait is not None
    ]


def _read_window(assay: Assay, pieces: Sequence[Piece]) -> Lag:
    return _lag(
        pieces,
        assay.last_step.key,
        READING,
        least=assay.reading.opens,
        most=assay.reading.closes,
        most_is=Limit.FIRM,
    )


def _lag(
    pieces: Sequence[Piece],
    since: str,
    until: str,
    *,
    least: Span,
    most: Span | None,
    most_is: Limit,
) -> Lag:
    first, second = _place(pieces, since), _place(pieces, until)
    return Lag(
        first=first,
        second=second,
        since=since,
        until=until,
        least=least,
        most=most,
        most_is=most_is,
        tail=pieces[first].after(since),
        lead=pieces[second].before(until),
        hands=next(part.hands for part in pieces[second].parts if part.key == until),
    )


def _place(pieces: Sequence[Piece], key: str) -> int:
    return next(
        place for place, piece in enumerate(pieces) if any(part.key == key for part in piece.parts)
    )


def _by_first(lag: Lag) -> int:
    return lag.first
