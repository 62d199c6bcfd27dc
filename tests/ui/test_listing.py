"""The list: rows in the order in which they are lost, and none out of sight unsaid."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import START, THREE_LINES, Bench, at, private
from readbell.core.board.acts import RegisterParty, RegisterPerson
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Instant, Span, later
from readbell.ui.at_rest import at_rest
from readbell.ui.glyphs import UNICODE
from readbell.ui.listing import Pointed, in_order, kept_inside, listing, top_showing
from readbell.ui.measures import measures
from ui.busy_board import FACE, NOW, busy_bench

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.ui.ink import Line

BUSY = busy_bench().board


def drawn(
    board: Board = BUSY,
    now: Instant = NOW,
    *,
    size: tuple[int, int] = (120, 40),
    rows: int = 25,
    top: int = 0,
    pointed: Pointed | None = None,
) -> tuple[Line, ...]:
    """The list."""
    return listing(
        board,
        now,
        measures(*size).columns,
        UNICODE,
        face=FACE,
        rows=rows,
        top=top,
        pointed=pointed or Pointed(),
    )


def tags(lines: tuple[Line, ...]) -> list[str]:
    """The tag of each row."""
    return [each.text[4:9].strip() for each in lines[1:]]


def test_the_head_labels_columns_and_axis() -> None:
    """Labels stand still because the now-line does."""
    assert drawn()[0].text.rstrip() == (
        "     cart. patient  state        time        now              5 min          10"
        "             15             20  at"
    )
    assert drawn(size=(80, 24))[0].text.startswith("    cart pat.    state       time     now")


def test_the_lapsed_come_first_then_what_is_lost_next() -> None:
    """The eye falls on the top."""
    assert tags(drawn())[:8] == ["C01", "C03", "C22", "C23", "C04", "C05", "C06", "C07"]
    assert tags(drawn(rows=24))[-2:] == ["C24", "C25"]


def test_the_last_row_says_what_is_below() -> None:
    """How many, and when the first of them opens."""
    lines = drawn(size=(80, 24), rows=16)

    assert len(lines) == 17
    assert lines[-1].text.rstrip() == "    9 more below   first opens in 8:40   PgDn"


def test_further_down_it_says_what_is_above_too() -> None:
    """Nothing is out of sight unsaid."""
    assert drawn(rows=10, top=5)[-1].text.strip() == (
        "5 more above   10 more below   first opens in 7:50   PgUp PgDn"
    )
    assert drawn(rows=10, top=99)[-1].text.strip() == "15 more above   PgUp"


def test_a_first_one_below_without_a_figure_says_its_word() -> None:
    """After a clock that lied there is no time to tell."""
    bench = Bench()
    for tag, person in (("C1", "P-001"), ("C2", "P-002"), ("C3", "P-001")):
        bench.to_well(tag, person)
    board = fold(bench.board, ClockUnsure(at=at("3:00"), cartridges=("id-C2",)))

    shown = drawn(board, at("4:00"), rows=2)[-1].text.strip()
    assert shown == "2 more below   first clock unsure   PgDn"


def test_a_list_without_rows_has_a_head() -> None:
    """The screen may be too low for any."""
    assert len(drawn(rows=0)) == 1


def test_empty_rows_keep_the_now_line() -> None:
    """It never breaks off."""
    lines = drawn(Bench().board, rows=3)

    assert [each.text.strip() for each in lines[1:]] == ["│"] * 3


def test_the_chosen_row_has_its_ground_and_a_flashing_one_no_fill() -> None:
    """The one by who looks, the other by what calls."""
    pointed = Pointed(chosen="id-C04", flashing=frozenset({"id-C03"}))
    lines = drawn(pointed=pointed)

    assert [each.chosen for each in lines].index(True) == 5
    assert not any("fill" in piece.token for piece in lines[2].pieces)


@pytest.mark.parametrize(
    ("place", "top", "expected"),
    [(0, 0, 0), (8, 0, 0), (9, 0, 1), (3, 5, 3), (24, 0, 16), (7, 5, 5)],
)
def test_the_list_moves_only_as_far_as_it_must(place: int, top: int, expected: int) -> None:
    """The rows about the chosen one stay where they were."""
    assert top_showing(place, top, 25, 10) == expected


def test_no_page_begins_behind_the_end() -> None:
    """A screenful of nothing would look like no work."""
    assert kept_inside(90, 25, 10) == 16
    assert kept_inside(-3, 25, 10) == 0
    assert kept_inside(5, 8, 10) == 0


def test_the_order_is_worked_out_once_a_board() -> None:
    """It changes only when somebody acts."""
    assert at_rest(BUSY) is at_rest(BUSY)
    assert at_rest(replace(BUSY)) is not at_rest(BUSY)


def test_a_lapsed_one_leaves_after_a_while() -> None:
    """It was seen, or its day is over."""
    assert tags(drawn())[0] == "C01"
    assert "C01" not in [each.label for each in in_order(BUSY, later(NOW, Span(30 * 60_000)))]


def test_a_flood_of_lapsed_ones_pushes_nothing_out_of_sight_that_can_be_saved() -> None:
    """The latest stand on top, the others behind; none is missing."""
    bench = Bench(units=None)
    for number in range(9):
        tag = f"C{number}"
        bench.must(RegisterPerson(by="op-1", person=private(f"Q-{number}")))
        bench.to_well(tag, f"Q-{number}", applied="2:30")
    bench.to_well("D1", applied="4:30")
    for number in range(9):
        lost = bench.cartridge(f"C{number}")
        bench.board = fold(bench.board, lapse(lost, at("22:30")))

    found = [each.label for each in in_order(bench.board, at("23:00"))]
    assert found == ["C4", "C5", "C6", "C7", "C8", "D1", "C0", "C1", "C2", "C3"]


def test_a_wide_screen_tells_assays_places_and_parties_apart() -> None:
    """Where more than one is at work, and where there is room."""
    bench = Bench()
    bench.adopt(THREE_LINES)
    bench.must(RegisterParty(by="op-1", party=private("blue car"), persons=(private("P-009"),)))
    bench.must(replace(bench.label_act(person="P-009"), place=private("tray 2")))
    head, row, *_ = drawn(bench.board, at("0:10"), size=(170, 40), rows=3)

    assert head.text.split()[-4:] == ["at", "lines", "place", "party"]
    assert row.text.split()[-5:] == ["T", "tray", "2", "blue", "car"]
    assert row.width == head.width == 170


def thousand() -> Board:
    """A thousand cartridges, a second apart."""
    bench = Bench(units=None)
    model = bench.to_well()
    found = {}
    for number in range(1000):
        labelled = replace(model.labelled, cartridge=f"id-{number}", label=f"C{number}")
        marks = tuple(
            replace(
                mark,
                done=replace(
                    mark.done,
                    said=later(mark.done.said, Span(number * 1000)),
                    earliest=later(mark.done.earliest, Span(number * 1000)),
                    latest=later(mark.done.latest, Span(number * 1000)),
                ),
            )
            for mark in model.marks
        )
        found[f"id-{number}"] = replace(model, labelled=labelled, marks=marks, ordinal=number + 1)
    return replace(bench.board, running=found)


def test_of_a_thousand_only_the_rows_in_sight_are_made() -> None:
    """A long list must cost little more than a short one."""
    board = thousand()
    drawn(board, at("10:00"))
    begins = time.process_time()
    for second in range(10):
        lines = drawn(board, later(START, Span(600_000 + second * 1000)))
    took = time.process_time() - begins

    assert lines[-1].text.strip().startswith("976 more below")
    # 24 rows take a few milliseconds; a thousand would take far more than this.
    assert took / 10 < 0.1
