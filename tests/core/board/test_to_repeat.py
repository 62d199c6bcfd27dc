"""Who is owed a fresh cartridge: nobody who got nothing may be forgotten."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, NEGATIVE, NO_CONTROL, SMEAR, THREE_LINES, Bench, at
from readbell.core.board.fold import fold
from readbell.core.board.to_repeat import STAYS, lately_lapsed, to_repeat
from readbell.core.cartridge.events import VoidReason
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Span, later

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands

CLOSES = later(at("2:30"), Span(20 * 60_000))


def lapsed(*, early: bool = False) -> Bench:
    """A bench on which the window of C1 closed unread."""
    bench = Bench()
    bench.to_well()
    if early:
        bench.must(bench.look_act(CLEAR), "6:00")
    bench.lapse()
    return bench


def owed(bench: Bench) -> list[str]:
    """The labels of the cartridges that are owed a repeat."""
    return [each.label for each in to_repeat(bench.board)]


@pytest.mark.parametrize(
    ("seen", "expected"),
    [
        pytest.param(NEGATIVE, [], id="negative"),
        pytest.param(CLEAR, [], id="positive"),
        pytest.param(NO_CONTROL, ["C1"], id="no control line"),
        pytest.param(SMEAR, ["C1"], id="unreadable"),
    ],
)
def test_what_gave_no_answer_is_owed_a_repeat(seen: Bands, expected: list[str]) -> None:
    """An answer, whichever it is, owes nobody anything."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(seen), "18:00")

    assert owed(bench) == expected


def test_a_withheld_and_a_void_cartridge_are_owed_a_repeat_in_the_order_of_labels() -> None:
    """Both leave their person without a result."""
    bench = Bench()
    bench.to_well("C2", "P-002")
    bench.to_well()
    bench.must(bench.look_act(CLEAR, "C2"), "6:00")
    bench.must(bench.read_act(NEGATIVE, "C2"), "18:00")
    bench.must(bench.void_act("C1"), "18:00")

    assert owed(bench) == ["C2", "C1"]


def test_whoever_declined_is_owed_nothing() -> None:
    """They were asked, and went; on the list they would be looked for all day."""
    bench = Bench()
    bench.to_well()
    bench.must(replace(bench.void_act(), reason=VoidReason.DECLINED), "18:00")

    assert owed(bench) == []


def test_a_later_cartridge_of_the_person_settles_the_debt() -> None:
    """Once it is labelled the repeat is under way."""
    bench = lapsed()
    assert owed(bench) == ["C1"]

    bench.label("C2", now="25:00")
    assert owed(bench) == []


def test_a_later_cartridge_of_another_assay_settles_nothing() -> None:
    """It answers another question."""
    bench = lapsed()
    bench.adopt(THREE_LINES)
    bench.receive("L-300", THREE_LINES)
    bench.must(bench.label_act("C2", lot="L-300"), "25:00")

    assert owed(bench) == ["C1"]


def test_what_still_runs_is_owed_nothing() -> None:
    """Its answer may yet come."""
    bench = Bench()
    bench.to_well()

    assert owed(bench) == []


def test_an_early_positive_that_lapsed_is_owed_nothing() -> None:
    """The positive stands."""
    assert owed(lapsed(early=True)) == []


@pytest.mark.parametrize(
    ("after", "expected"),
    [
        pytest.param(Span(1), ["C1"], id="just lapsed"),
        pytest.param(Span(STAYS - 1), ["C1"], id="the last moment"),
        pytest.param(STAYS, [], id="long ago"),
    ],
)
def test_a_lapsed_cartridge_stays_in_sight_for_a_while(after: Span, expected: list[str]) -> None:
    """Long enough to be seen by whoever comes back, not for ever."""
    found = lately_lapsed(to_repeat(lapsed().board), later(CLOSES, after))

    assert [each.label for each in found] == expected


def test_of_lapsed_cartridges_the_one_longest_ago_comes_first() -> None:
    """In the order of the list: what was lost first stands first."""
    bench = Bench()
    bench.to_well("C1", applied="2:40")
    bench.to_well("C2", "P-002", applied="2:30")
    for tag, closes in (("C1", "22:40"), ("C2", "22:30")):
        bench.board = fold(bench.board, lapse(bench.cartridge(tag), at(closes)))

    found = lately_lapsed(to_repeat(bench.board), at("23:00"))
    assert [each.label for each in found] == ["C2", "C1"]


def test_what_was_read_as_invalid_is_owed_but_did_not_lapse() -> None:
    """Whoever read it knows; it needs no row of its own."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(SMEAR), "18:00")

    assert lately_lapsed(to_repeat(bench.board), at("18:01")) == ()
