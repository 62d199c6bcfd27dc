"""The call: the most urgent thing, large, in a place of its own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, Bench, at, span
from readbell.core.assay.step import Wait
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.instant import later
from readbell.ui.call import left_out
from readbell.ui.called import largest
from readbell.ui.glyphs import ASCII, UNICODE
from readbell.ui.ink import Token
from readbell.ui.measures import measures
from readbell.ui.standings import standings
from ui.busy_board import NOW, busy_bench
from ui.calls import drawn, in_buffer, left, right

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.ui.glyphs import Glyphs

BUSY = busy_bench()


def test_the_closing_window_is_called_and_the_others_counted() -> None:
    """A lapse cannot be made good."""
    lines = drawn(BUSY.board)

    assert left(lines) == [
        "!! CLOSING",
        "",
        "Read P-0414",
        "until 01:34:30",
        "then 3 more to read",
    ]
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
        "C23 wait ends in 0:25",
        "C07 opens in 1:20",
        "C08 opens in 2:05",
    ]


def test_on_a_small_screen_it_takes_three_rows() -> None:
    """The list needs the others."""
    lines = drawn(BUSY.board, size=(80, 24))

    assert left(lines, 16) == ["!! CLOSING", "P-0414", "until 01:34:30"]
    assert right(lines, 58) == ["! 3 READ NOW C04 ..", "x C01 lapsed repeat", "> C22 wait over"]


def test_on_a_tiny_screen_it_is_plain_text() -> None:
    """And still says all that is needed."""
    assert left(drawn(BUSY.board, size=(40, 12)), 40) == [
        "!! CLOSING   then 3 more",
        "C03  1:10  P-0414  until 01:34:30",
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
        "P-001",
        "Squeeze and withdraw",
        "the swab",
        "until 00:56:20",
    ]
    assert left(drawn(bench.board, at("3:10")))[0] == ">> OVERDUE"


def test_a_masked_call_names_nobody() -> None:
    """The tag is enough to find it."""
    assert "Read P-····" in left(drawn(BUSY.board, masked=True))
    assert "P-04" not in "".join(each.text for each in drawn(BUSY.board, masked=True))


def test_a_flash_swaps_the_word_and_nothing_else() -> None:
    """Ink and ground change places; no letter moves."""
    still, flashed = drawn(BUSY.board), drawn(BUSY.board, flash=True)

    assert [each.text for each in still] == [each.text for each in flashed]
    assert Token.SHORT_FILL in {piece.token for piece in still[0].pieces}
    assert Token.SHORT_FILL not in {piece.token for piece in flashed[0].pieces}


def called(board: Board, now: Instant) -> str:
    """The tag that stands in large digits."""
    top = largest(standings(board, now), now)
    return "" if top is None else top.cartridge.label


def test_a_closing_window_comes_before_a_wait_that_is_overdue() -> None:
    """The wait is late already; the window can still be saved."""
    assert called(BUSY.board, later(NOW, span("2:30"))) == "C04"


@pytest.mark.parametrize(
    ("now", "tag"),
    [
        pytest.param("18:30", "C41", id="overdue for half a minute: news"),
        pytest.param("18:59", "C41", id="its last second as news"),
        pytest.param("19:00", "C1", id="a minute later the open window is large"),
        pytest.param("30:00", "C41", id="until nothing else calls"),
    ],
)
def test_a_wait_past_its_limit_hides_no_open_window_for_longer_than_a_minute(
    now: str, tag: str
) -> None:
    """It is late whatever is done, and the window is not yet lost."""
    bench = Bench()
    bench.to_well("C1", "P-001", applied="2:30")
    in_buffer(bench, "C41", "P-002", "15:00")

    assert called(bench.board, at(now)) == tag


def test_a_close_that_is_near_comes_first_without_a_warning_too() -> None:
    """An assay need not ask for one."""
    rules = replace(NASAL.reading, closing_warning=span("0:00"))
    bench = Bench(replace(NASAL, reading=rules))
    bench.to_well("C1", "P-001", applied="2:30")
    in_buffer(bench, "C41", "P-002", "17:10")

    assert called(bench.board, at("20:20")) == "C41"
    assert called(bench.board, at("20:30")) == "C1"


def test_a_wait_without_a_limit_comes_behind_all_that_can_be_late() -> None:
    """Nothing is lost by it."""
    steps = tuple(
        replace(each, wait=Wait(until="withdraw", least=span("1:00")))
        if each.key == "extract"
        else each
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    in_buffer(bench, "C1", "P-001", "0:00")
    assert called(bench.board, at("10:00")) == "C1"

    bench.to_well("C2", "P-002", applied="2:30")
    assert called(bench.board, at("18:00")) == "C2"


def test_an_overdue_one_called_large_leaves_the_open_windows_beside_it_in_front() -> None:
    """Thirty-nine to read must not be the fourth line."""
    bench = Bench(units=None)
    bench.to_well("C1", "P-001", applied="2:30")
    bench.to_well("C2", "P-001", applied="2:30")
    in_buffer(bench, "C41", "P-002", "15:00")

    lines = drawn(bench.board, at("18:10"), size=(80, 24))
    assert left(lines, 16) == [">> OVERDUE", "P-002", "Squeeze and .."]
    assert right(lines, 58)[0] == "! 2 READ NOW C1 C2"


def test_with_few_rows_what_closes_and_what_is_open_share_a_line() -> None:
    """So that neither pushes out what was lost."""
    bench = Bench(units=None)
    bench.to_well("C1", "P-001", applied="2:30")
    bench.to_well("C2", "P-001", applied="2:40")
    bench.to_well("C3", "P-002", applied="4:00")
    now = at("21:00")

    assert right(drawn(bench.board, now, size=(80, 24)), 58)[0] == "!!2 to read C2 C3"
    assert left(drawn(bench.board, now))[4] == "then 2 more to read"


def test_what_has_no_room_in_the_call_is_told_whole_below_the_list() -> None:
    """ "Squeeze and" is half an instruction."""
    bench = Bench()
    in_buffer(bench, "C41", "P-002", "15:00")

    small, middle, tiny = (measures(*size) for size in ((80, 24), (120, 40), (40, 12)))
    assert left_out(bench.board, at("16:10"), small) == "C41: Squeeze and withdraw the swab"
    assert left_out(bench.board, at("16:10"), middle) == ""
    assert left_out(bench.board, at("16:10"), tiny) == ""
    assert left_out(bench.board, at("15:10"), small) == ""


def test_a_clock_time_stands_beside_the_figure() -> None:
    """The cartridge carries a clock time; a countdown alone has to be worked out."""
    bench = Bench()
    bench.to_well()

    assert left(drawn(bench.board, at("10:00"), size=(80, 24)), 16)[2] == "opens 01:10:50"
    assert "at 01:10:50" in left(drawn(bench.board, at("10:00")))
    assert left(drawn(bench.board, at("18:00"), size=(80, 24)), 16)[2] == "until 01:15:50"


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
