"""The call: the most urgent thing, large, in a place of its own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, NEGATIVE, Bench, at, span
from readbell.core.assay.step import Wait
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.instant import Instant, later
from readbell.ui.call import call, most_urgent
from readbell.ui.glyphs import ASCII, UNICODE, Glyphs
from readbell.ui.ink import Line, Token
from readbell.ui.measures import measures
from readbell.ui.standings import standings
from ui.busy_board import FACE, NOW, busy_bench

if TYPE_CHECKING:
    from readbell.core.board.board import Board

BUSY = busy_bench()


def drawn(
    board: Board,
    now: Instant = NOW,
    *,
    size: tuple[int, int] = (120, 40),
    glyphs: Glyphs = UNICODE,
    masked: bool = False,
    flash: bool = False,
) -> tuple[Line, ...]:
    """The call."""
    layout = measures(*size)
    return call(board, now, layout, glyphs, face=FACE, masked=masked, flash=flash)


def left(lines: tuple[Line, ...], columns: int = 24) -> list[str]:
    """The words at the left."""
    return [each.text[:columns].strip() for each in lines]


def right(lines: tuple[Line, ...], column: int = 80) -> list[str]:
    """What stands beside the digits."""
    return [" ".join(each.text[column:].split()) for each in lines]


def test_the_closing_window_is_called_and_the_others_counted() -> None:
    """A lapse cannot be made good."""
    lines = drawn(BUSY.board)

    assert left(lines) == ["!! CLOSING", "", "Read C03  P-0414", "", "then 3 more to read"]
    assert [each.text[24:78].rstrip() for each in lines] == [
        "██████ ██████ ██████            ██        ██   ██████",
        "██     ██  ██     ██          ████   ██ ████   ██  ██",
        "██     ██  ██  █████            ██        ██   ██  ██",
        "██     ██  ██     ██            ██   ██   ██   ██  ██",
        "██████ ██████ ██████          ██████    ██████ ██████",
    ]


def test_beside_it_stands_what_was_lost_what_else_calls_and_what_is_next() -> None:
    """So that nobody has to work it out."""
    assert right(drawn(BUSY.board)) == [
        "x C01 lapsed repeat",
        "> C22 wait over Squeeze and ..",
        "C23 wait over in 0:25",
        "C07 opens in 1:20",
        "C08 opens in 2:05",
    ]


def test_on_a_small_screen_it_takes_three_rows() -> None:
    """The list needs the others."""
    lines = drawn(BUSY.board, size=(80, 24))

    assert left(lines, 16) == ["!! CLOSING", "P-0414", "then 3 more"]
    assert right(lines, 58) == ["x C01 lapsed repeat", "> C22 wait over", "C23 wait over 0:25"]


def test_on_a_tiny_screen_it_is_plain_text() -> None:
    """And still says all that is needed."""
    assert left(drawn(BUSY.board, size=(40, 12)), 40) == [
        "!! CLOSING   then 3 more",
        "C03  1:10  P-0414",
    ]


def test_a_wait_that_is_over_says_what_the_hands_do() -> None:
    """In the words of the assay."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    lines = drawn(bench.board, at("1:10"))

    assert left(lines) == [
        ">  WAIT OVER",
        "",
        "C1  P-001",
        "Squeeze and withdraw",
        "the swab",
    ]
    assert left(drawn(bench.board, at("3:10")))[0] == ">> OVERDUE"


def test_when_nothing_is_due_it_is_quiet_and_says_what_comes_next() -> None:
    """No fill, no bright digit."""
    bench = Bench()
    bench.to_well()
    lines = drawn(bench.board, at("10:00"))

    assert left(lines)[:4] == ["Nothing due", "", "next C1  P-001", "opens in"]
    tokens = {piece.token for each in lines for piece in each.pieces if "█" in piece.text}
    assert tokens == {Token.RAIL}


def test_a_wait_and_a_limit_to_come_say_what_they_are() -> None:
    """The figure alone would not."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    assert "in buffer: over in" in left(drawn(bench.board, at("0:30")))

    steps = tuple(
        replace(each, wait=Wait(until="withdraw", most=span("2:00")))
        if each.key == "extract"
        else each
        for each in NASAL.steps
    )
    other = Bench(replace(NASAL, steps=steps))
    other.label()
    for step in ("buffer", "collect", "extract"):
        other.step(step, "0:00")
    assert "to be done within" in left(drawn(other.board, at("0:30")))


def test_an_empty_bay_says_how_to_begin_and_a_done_one_what_was_done() -> None:
    """A blank place might be a broken one."""
    assert drawn(Bench().board)[0].text.strip() == "Nothing runs. F2 starts the first patient."
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    assert drawn(bench.board, at("19:00"))[0].text.strip() == "All read. 1 today, last 01:11."


def test_what_only_waits_for_a_hand_is_no_call() -> None:
    """A labelled cartridge has no time against it."""
    bench = Bench()
    bench.label()

    assert drawn(bench.board, at("0:10"))[0].text.strip() == "Nothing due"


def test_a_masked_call_names_nobody() -> None:
    """The tag is enough to find it."""
    assert "Read C03  P-····" in left(drawn(BUSY.board, masked=True))
    assert "P-04" not in "".join(each.text for each in drawn(BUSY.board, masked=True))


def test_a_flash_swaps_the_word_and_nothing_else() -> None:
    """Ink and ground change places; no letter moves."""
    still, flashed = drawn(BUSY.board), drawn(BUSY.board, flash=True)

    assert [each.text for each in still] == [each.text for each in flashed]
    assert Token.SHORT_FILL in {piece.token for piece in still[0].pieces}
    assert Token.SHORT_FILL not in {piece.token for piece in flashed[0].pieces}


def test_a_closing_window_comes_before_a_wait_that_is_overdue() -> None:
    """The wait is late already; the window can still be saved."""
    now = later(NOW, span("2:30"))
    top = most_urgent(standings(BUSY.board, now))

    assert top is not None
    assert top.cartridge.label == "C04"


def test_a_flood_is_told_as_one() -> None:
    """Thirty lapsed cartridges are one line with the first of them."""
    bench = Bench(units=None)
    for number in range(30):
        bench.to_well(f"C{number:02}", applied="2:30")
    lines = right(drawn(bench.board, at("22:31")))
    assert lines[0] == "x 30 lapsed C00 C01 C02 C03 C04 .."

    assert left(drawn(bench.board, at("18:00")))[4] == "then 29 more to read"


def test_an_unsure_clock_and_readings_stand_beside_a_call_for_hands() -> None:
    """None is left out because another is louder."""
    board = fold(BUSY.board, ClockUnsure(at=NOW, cartridges=("id-C03", "id-C09", "id-C10")))
    lines = right(drawn(board, size=(200, 60)), 160)
    assert "? 3 clock unsure C03 C09 C10" in lines

    bench = Bench()
    bench.to_well("C2", "P-002")
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "16:00")
    assert "! C2 READ NOW" in right(drawn(bench.board, at("19:30")))


@pytest.mark.parametrize("tag", ["C1", "A-1234567", "LONG-LABEL-000001", "[/", "日本"])
@pytest.mark.parametrize("size", [(40, 12), (80, 24), (120, 40), (200, 60)])
@pytest.mark.parametrize("glyphs", [UNICODE, ASCII])
def test_any_tag_and_an_hour_fit(tag: str, size: tuple[int, int], glyphs: Glyphs) -> None:
    """Neither is ever cut to something else, and no line is too wide."""
    rules = replace(NASAL.reading, opens=span("1:15:00"), closes=span("2:00:00"))
    bench = Bench(replace(NASAL, reading=rules))
    bench.to_well(tag)
    lines = drawn(bench.board, at("3:00"), size=size, glyphs=glyphs)

    assert {each.width for each in lines} == {size[0]}
    assert len(lines) == measures(*size).rows.call_rows


@pytest.mark.parametrize("size", [(40, 12), (60, 20), (80, 24), (120, 40), (200, 60)])
def test_a_wait_left_overnight_is_told_whole(size: tuple[int, int]) -> None:
    """A figure that is too wide for large digits is written small, not cut."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    lines = drawn(bench.board, at("12:37:56"), size=size)

    assert {each.width for each in lines} == {size[0]}
    if size[0] in (40, 120):
        assert "C1  +12:34:56" in "".join(each.text for each in lines)


def test_a_tag_too_long_for_large_letters_stands_small_beside_the_figure() -> None:
    """Its end tells it from the next, and the figure stays large."""
    bench = Bench()
    bench.to_well("LONG-LABEL-000001")
    middle = drawn(bench.board, at("18:00"))[2].text

    assert "000001" in middle
    assert "█" in middle
