"""Whether an attempt was played to its end, or left while something was still to come or to be done."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NEGATIVE, Bench, at, span
from core.rehearsal.test_scenario import SCENARIO
from readbell.core.board.events import Ending, ProgramStopped
from readbell.core.rehearsal.scenario import Interruption, InterruptionKind, ScriptedPerson
from readbell.core.rehearsal.score import score
from readbell.core.rehearsal.unfinished import Unfinished, unfinished
from readbell.core.rehearsal.virtual_cartridge import Shows

if TYPE_CHECKING:
    from readbell.core.board.event import Event
    from readbell.core.rehearsal.scenario import Scenario

READ = "18:00"


def day(*persons: tuple[str, str], breaks: tuple[Interruption, ...] = ()) -> Scenario:
    """Return a scenario of people with the times at which they come."""
    come = (ScriptedPerson(id=name, arrives=span(when), shows=Shows()) for name, when in persons)
    return replace(SCENARIO, persons=tuple(come), interruptions=breaks)


def away(begins: str, until: str | None = None) -> Interruption:
    """Return somebody who is called away, or a question."""
    return Interruption(
        at=span(begins),
        kind=InterruptionKind.QUESTION if until is None else InterruptionKind.CALLED_AWAY,
        says="Come.",
        operator="op-1",
        until=None if until is None else span(until),
    )


def left(
    bench: Bench, scenario: Scenario, when: str, why: Ending = Ending.LEFT, *, killed: bool = False
) -> Unfinished:
    """Return what was unfinished when the attempt was left at `when`."""
    last: tuple[Event, ...] = () if killed else (ProgramStopped(at=at(when), why=why),)
    return unfinished(scenario, bench.board, last, at("0:00"), at(when))


@pytest.fixture
def bench() -> Bench:
    """P-001 was tested, and their strip was read in its window."""
    bench = Bench()
    bench.to_well("C1", "P-001")
    bench.must(bench.read_act(NEGATIVE), READ)
    return bench


def test_what_was_played_to_its_end_has_nothing_unfinished(bench: Bench) -> None:
    """Everybody was read, and nothing more would have come."""
    scenario = day(("P-001", "0:00"), breaks=(away("10:00"), away("12:00", "14:00")))
    assert left(bench, scenario, READ) == Unfinished()
    assert Unfinished().count == 0


@pytest.mark.parametrize("killed", [False, True])
def test_whoever_was_still_to_come_makes_it_half_an_attempt(bench: Bench, *, killed: bool) -> None:
    """Left by a key, or with the plug pulled."""
    scenario = day(("P-001", "0:00"), ("P-002", "18:01"), ("P-003", "18:00"))
    found = left(bench, scenario, READ, killed=killed)
    assert found == Unfinished(to_come=1, untested=1)
    assert found.count == 2


def test_a_strip_that_still_develops_is_not_done_with(bench: Bench) -> None:
    """It was left before the very thing that is practised."""
    bench.to_well("C2", "P-002")
    scenario = day(("P-001", "0:00"), ("P-002", "0:00"))
    assert left(bench, scenario, READ) == Unfinished(running=1)


def test_a_repeat_that_nobody_began_is_not_done_with() -> None:
    """Whoever is owed one still sits there."""
    bench = Bench()
    bench.to_well("C1", "P-001")
    bench.lapse()
    assert left(bench, day(("P-001", "0:00")), "30:00") == Unfinished(repeats=1)


@pytest.mark.parametrize(
    ("breaks", "count"),
    [
        pytest.param((away("18:00"),), 0, id="it came at the last instant"),
        pytest.param((away("18:01"),), 1, id="it had yet to come"),
        pytest.param((away("17:00", "18:01"),), 1, id="they were not back"),
        pytest.param((away("17:00", "18:00"),), 0, id="they were just back"),
    ],
)
def test_what_was_still_to_break_in_was_not_mastered(
    bench: Bench, breaks: tuple[Interruption, ...], count: int
) -> None:
    """Whoever leaves before the question comes has not answered it."""
    assert left(bench, day(("P-001", "0:00"), breaks=breaks), READ).breaks == count


def test_a_scenario_that_played_itself_ended_when_it_says_so(bench: Bench) -> None:
    """It runs on until nothing is pending, and is nobody's attempt."""
    scenario = day(("P-001", "0:00"), ("P-002", "1:00:00"))
    assert left(bench, scenario, READ, Ending.SCENARIO_ENDED) == Unfinished()


def test_a_score_says_what_was_unfinished(bench: Bench) -> None:
    """It is worked out by the last thing on record."""
    scenario = day(("P-001", "0:00"), ("P-002", "1:00:00"))
    stopped = ProgramStopped(at=at(READ), why=Ending.LEFT)
    assert score(scenario, bench.board, (stopped,)).unfinished == Unfinished(to_come=1)
    assert score(scenario, Bench().board, ()).unfinished.count > 0
