"""Where all stand, worked out again only where it may have changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import Bench, span
from readbell.core.instant import Instant, Span, later
from readbell.phrases.board_words import Standing, standing
from readbell.ui import standings as tested
from readbell.ui.standings import standings
from ui.busy_board import NOW, busy_bench

if TYPE_CHECKING:
    import pytest

    from readbell.core.cartridge.cartridge import Cartridge

BUSY = busy_bench()


def test_it_is_what_each_cartridge_says_of_itself_at_any_time() -> None:
    """Also when the clock is set back: nothing old may stay on the screen."""
    for second in (0, 1, 35, 71, 80, 81, 200, 600, 30, 0, 1800):
        now = later(NOW, Span(second * 1000))
        for each in standings(BUSY.board, now):
            assert each.stands == standing(each.cartridge, now)


def test_a_second_later_hardly_any_is_worked_out_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A thousand must cost little more than ten."""
    asked: list[str] = []

    def counted(cartridge: Cartridge, now: Instant) -> Standing:
        asked.append(cartridge.label)
        return standing(cartridge, now)

    standings(BUSY.board, NOW)
    monkeypatch.setattr(tested, "standing", counted)
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
