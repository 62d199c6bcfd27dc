"""The next safe start in words: whole where there is room, never silently another rule."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC

from builders import NASAL, START, Bench, at, private
from core.plan.kits import within
from readbell.core.board.acts import RegisterPerson
from readbell.core.instant import Span
from readbell.core.plan.answer import Answer, Crew, answer
from readbell.core.plan.conditions import Broken, Condition
from readbell.core.plan.hands_on import READING
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.next_start_words import (
    say_broken,
    say_plan,
    say_risk,
    say_start,
    say_start_and_advice,
)

FACE = ClockFace(zone=UTC, apart=-START)
BARE = Crew(gloves=Span(0))


def asked(bench: Bench, now: str, crew: Crew = BARE) -> Answer:
    """Return the answer at `now`."""
    board = bench.board
    assays = {key: each.assay for key, each in board.assays.items()}
    return answer(tuple(board.running.values()), assays, bench.assay, crew, at(now))


def in_buffer(bench: Bench) -> Bench:
    """Take C1 until its swab stands in the buffer, at 1:20."""
    bench.label("C1", "P-001", "0:00")
    for step, when in (("buffer", "0:10"), ("collect", "0:55"), ("extract", "1:20")):
        bench.step(step, when)
    return bench


def developing(many: int, applied: str = "2:30") -> Bench:
    """Return a bench with so many strips that had their drops at once."""
    bench = Bench()
    for each in range(1, many + 1):
        if each > 2:
            bench.must(RegisterPerson(by="op-1", person=private(f"P-{each:03}")))
        bench.to_well(f"C{each}", f"P-{each:03}", applied=applied)
    return bench


def test_now_is_said_with_its_rule_in_fewer_and_fewer_words() -> None:
    """The rule goes last of all, as an answer without it would pass for more than it is."""
    assert say_start(asked(Bench(), "0:00"), Bench().board, at("0:00")) == (
        "Next safe start: now (guaranteed)",
        "Next safe start: now (guaranteed)",
        "Next safe start: now (guaranteed)",
        "start: now (guaranteed)",
        "start: now",
    )


def test_what_must_be_read_first_is_named() -> None:
    """By the labels on the plastic, rounded up to the second."""
    bench = developing(2)
    found = asked(bench, "21:30")
    said = say_start(found, bench.board, at("21:30"))

    assert said[0] == "Next safe start: in 0:40, C1 and C2 must be read first (guaranteed)"
    assert said[1] == "Next safe start: in 0:40, C1 and C2 first (guaranteed)"
    assert say_start(found, bench.board, at("21:30.001"))[2:] == (
        "Next safe start: in 0:40 (guaranteed)",
        "start: in 0:40 (guaranteed)",
        "start: in 0:40",
    )


def test_of_many_the_first_are_named_and_the_others_counted() -> None:
    """A line has an end."""
    bench = developing(5)
    said = say_start(asked(bench, "20:40"), bench.board, at("20:40"))[0]

    assert said.startswith("Next safe start: in 1:40, C1, C2, C3 and 2 more must be read first")


def test_steps_are_gone_on_with_not_read() -> None:
    """What comes first here is a swab in its buffer."""
    bench = in_buffer(Bench(within("2:00")))
    said = say_start(asked(bench, "1:20"), bench.board, at("1:20"))[0]

    assert said == "Next safe start: in 1:40, C1 must be gone on with first (guaranteed)"


def test_advice_that_comes_sooner_stands_behind_the_guarantee_where_there_is_room() -> None:
    """With its own word, so that neither passes for the other."""
    bench = in_buffer(Bench(within("2:00")))
    found = asked(bench, "1:20")
    said = say_start_and_advice(found, bench.board, at("1:20"))

    assert said[0] == (
        "Next safe start: in 1:40, C1 must be gone on with first (guaranteed); now (advice)"
    )
    assert said[1:] == say_start(found, bench.board, at("1:20"))
    free = asked(Bench(), "0:00")
    assert say_start_and_advice(free, bench.board, at("0:00")) == say_start(
        free, bench.board, at("0:00")
    )


def test_none_in_sight_is_said_as_that() -> None:
    """With nobody at work, say."""
    found = asked(Bench(), "0:00", Crew(hands=0))

    assert (
        say_start(found, Bench().board, at("0:00"))[2] == "Next safe start: none in sight (advice)"
    )


def test_what_would_be_at_risk_is_said_in_one_line_beforehand() -> None:
    """Whoever begins all the same has been told; nobody is refused."""
    bench = developing(1)
    assert say_risk(asked(bench, "21:30"), bench.board, at("21:30")) == (
        "At risk if somebody were begun now: C1's reading."
    )
    swab = in_buffer(Bench(within("2:00")))
    assert say_risk(asked(swab, "1:20"), swab.board, at("1:20")) == (
        "At risk if somebody were begun now: C1's wait."
    )
    assert say_risk(asked(bench, "5:00"), bench.board, at("5:00")) == ""


def test_what_is_at_risk_already_is_no_fault_of_the_start() -> None:
    """It is said so, and goes first."""
    bench = developing(1)
    found = asked(bench, "22:20")

    assert say_risk(found, bench.board, at("22:20")) == "At risk already: C1's reading."
    assert "At risk already: C1's reading." in list(say_plan(found, bench.board, at("22:20"), FACE))


def test_hands_that_are_only_busy_put_nothing_at_risk() -> None:
    """They cannot begin before they are free, so there is nothing to warn of."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    found = asked(bench, "0:05")

    assert say_start(found, bench.board, at("0:05"))[0].startswith("Next safe start: in ")
    assert say_risk(found, bench.board, at("0:05")) == ""


def test_the_whole_plan_has_rule_reasons_and_the_list_of_each_hand() -> None:
    """Line by line, as a screen reader has it."""
    bench = in_buffer(Bench(within("2:00")))
    found = asked(bench, "1:20")

    assert list(say_plan(found, bench.board, at("1:20"), FACE)) == [
        "Next safe start: in 1:40, C1 must be gone on with first (guaranteed).",
        "At risk if somebody were begun now: C1's wait.",
        "By usual times alone (advice): now.",
        (
            "Guaranteed: nothing is missed as long as each piece takes no longer than its bound "
            "and the list is kept."
        ),
        "An early look or anything else now: up to 1:45.",
        "Next for op-1:",
        "  00:02:20  C1: Squeeze and withdraw the swab, Drops onto the well",
        "  00:02:50  begin the next person",
        "  00:05:20  go on with the next person",
        "  00:17:50  read C1",
        "  00:20:50  read the next person",
    ]


def test_gloves_and_what_is_in_hand_stand_in_the_list() -> None:
    """As do hands that nobody has seen at work yet."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    said = list(say_plan(asked(bench, "0:05", Crew(hands=2)), bench.board, at("0:05"), FACE))

    assert "Next for op-1, who has C1 in hand:" in said
    assert "Next for operator 2:" in said
    assert "  00:00:05  gloves, then begin the next person" in said
    assert "An early look or anything else now: up to 5:00 or more." in said


def test_that_there_is_time_for_nothing_else_is_said_in_words() -> None:
    """ "Up to 0:00" is a riddle."""
    bench = developing(1)
    found = asked(bench, "22:20")
    assert found.spare == Span(0)
    said = list(say_plan(found, bench.board, at("22:20"), FACE))

    assert "No time for an early look or anything else now." in said
    assert not [each for each in said if "0:00." in each]


def test_a_hand_with_nothing_to_do_is_told_so() -> None:
    """An empty list might be taken for a fault."""
    said = list(say_plan(asked(Bench(), "0:00", Crew(hands=3)), Bench().board, at("0:00"), FACE))

    assert "Next for operator 3: nothing." in said


def test_a_strip_that_could_not_be_counted_is_named() -> None:
    """Its clock is unsure, so nothing is promised about it."""
    bench = developing(1)
    found = replace(asked(bench, "5:00"), left_out=(bench.cartridge(),))

    assert "C1 is not counted: its clock is unsure." in list(
        say_plan(found, bench.board, at("5:00"), FACE)
    )


def test_without_a_guarantee_the_reason_is_named_by_the_assay_s_own_words() -> None:
    """And no line speaks of a guarantee then."""
    bench = Bench(within("1:12"))
    said = list(say_plan(asked(bench, "0:00"), bench.board, at("0:00"), FACE))

    assert said[:2] == [
        "Next safe start: now (advice).",
        (
            'No guarantee: from "Swab into the buffer" to "Squeeze and withdraw the swab" may pass '
            "1:12 at most, and these hands may take 1:14."
        ),
    ]
    assert not any(each.startswith("Guaranteed") for each in said)


def test_each_condition_has_its_own_sentence() -> None:
    """What is broken is said by name."""
    board = Bench().board
    fault = Broken(condition=Condition.HAS_HANDS, assay=NASAL.id)
    assert say_broken(fault, board) == "No guarantee: nobody is at work."
    twice = Broken(condition=Condition.READ_ONCE, assay=NASAL.id)
    assert say_broken(twice, board) == (
        "No guarantee: strips of this assay may be read by a second person too, and no plan "
        "counts on that before it is so."
    )
    inside = Broken(
        condition=Condition.FITS_IN_ONE_PIECE,
        assay=NASAL.id,
        since="collect",
        until=READING,
        needs=Span(33_333),
        has=Span(30_000),
    )
    assert say_broken(inside, board) == (
        'No guarantee: between "Take the swab" and the end of the reading may pass 0:30 at most, '
        "and these hands may take 0:34."
    )
    unknown = replace(inside, assay="gone", since="x")
    assert say_broken(unknown, board).startswith('No guarantee: between "x" and')
