"""The room of the figures: today and this week at a glance, and never in the way of a picture."""

from __future__ import annotations

import threading
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, NEGATIVE, NO_CONTROL, Bench
from patience import PATIENCE_SECONDS
from readbell.bay import week_walked
from readbell.bay.lately import Lately
from readbell.core.board.board import Board
from readbell.core.board.events import ActRefused
from readbell.core.board.fold import fold
from readbell.core.figures.watching import watch_over_lots
from readbell.core.instant import MINUTE, Span, earlier
from readbell.core.refusal import RefusalCode
from readbell.hand.doing import Room, Visiting
from readbell.journal.counting import SiteDays
from readbell.phrases.week_words import NOT_COUNTED, say_week
from readbell.ui.glyphs import ASCII
from ui.pages import LOOK, SIZES, SMALL_SIZES, painted, present, text

if TYPE_CHECKING:
    from readbell.core.figures.week import Week
    from readbell.ui.look import Look

ROOM = Visiting(room=Room.FIGURES)


def worked() -> Bench:
    """A bay in which a negative and a positive were read."""
    bench = Bench()
    bench.to_well()
    bench.to_well("C2", "P-002")
    bench.must(bench.read_act(NEGATIVE), "18:30")
    bench.must(bench.read_act(CLEAR, "C2"), "19:00")
    return bench


def counted(board: Board, day: str) -> Week:
    """What the thread counts, waited for."""
    there = threading.Event()
    lately = Lately(there.set)
    try:
        assert lately.seen(board, day) is None
        assert there.wait(PATIENCE_SECONDS)
        found = lately.seen(board, day)
    finally:
        lately.stop()
    assert found is not None
    return found


def shown(
    week: Week | None, size: tuple[int, int] = (80, 24), look: Look = LOOK, *, bench: Bench
) -> str:
    """The page as text."""
    now = present(bench.board, ROOM)
    return text(painted(replace(now, scene=replace(now.scene, week=week)), *size, look))


def day_of(bench: Bench) -> str:
    """The day on which the bench works."""
    return SiteDays(bench.board).of(bench.cartridge().labelled.at)[0]


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES])
def test_the_room_fits_every_terminal(size: tuple[int, int]) -> None:
    """And says something in the smallest."""
    bench = worked()
    page = shown(counted(bench.board, day_of(bench)), size, bench=bench)
    assert len(page.splitlines()) <= size[1]
    assert all(len(each) <= size[0] for each in page.splitlines())
    assert "tests" in page or size[1] < 12


def test_today_and_this_week_stand_side_by_side() -> None:
    """Counts with their share, and how sure it is."""
    bench = worked()
    page = shown(counted(bench.board, day_of(bench)), bench=bench)
    assert "this week" in page
    assert "1 = 50.0 % (9.5 to 90.5)" in page
    assert "waits kept" in page


def test_before_it_is_counted_the_room_says_so() -> None:
    """A picture waits for nothing."""
    assert NOT_COUNTED in shown(None, bench=worked())


def test_who_has_been_away_shows_nobody_how_many_were_positive() -> None:
    """Of a single test the count is the outcome."""
    bench = worked()
    week = counted(bench.board, day_of(bench))
    now = present(bench.board, ROOM, idle=LOOK.masks_after)
    page = text(painted(replace(now, scene=replace(now.scene, week=week)), 80, 24))
    assert "hidden" in page
    assert "50.0 %" not in page


def test_plain_signs_are_enough() -> None:
    """The bars are drawn with them."""
    bench = worked()
    look = replace(LOOK, glyphs=ASCII)
    page = shown(counted(bench.board, day_of(bench)), look=look, bench=bench)
    assert page.isascii()


def test_what_comes_later_is_added_and_a_new_week_begins_anew() -> None:
    """Only what changed is counted, and what is of last week is left out."""
    bench, told = worked(), threading.Event()
    lately, day = Lately(told.set), day_of(bench)

    def waited(board: Board, when: str) -> Week:
        told.clear()
        found = lately.seen(board, when)
        if found is None or lately._last is None or lately._last[0] is not board:
            assert told.wait(PATIENCE_SECONDS)
        found = lately.seen(board, when)
        assert found is not None
        return found

    try:
        assert waited(bench.board, day).today.tests == 2
        bench.to_well("C3")
        bench.must(bench.read_act(NEGATIVE, "C3"), "18:30")
        assert waited(bench.board, day).today.tests == 3
        assert waited(bench.board, "2027-01-20").whole.tests == 0
    finally:
        lately.stop()
    assert lately.seen(Board(), day) is None


def test_a_device_left_over_for_days_hides_nothing_of_the_week() -> None:
    """Labelled in the week before, thrown away in the middle of this one."""
    bench = Bench()
    bench.label("C9", "P-001", "0:00")
    bench.label("C1", "P-002", "240:00:00")
    bench.must(bench.void_act("C1"), "240:10:00")
    bench.must(bench.void_act("C9"), "241:00:00")
    assert counted(bench.board, "2026-04-08").whole.total == 1


def test_a_lot_out_of_the_ordinary_is_named_and_nothing_is_done() -> None:
    """Where people look, with what to do; it is read aloud too."""
    bench = worked()
    for number in range(3, 9):
        bench.to_well(f"C{number}", "P-001")
        bench.must(bench.read_act(NO_CONTROL, f"C{number}"), "18:30")
    week = counted(bench.board, day_of(bench))

    assert week.flagged == ("L-100",)
    page = shown(week, bench=bench)
    assert "Lot L-100: more invalid strips than usual. Proposed: run control samples" in page
    assert list(say_week(week))[-1].startswith("Lot L-100: more invalid strips than usual.")
    assert not bench.board.lots["L-100"].on_hold


def test_a_lot_that_is_on_hold_already_is_said_to_be() -> None:
    """Nobody is asked for what was done."""
    bench = worked()
    for number in range(3, 9):
        bench.to_well(f"C{number}", "P-001")
        bench.must(bench.read_act(NO_CONTROL, f"C{number}"), "18:30")
    bench.must(bench.hold_act("L-100"))
    week = counted(bench.board, day_of(bench))

    page = shown(week, bench=bench)
    assert "Lot L-100: more invalid strips than usual. It is on hold now." in page
    assert "Proposed" not in page


def test_a_lot_that_went_bad_last_week_is_watched_this_monday() -> None:
    """As long as it may be used; the running sum does not begin anew with a week."""
    bench = worked()
    for number in range(3, 9):
        bench.to_well(f"C{number}", "P-001")
        bench.must(bench.read_act(NO_CONTROL, f"C{number}"), "18:30")

    later = counted(bench.board, "2026-04-08")
    assert (later.whole.tests, later.flagged) == (0, ("L-100",))
    assert counted(bench.board, "2026-09-08").flagged == ()


def test_before_the_week_only_so_many_strips_are_walked(monkeypatch: pytest.MonkeyPatch) -> None:
    """A busy site has a quarter of a million of them in the days that are watched."""
    monkeypatch.setattr(week_walked, "AT_MOST", 2)
    bench = worked()
    for number in range(3, 9):
        bench.to_well(f"C{number}", "P-001")
        bench.must(bench.read_act(NO_CONTROL, f"C{number}"), "18:30")

    assert counted(bench.board, "2026-04-08").flagged == ()
    assert counted(bench.board, day_of(bench)).flagged == ("L-100",)


def test_what_is_usual_here_is_for_the_site_to_say() -> None:
    """Nothing is flagged where most strips are invalid as a rule."""
    bench, there = worked(), threading.Event()
    for number in range(3, 9):
        bench.to_well(f"C{number}", "P-001")
        bench.must(bench.read_act(NO_CONTROL, f"C{number}"), "18:30")
    lately = Lately(there.set)
    lately.watch = lambda: watch_over_lots(0.6, 0.9, 5_000)
    lately.seen(bench.board, day_of(bench))
    assert there.wait(PATIENCE_SECONDS)
    week = lately.seen(bench.board, day_of(bench))
    lately.stop()

    assert week is not None
    assert week.flagged == ()


def test_near_misses_of_today_and_of_the_week_stand_first() -> None:
    """They are the first thing to look at; those of a week ago are none of them."""
    bench = worked()
    now = bench.cartridge().labelled.at
    for ago in (0, 30, 24 * 60, 8 * 24 * 60):
        miss = ActRefused(
            at=earlier(now, Span(ago * MINUTE)),
            by=None,
            act="read",
            code=RefusalCode.TOO_EARLY,
            cartridge=None,
            entered=None,
            bands=None,
        )
        bench.board = replace(bench.board, near_misses=fold(bench.board, miss).near_misses)
    # The newest comes last on record.
    kept = [*bench.board.near_misses.values()]
    bench.board = replace(
        bench.board, near_misses={str(place): each for place, each in enumerate(reversed(kept))}
    )
    week = counted(bench.board, day_of(bench))

    assert (week.refused_today, week.refused) == (2, 3)
    assert "near misses    2" in shown(week, bench=bench)


def test_a_fault_in_the_counting_takes_no_board_along() -> None:
    """There are no figures then, and nobody counts over and over what fails."""
    told = threading.Event()
    lately = Lately(told.set)
    broken = replace(Board(), told=None)  # type: ignore[arg-type]
    ended = replace(broken, ended={"id": None})  # type: ignore[dict-item]
    try:
        assert lately.seen(ended, "2026-03-29") is None
        assert told.wait(PATIENCE_SECONDS)
        told.clear()
        assert lately.seen(ended, "2026-03-29") is None
        assert not told.wait(0.05)
    finally:
        lately.stop()
