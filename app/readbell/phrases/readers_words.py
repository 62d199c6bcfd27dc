"""How two readers of one strip agree, in words: all of them together, and pair by pair."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from readbell.core.figures.pairs import pairs_of
from readbell.core.figures.readers import SAID, readers_by_assay
from readbell.core.figures.view import By
from readbell.core.statistics.agreement import FEWEST
from readbell.phrases.counted import counted
from readbell.phrases.figures_words import FEW_MARK, NONE_COUNTED, aligned, interval, say_share

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.figures.readers import Readers, Twice
    from readbell.phrases.figures_words import Name

    Row = tuple[str, ...]

READERS = "Two readers of one strip"
READERS_NOTE = (
    "Each reading by its own bands, before anybody settled it. Positive and negative agreement: how "
    "often what one of the two said was said by the other too. Kappa: agreement beyond what chance alone "
    f"makes, shown from {FEWEST} strips on. Intervals: 95 %."
)
NO_READERS = "No strip was read by two people on these days."
PAIRS = "Who read with whom"
PAIRS_NOTE = (
    f"{FEW_MARK} Fewer than {FEWEST} strips in common say little: no kappa is given, and the interval says "
    "how little. It does not matter who of the two read first."
)


def readers_head() -> Row:
    """Return the head of the table of two readers."""
    return ("assay", "strips", "same %", "kappa", "positive %", "negative %", "faint: same")


def readers_row(assay: str, found: Readers) -> Row:
    """Return how the readers of one assay agree."""
    kappa = found.kappa
    return (
        assay,
        f"{found.count:,}",
        interval(found.agreed, found.count),
        NONE_COUNTED
        if kappa is None
        else f"{kappa.kappa:.2f} ({kappa.low:.2f} to {kappa.high:.2f})",
        NONE_COUNTED if found.positive is None else interval(found.positive, 1),
        NONE_COUNTED if found.negative is None else interval(found.negative, 1),
        f"{round(found.faint_agreed.value * found.faint):,} of {found.faint:,}",
    )


def say_parted(assay: str, found: Readers) -> str:
    """Return where the two readers of one assay parted."""
    parts = [
        f"{said.value} then {other.value} {count:,}"
        for said, row in zip(SAID, found.table, strict=True)
        for other, count in zip(SAID, row, strict=True)
        if count and said is not other
    ]
    apart = "; ".join(parts) if parts else "nowhere"
    faint = (
        f" Of {counted(found.faint, 'strip')} with nothing more than a faint line they said the same in "
        f"{say_share(found.faint_agreed)}, of the others in {say_share(found.clear_agreed)}."
        if found.faint
        else ""
    )
    return f"{assay}: first and second reader parted {apart}.{faint}"


def pairs_head() -> Row:
    """Return the head of the table of pairs."""
    return ("pair", *readers_head()[1:])


def pair_rows(assay: str, twice: Mapping[Twice, int], name: Name) -> Iterator[Row]:
    """Yield how each pair of readers of one assay agrees."""
    for each in pairs_of(twice, partial(name, By.READER)):
        both = f"{name(By.READER, each.one)} and {name(By.READER, each.other)}, {assay}"
        strips, *others = readers_row(assay, each.found)[1:]
        yield both, f"{strips}{FEW_MARK if each.is_few else ''}", *others


def say_readers(twice: Mapping[str, Mapping[Twice, int]], name: Name, width: int) -> Iterator[str]:
    """Yield how readers agree as tables of text: by assay, where they parted, and pair by pair."""
    known = readers_by_assay(twice)
    yield from aligned([readers_head(), *(readers_row(*each) for each in known.items())], width)
    for assay, each in known.items():
        yield say_parted(assay, each)
    pairs = [row for assay in known for row in pair_rows(assay, twice[assay], name)]
    yield from aligned([pairs_head(), *pairs], width)
    if any(FEW_MARK in row[1] for row in pairs):
        yield PAIRS_NOTE
