"""Made-up work for planners: a swab, a wait, the drops, a read window; seconds, from no kit."""

from __future__ import annotations

from readbell.core.assay.step import Limit
from readbell.core.instant import SECOND, Span
from readbell.core.plan.hands_on import NOTHING, READING, exactly
from readbell.core.plan.work import Lag, Part, Piece, Work


def piece(key: str, takes: int, *, touches: bool = False) -> Piece:
    """A piece of one step that takes exactly so many seconds."""
    return Piece(parts=(Part(key=key, hands=exactly(Span(takes * SECOND)), touches=touches),))


def lag(first: int, second: int, pieces: tuple[Piece, ...], least: int, most: int | None) -> Lag:
    """From the end of one piece to the beginning of another, so many seconds at least and at most."""
    until = pieces[second]
    return Lag(
        first=first,
        second=second,
        since=pieces[first].parts[-1].key,
        until=until.parts[0].key,
        least=Span(least * SECOND),
        most=None if most is None else Span(most * SECOND + until.hands.usual),
        most_is=Limit.FIRM,
        tail=NOTHING,
        lead=NOTHING,
        hands=until.hands,
    )


def work(
    *pieces: Piece, gaps: tuple[tuple[int, int, int, int | None], ...], gloves: int = 0
) -> Work:
    """Work of any pieces; each gap is first, second, least and most."""
    return Work(
        assay="made-up",
        pieces=pieces,
        lags=tuple(lag(a, b, pieces, least, most) for a, b, least, most in gaps),
        inside=(),
        gloves=Span(gloves * SECOND),
    )


def kit(
    swab: int,
    wait: tuple[int, int | None],
    drops: int,
    window: tuple[int, int | None],
    read: int,
    *,
    gloves: int = 0,
) -> Work:
    """Swab, wait in buffer, drops, and a reading that begins and ends within `window`."""
    opens, closes = window
    return work(
        piece("swab", swab, touches=True),
        piece("drops", drops, touches=True),
        piece(READING, read),
        gaps=((0, 1, *wait), (1, 2, opens, None if closes is None else closes - read)),
        gloves=gloves,
    )


def coupled(first: int, apart: tuple[int, int], second: int) -> Work:
    """Two pieces with a gap between: the coupled task of the literature."""
    return work(piece("first", first), piece(READING, second), gaps=((0, 1, *apart),))
