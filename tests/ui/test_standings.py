"""Where all stand, worked out again only where it may have changed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import Bench, span
from readbell.core.instant import Instant, Span, later
from readbell.phrases.board_words import Standing, Where, standing, standing_within
from readbell.ui import standings as tested
from readbell.ui.at_rest import order_at
from readbell.ui.standings import AllStanding, At, standings
from ui.busy_board import NOW, busy_bench

if TYPE_CHECKING:
    import pytest

    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.window import Window

BUSY = busy_bench()


def test_it_is_what_each_cartridge_says_of_itself_at_any_time() -> None:
    """Also when the clock is set back: nothing old may stay on the screen."""
    for second in (0, 1, 35, 71, 80, 81, 200, 600, 30, 0, 1800):
        now = later(NOW, Span(second * 1000))
        for each in standings(BUSY.board, now):
            assert each.stands == standing(each.cartridge, now)
        shown = [each.cartridge for each in standings(BUSY.board, now)]
        assert shown == order_at(BUSY.board, now)


def test_while_nothing_changes_it_is_the_very_same_answer() -> None:
    """So whoever sorts it by kind does so once, and not each second."""
    first = standings(BUSY.board, NOW)
    assert standings(BUSY.board, later(NOW, span("0:01"))) is first
    assert standings(BUSY.board, later(NOW, span("0:35"))) is not first
    assert len(first) == len(BUSY.board.running) == 23


def test_kinds_are_told_apart_in_the_order_of_the_rows() -> None:
    """And what comes next is the soonest, of whatever kind."""
    found = standings(BUSY.board, NOW)

    assert [each.cartridge.label for each in found.of(Where.CLOSING, Where.WAIT_OVER)] == [
        "C03",
        "C22",
    ]
    assert found.of(Where.UNSURE) == ()
    assert found.for_hands == 2
    assert [each.cartridge.label for each in found.coming][:3] == ["C23", "C07", "C08"]
    dues = [each.stands.due for each in found.coming]
    assert None not in dues
    assert dues == sorted(dues, key=lambda due: due or 0)


def test_next_is_the_longest_step_due_then_what_comes_then_what_hands_may_do() -> None:
    """The quiet call in large digits, where nothing calls aloud."""
    busy = {each.cartridge.label: each for each in standings(BUSY.board, NOW)}
    hands, coming = (busy["C24"], busy["C25"]), (busy["C08"], busy["C07"])
    due = [
        At(each.cartridge, replace(each.stands, where=Where.STEP_DUE, due=Instant(NOW - place)))
        for place, each in enumerate(hands)
    ]

    assert AllStanding((*hands, *coming, *due)).next_due is due[1]
    assert AllStanding((*hands, *coming)).next_due is busy["C07"]
    assert AllStanding(hands).next_due is busy["C24"]
    assert AllStanding(()).next_due is None


def test_a_second_later_hardly_any_is_worked_out_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A thousand must cost little more than ten."""
    asked: list[str] = []

    def counted(cartridge: Cartridge, span: Window | None, now: Instant) -> Standing:
        asked.append(cartridge.label)
        return standing_within(cartridge, span, now)

    standings(BUSY.board, NOW)
    monkeypatch.setattr(tested, "standing_within", counted)
    standings(BUSY.board, later(NOW, span("0:01")))
    assert asked == []

    standings(BUSY.board, later(NOW, span("0:35")))
    assert set(asked) == {"C20", "C23"}, "an early look becomes possible, a wait is over"


def test_what_was_done_to_one_is_seen_at_once() -> None:
    """An act leaves every other as it was."""
    bench: Bench = busy_bench()
    before = standings(bench.board, NOW)
    bench.must(bench.void_act("C24"), "40:00")
    after = standings(bench.board, NOW)

    assert {each.cartridge.label for each in before} - {each.cartridge.label for each in after} == {
        "C24"
    }
