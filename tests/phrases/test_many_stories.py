"""The stories of several cartridges as one: in the order of time, bounded, and blind where need be."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC

import pytest

from builders import NEGATIVE, Bench, at
from readbell.core.cartridge.stage import Stage
from readbell.core.keeping.events import TraceOf, TraceOpened
from readbell.core.staff.events import Opened, RecordOpened
from readbell.phrases import many_stories
from readbell.phrases.cartridge_story import BLIND
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.many_stories import FURTHER_BACK, MORE, NOTHING, stories_of

FACE = ClockFace(zone=UTC)


def two() -> Bench:
    """Return a bench on which C1 was read and C2 runs, for two persons."""
    bench = Bench()
    bench.to_well("C1", "P-001")
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.label("C2", "P-002", now="19:00")
    return bench


def opened(bench: Bench, of: TraceOf, about: str, since: str | None = None) -> TraceOpened:
    """Return that somebody opened it."""
    by = bench.board.operators["op-1"]
    back_to = None if since is None else at(since)
    return TraceOpened(at=at("20:00"), by=by, of=of, about=about, since=back_to)


def told(bench: Bench, what: TraceOpened | RecordOpened) -> str:
    """Return the story."""
    return "\n".join(stories_of(what, at("0:00"), bench.board, FACE))


@pytest.mark.parametrize(("of", "about"), [(TraceOf.LOT, "L-100"), (TraceOf.DAY, "2026-01-01")])
def test_of_a_lot_or_a_day_all_its_cartridges_are_told_in_the_order_of_time(
    of: TraceOf, about: str
) -> None:
    """Each line names its own."""
    bench = two()
    said = told(bench, opened(bench, of, about))
    in_order = ("C1  labelled for P-001", "C1  read: - NEGATIVE", "C2  labelled for P-002", MORE)
    places = [said.index(each) for each in in_order]
    assert places == sorted(places)
    assert all(("C1" in each) or ("C2" in each) for each in said.splitlines()[:-1])


def test_of_a_person_only_theirs_are_told() -> None:
    """Whoever looks at one sees nobody else."""
    bench = two()
    by, person = bench.board.operators["op-1"], bench.board.persons["P-001"]
    what = RecordOpened(at=at("20:00"), by=by, person=person, what=Opened.TRACE, since=None)
    said = told(bench, what)
    assert "C1  read: - NEGATIVE" in said
    assert "C2" not in said


def test_of_an_operator_only_what_they_did_is_told() -> None:
    """The second one has touched nothing."""
    bench = two()
    of_first = told(bench, opened(bench, TraceOf.OPERATOR, bench.board.operators["op-1"]))
    assert "C2  labelled for P-002" in of_first
    of_second = told(bench, opened(bench, TraceOf.OPERATOR, bench.board.operators["op-2"]))
    assert of_second.splitlines() == [NOTHING, MORE]


def test_what_is_older_than_they_may_see_is_left_out() -> None:
    """As the record says how far back they saw."""
    bench = two()
    said = told(bench, opened(bench, TraceOf.LOT, "L-100", since="10:00"))
    assert "C1" not in said
    assert "C2  labelled" in said


def test_a_day_ends_where_the_one_before_did() -> None:
    """What was begun before is not of it."""
    bench = two()
    what = opened(bench, TraceOf.DAY, "2026-01-01")
    assert "C1" not in "\n".join(stories_of(what, at("10:00"), bench.board, FACE))
    assert "C1" not in "\n".join(stories_of(what, at("24:00:00"), bench.board, FACE))


def test_nothing_of_a_first_reading_is_told_before_the_second() -> None:
    """And it says of which cartridge."""
    bench = two()
    waiting = replace(bench.cartridge("C1"), stage=Stage.SECOND_READING_DUE)
    bench.board = replace(bench.board, ended={}, running={waiting.id: waiting})
    said = told(bench, opened(bench, TraceOf.LOT, "L-100"))
    assert f"C1: {BLIND}" in said
    assert "NEGATIVE" not in said
    assert "Seen:" not in said


def test_of_many_the_newest_are_told_and_the_others_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """And it says where the rest is."""
    bench = two()
    monkeypatch.setattr(many_stories, "SHOWN_AT_MOST", 1)
    said = told(bench, opened(bench, TraceOf.LOT, "L-100"))
    assert "C2  labelled" in said
    assert "C1" not in said
    assert "Older cartridges, which readbell trace tells: 1." in said
    assert FURTHER_BACK not in said
    monkeypatch.setattr(many_stories, "LOOKED_AT", 0)
    assert FURTHER_BACK in told(bench, opened(bench, TraceOf.LOT, "L-100"))
    assert FURTHER_BACK not in told(bench, opened(bench, TraceOf.DAY, "2026-01-01"))
