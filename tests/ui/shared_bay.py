"""A busy bay that three stations share, as the one at the bench sees it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from builders import CLEAR, START
from readbell.bay.around import AloneNow, Around, Pulse
from readbell.core.board.fold import replay
from readbell.core.cartridge.events import CartridgeRead
from readbell.core.instant import Span, between, earlier
from readbell.core.span_text import write_span
from readbell.core.stations.apart import ApartReason
from readbell.core.stations.events import ActKeptApart, CartridgeHeld, StationJoined
from readbell.shapes import shape_of
from ui.busy_board import NOW, busy_bench

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.private import Private

WINDOW = Pulse(
    station="window", mark="A", hears=frozenset({"waits"}), lanes=frozenset({"lane 1", "lane 2"})
)
BENCH = Pulse(station="bench", mark="B")
OFFICE = Pulse(station="office", mark="C", hears=frozenset())
ALONE_SINCE = earlier(NOW, Span(192_000))
LOST = "the link to the server is lost"


def shared_board(*, apart: int = 0) -> Board:
    """Return the busy board with three stations, of which two hold clocks.

    Of C04 so many readings are kept `apart`, beside one that stands.
    """
    bench = busy_bench()
    joined = [
        StationJoined(at=NOW, station=each.station, mark=each.mark)
        for each in (WINDOW, BENCH, OFFICE)
    ]
    held = [
        CartridgeHeld(at=NOW, cartridge=each, station="window" if place % 3 else "bench")
        for place, each in enumerate(bench.board.running)
    ]
    kept = []
    if apart:
        made = bench.must(bench.read_act(CLEAR, "C04"), write_span(between(START, NOW)))
        (read,) = (each for each in made if isinstance(each, CartridgeRead))
        kept = [kept_apart(read, bench.board) for _ in range(apart)]
        held = [each for each in held if each.cartridge in bench.board.running]
    return replay([*joined, *held, *kept], bench.board)


def kept_apart(read: CartridgeRead, board: Board) -> ActKeptApart:
    """Return a reading as it is kept apart, because the same strip was read elsewhere as well."""
    found = board.cartridge(read.cartridge)
    assert found is not None
    return ActKeptApart(
        at=NOW,
        station="window",
        done=earlier(NOW, Span(60_000)),
        by=read.by,
        kind="cartridge-read",
        version=1,
        reason=ApartReason.READ_THERE,
        cartridge=read.cartridge,
        label=found.label,
        person=found.labelled.subject,
        body=shape_of(CartridgeRead).write(read, _key),
        entered=None,
        asks=True,
    )


def _key(kept: Private) -> str:
    return json.dumps({"key": kept.key})


def linked(*, away: bool = False) -> Around:
    """Return what is known while the link is there; the window may be `away`."""
    seen = (BENCH, OFFICE) if away else (BENCH, WINDOW, OFFICE)
    gone = frozenset({"window"}) if away else frozenset[str]()
    return Around(station="bench", mark="B", seen=seen, away=gone)


def alone(*, joins: bool = False, fault: str = "", refused: str = "") -> Around:
    """Return what is known alone, or once the link is back and both sides are joined up."""
    return Around(
        station="bench",
        mark="B",
        alone=AloneNow(since=ALONE_SINCE, why=LOST, is_joining=joins, fault=fault, refused=refused),
        seen=(BENCH,),
        away=frozenset({"window", "office"}),
    )
