"""Pages of an invented bay, made of values alone: no thread, no disk, no terminal."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import NASAL, THREE_LINES, Bench, span
from readbell.bay.news import News
from readbell.core.board.sound import Sounding
from readbell.core.cartridge.events import How
from readbell.core.instant import Instant, Span
from readbell.hand.doing import (
    Doing,
    Filling,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Leaving,
    Paper,
    Purpose,
    Room,
    Stepping,
    TakingBack,
    Visiting,
    Voiding,
    Watching,
)
from readbell.hand.hand import Hand, Said
from readbell.hand.scene import AtHand, Scene
from readbell.phrases.assay_words import say_figures
from readbell.ui.front import Present
from readbell.ui.glyphs import UNICODE
from readbell.ui.look import Look
from readbell.ui.page import Page, compose
from ui.busy_board import FACE, NOW

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.bay.around import Around
    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.journal.keeper import NotSaved

SHELF = tuple(
    AtHand(id=each.id, title=each.title, figures=say_figures(each)) for each in (NASAL, THREE_LINES)
)
LOOK = Look(glyphs=UNICODE)
SIZES = ((80, 24), (120, 40), (200, 60))
SMALL_SIZES = ((20, 8), (20, 24), (36, 12), (60, 16), (79, 23))
STEPPING = Stepping(cartridge="id-C25", until="extract")
READING = Judging(purpose=Purpose.READ, cartridge="id-C03", control=True, cursor=1)
EVERY: tuple[Doing, ...] = (
    Watching(),
    STEPPING,
    Stepping(cartridge="id-C22", until="withdraw", ago=span("2:00")),
    Labelling(person="P-0412", person_by=How.SCANNED),
    Gathering(persons=("P-901", "P-902")),
    READING,
    replace(READING, cannot_be_read=True),
    replace(READING, purpose=Purpose.CORRECT),
    Judging(purpose=Purpose.LOOK, cartridge="id-C09"),
    Voiding(cartridge="id-C22", reason="other"),
    *(Visiting(room=room) for room in Room),
    *(Filling(paper=paper) for paper in Paper),
    TakingBack(cartridge="id-C22", step="extract", reason="other"),
    Helping(before=Watching()),
    Leaving(),
)
"""What a hand may be in the middle of, on one page or another."""


def present(
    board: Board,
    doing: Doing | None = None,
    *,
    now: Instant = NOW,
    said: Said | None = None,
    chosen: str | None = None,
    opened: bool = False,
    operator: str | None = "op-1",
    heard: str | None = None,
    idle: Span = Span(0),
    told: str = "",
    not_saved: NotSaved | None = None,
    not_saved_since: Instant | None = None,
    sounding: Sounding | None = None,
    alerted: Mapping[str, Instant] | None = None,
    around: Around | None = None,
) -> Present:
    """Return how everything stands."""
    hand = Hand(
        doing=Watching() if doing is None else doing,
        operator=operator,
        chosen=chosen,
        opened=opened,
        said=said,
    )
    news = News(
        board=board,
        events=(),
        at=now,
        wall=now,
        not_saved=not_saved,
        sounding=Sounding(can_sound=True) if sounding is None else sounding,
        around=around,
    )
    scene = Scene(board=board, now=now, face=FACE, sounding=heard, shelf=SHELF, around=around)
    return Present(
        news=news,
        hand=hand,
        scene=scene,
        idle=idle,
        not_saved_since=not_saved_since,
        told=told,
        alerted={} if alerted is None else alerted,
    )


def text(page: Page) -> str:
    """Return the page as it is read without colour."""
    return "\n".join(each.text.rstrip() for each in page.lines)


def row_with(page: Page, words: str) -> int:
    """Return the first row on which `words` stand."""
    rows = [row for row, each in enumerate(page.lines) if words in each.text]
    assert rows, f"{words!r} stands nowhere on\n{text(page)}"
    return rows[0]


def painted(now: Present, width: int, height: int, look: Look = LOOK, *, typed: str = "") -> Page:
    """Return the page of that size."""
    return compose(now, look, width, height, typed=typed)


def one_strip(assay: Assay = NASAL) -> Bench:
    """Return a bench with one strip, applied at 2:30, whose window opens 15:00 later."""
    bench = Bench(assay)
    bench.label("C07", "P-001")
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00", "C07")
    bench.step("withdraw", "1:00", "C07")
    bench.step("apply", "2:30", "C07")
    return bench
