"""What a scanned text is: a cartridge, a person, a lot, an operator, or nothing known."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board

LEFT_OVER = 4
"""So many letters beside a known ID make two labels scanned as one out of it (our own choice)."""


LONGEST = 120
"""Letters of the longest text that is taken for an ID (our own choice)."""


class Thing(StrEnum):
    """What may be scanned at a bench."""

    CARTRIDGE = "cartridge"
    PERSON = "person"
    LOT = "lot"
    SAMPLE = "sample"
    """A control material."""
    OPERATOR = "operator"
    UNKNOWN = "unknown"
    TWO_IN_ONE = "two-in-one"


@dataclass(frozen=True, slots=True)
class Found:
    """What a text is, and how it is written in the record."""

    thing: Thing
    text: str


def find(board: Board, text: str) -> Found:
    """Say what `text` is.

    Letters typed by hand may be small where the label has capitals, but only if
    nothing else is meant by it.
    """
    for written in dict.fromkeys((text, text.upper())):
        for thing, known in (
            (Thing.CARTRIDGE, board.labels),
            (Thing.PERSON, board.persons),
            (Thing.LOT, board.lots),
            (Thing.SAMPLE, board.samples.materials),
            (Thing.OPERATOR, board.operators),
        ):
            if written in known:
                return Found(thing, written)
    known_ids = (
        board.labels,
        board.persons,
        board.lots,
        board.samples.materials,
        board.operators,
    )
    # Of thousands of known ones none is looked at: what might be one is looked for among them.
    is_two = any(part in known for part in _parts(text) for known in known_ids)
    return Found(Thing.TWO_IN_ONE if is_two else Thing.UNKNOWN, text)


def is_no_id(text: str) -> bool:
    """Say whether `text` can be nobody's ID: two that look alike must be alike."""
    return not text.isprintable() or text != text.strip() or not 0 < len(text) <= LONGEST


def _parts(text: str) -> Iterator[str]:
    """Yield each part of `text` beside which enough is left for it to be another ID.

    No ID is longer than `LONGEST`, and of scans that melted together the first stands in
    front: behind that nothing is looked at, or a page that was pasted would take minutes.
    """
    longest = min(len(text) - LEFT_OVER, LONGEST)
    front = text[: 2 * LONGEST]
    for begins in range(len(front)):
        for ends in range(begins + LEFT_OVER, min(begins + longest, len(front)) + 1):
            yield front[begins:ends]


def holds_another(text: str, known: Iterable[str]) -> bool:
    """Say whether `text` looks like a known ID with another one hanging on it."""
    return held_in(text, known) is not None


def held_in(text: str, known: Iterable[str]) -> str | None:
    """Return the known ID that `text` looks like with another one hanging on it, or None."""
    return next(
        (
            each
            for each in known
            if len(each) >= LEFT_OVER and len(text) >= len(each) + LEFT_OVER and each in text
        ),
        None,
    )
