"""Who is here today: in the order of their turns, and nobody of another day."""

from __future__ import annotations

from builders import NO_CONTROL, START, Bench, at, private
from readbell.core.board.acts import RegisterParty
from readbell.core.board.patients_today import patients_today
from readbell.core.instant import Span, later


def test_who_waits_comes_first_and_each_is_named_once() -> None:
    """A repeat makes nobody two."""
    bench = Bench()
    people = (private("P-7"), private("P-8"))
    bench.must(RegisterParty(by="op-1", party=private("car"), persons=people))
    bench.to_well("C1", "P-002")
    bench.must(bench.read_act(NO_CONTROL, "C1"), "18:00")
    bench.label("C2", "P-001", "19:00")
    bench.label("C3", "P-002", "20:00")
    bench.label("C4", "P-8", "21:00")
    found = patients_today(bench.board, START)
    names = [bench.board.name(each.key) for each in found]
    assert names == ["P-7", "P-002", "P-001", "P-8"]
    assert [each.waits for each in found] == [True, False, False, False]
    assert [each.label for each in found[1].cartridges] == ["C1", "C3"]


def test_who_was_read_today_is_not_hidden_by_a_device_left_over_for_days() -> None:
    """It was labelled long ago and thrown away in the middle of the day."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    bench.label("C2", "P-002", "30:00:00")
    bench.must(bench.void_act("C2"), "30:10:00")
    bench.must(bench.void_act("C1"), "31:00:00")
    found = patients_today(bench.board, at("29:00:00"))
    assert [bench.board.name(each.key) for each in found] == ["P-002"]


def test_what_was_begun_before_the_day_is_of_another() -> None:
    """Just before midnight, or the day before."""
    bench = Bench()
    bench.to_well("C1", "P-002")
    bench.must(bench.read_act(NO_CONTROL, "C1"), "18:00")
    assert patients_today(bench.board, at("0:01")) == ()
    assert patients_today(bench.board, later(START, Span(86_400_000))) == ()
