"""The bench tells what eyes and ears would at one instant, and nothing that is still to come."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from builders import FAINT as SEEN
from builders import START, Bench
from readbell.bay.rehearsal_bench import RehearsalBench
from readbell.core.instant import Instant, Span, later
from readbell.core.people.particulars import Particular
from readbell.core.rehearsal.scenario import (
    Flaw,
    FlawKind,
    Interruption,
    InterruptionKind,
    Scenario,
    ScriptedLot,
    ScriptedPerson,
)
from readbell.core.rehearsal.virtual_cartridge import Comes, Shade, Shows

if TYPE_CHECKING:
    from readbell.bay.rehearsal_bench import OnBench
    from readbell.core.board.board import Board

MINUTE = 60_000
BEGUN = Instant(START)
FAINT = Shows(tests=(Comes(line="", start=Span(6 * MINUTE), strength=Shade.FAINT),))
SCENARIO = Scenario(
    title="Three",
    starts=START,
    timezone="UTC",
    assay="nasal",
    operators=("op-1", "op-2"),
    lots=(ScriptedLot(number="L-100", assay="nasal", expires=date(2026, 12, 31), units=None),),
    persons=(
        ScriptedPerson(id="P-003", arrives=Span(5 * MINUTE), shows=Shows()),
        ScriptedPerson(
            id="P-001",
            arrives=Span(0),
            shows=FAINT,
            particulars=((Particular.NAME, "Ada Vale"), (Particular.CONTACT, "a door")),
        ),
        ScriptedPerson(id="P-002", arrives=Span(0), shows=Shows()),
    ),
    interruptions=(
        Interruption(
            at=Span(MINUTE), kind=InterruptionKind.QUESTION, says="Which lot?", answers=("L-100",)
        ),
        Interruption(
            at=Span(2 * MINUTE),
            kind=InterruptionKind.CALLED_AWAY,
            says="op-2 is called away.",
            operator="op-2",
            until=Span(4 * MINUTE),
        ),
        Interruption(
            at=Span(6 * MINUTE),
            kind=InterruptionKind.CAR_LEAVES,
            says="A car leaves.",
            persons=("P-003",),
        ),
    ),
)
EMPTY = Bench().board


def seen(
    minutes: float,
    board: Board = EMPTY,
    chosen: str | None = None,
    answered: frozenset[int] = frozenset(),
    scenario: Scenario = SCENARIO,
) -> OnBench:
    """Return what is so, `minutes` after the start."""
    bench = RehearsalBench(scenario, BEGUN)
    return bench.at(board, later(BEGUN, Span(round(minutes * MINUTE))), chosen, answered)


def who_waits(found: OnBench) -> list[list[str]]:
    """Return the words of those who wait, those who came together together."""
    return [[each.words for each in together] for together in found.waiting]


def test_whoever_comes_together_stands_together_and_nobody_before_their_time() -> None:
    """A contact is not what somebody says at the window."""
    assert who_waits(seen(0)) == [["P-001 (Ada Vale)", "P-002"]]
    assert who_waits(seen(4.999)) == [["P-001 (Ada Vale)", "P-002"]]
    assert who_waits(seen(5)) == [["P-001 (Ada Vale)", "P-002"], ["P-003"]]


def test_it_is_known_when_somebody_came() -> None:
    """Of whom the scenario knows."""
    bench = RehearsalBench(SCENARIO, BEGUN)

    assert bench.came("P-003") == later(BEGUN, Span(5 * MINUTE))
    assert bench.came("P-009") is None


def test_whoever_left_waits_no_more() -> None:
    """From the very instant on."""
    assert who_waits(seen(6)) == [["P-001 (Ada Vale)", "P-002"]]


def test_whoever_has_a_cartridge_waits_no_more() -> None:
    """They sit and wait for their result."""
    bench = Bench()
    bench.label("C01", "P-001")

    assert who_waits(seen(1, bench.board)) == [["P-002"]]


def test_badges_are_those_of_whoever_is_here() -> None:
    """Called away at 2:00, back at 4:00."""
    found = {minutes: seen(minutes).badges for minutes in (1.9, 2, 3.9, 4)}

    both, one = ("op-1", "op-2"), ("op-1",)
    assert found == {1.9: both, 2: one, 3.9: one, 4: both}


def test_what_broke_in_first_is_told_until_it_is_noted() -> None:
    """Then the next."""
    assert seen(0.9).call is None
    first = seen(3)
    assert first.call is not None
    assert (first.call.number, first.calls) == (1, 2)
    second = seen(3, answered=frozenset({1})).call
    assert second is not None
    assert second.number == 2
    assert seen(3, answered=frozenset({1, 2})).call is None


def test_the_next_thing_is_whatever_happens_by_itself() -> None:
    """Somebody comes or is back, something breaks in: in the order of time, and then nothing."""
    bench = RehearsalBench(SCENARIO, BEGUN)
    found, now = [], BEGUN
    while (following := bench.next_after(now)) is not None:
        found.append((following - BEGUN) // MINUTE)
        now = following

    assert found == [1, 2, 4, 5, 6]


def applied(label: str = "C01", person: str = "P-001") -> Bench:
    """Return a bench with one strip, applied at 1:00."""
    bench = Bench()
    bench.label(label, person)
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00", label)
    bench.step("withdraw", "1:00", label)
    bench.step("apply", "1:00", label)
    return bench


def test_the_chosen_device_is_seen_as_it_looks_now() -> None:
    """Its line comes when the scenario says, counted from the drops."""
    board = applied().board
    (chosen,) = board.running
    shades = {}
    for minutes in (2, 6.9, 7):
        device = seen(minutes, board, chosen).device
        assert device is not None
        shades[minutes] = [shade for _, shade in device.drawn.lines]
        assert device.marks == ("C", "T")
        assert (device.label, device.written) == ("C01", "P-001")
        assert device.papers is not None

    assert shades == {2: [Shade.ABSENT], 6.9: [Shade.ABSENT], 7: [Shade.FAINT]}


def test_a_bad_pouch_says_what_it_is() -> None:
    """Its own day and its own assay, whatever the box says."""
    board = applied().board
    (chosen,) = board.running
    good = seen(2, board, chosen).device
    flaws = (
        Flaw(cartridge="C1", kind=FlawKind.OUT_OF_DATE, expires=date(2026, 1, 31)),
        Flaw(cartridge="C1", kind=FlawKind.WRONG_ASSAY, assay="Another assay"),
    )
    out, wrong = (
        seen(2, board, chosen, scenario=replace(SCENARIO, flaws=(flaw,))).device for flaw in flaws
    )
    assert good is not None
    assert out is not None
    assert wrong is not None
    assert good.expires == date(2026, 12, 31)
    assert out.expires == date(2026, 1, 31)
    assert (wrong.pouch, wrong.expires) == ("Another assay", good.expires)
    assert good.pouch == out.pouch != wrong.pouch


def test_of_swapped_labels_each_device_is_marked_for_the_other_s_person() -> None:
    """That is how it can be seen; and each shows what the other's person has."""
    bench = applied()
    bench.label("C02", "P-002")
    swapped = replace(
        SCENARIO, flaws=(Flaw(cartridge="C1", kind=FlawKind.LABEL_SWAPPED, other="C2"),)
    )
    board = bench.board
    first, second = board.running
    marked = [
        device.written
        for chosen in (first, second)
        if (device := seen(9, board, chosen, scenario=swapped).device) is not None
    ]
    assert marked == ["P-002", "P-001"]


def test_whoever_left_answers_no_question() -> None:
    """Nobody is there to say who they are."""
    bench = Bench()
    bench.label("C01", "P-002")
    (chosen,) = bench.board.running
    leaves = Interruption(
        at=Span(0), kind=InterruptionKind.CAR_LEAVES, says="They leave.", persons=("P-002",)
    )
    here = seen(3, bench.board, chosen).device
    gone = seen(3, bench.board, chosen, scenario=replace(SCENARIO, interruptions=(leaves,))).device
    assert here is not None
    assert here.papers is not None
    assert gone is not None
    assert gone.papers is None


def test_it_is_over_once_nobody_comes_and_nothing_is_left() -> None:
    """Not while somebody waits, something calls, or a strip is still to be read."""
    alone = replace(
        SCENARIO,
        persons=(ScriptedPerson(id="P-001", arrives=Span(0), shows=FAINT),),
        interruptions=(),
    )
    bench = applied()
    assert not seen(0, scenario=alone).is_over
    assert not seen(2, bench.board, scenario=alone).is_over
    bench.must(bench.read_act(SEEN, "C01"), "17:00")
    assert seen(18, bench.board, scenario=alone).is_over
    assert not seen(4.5, bench.board).is_over  # somebody is still to come
