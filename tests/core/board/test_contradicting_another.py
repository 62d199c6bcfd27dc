"""Two cartridges of one person that say opposite things at the same time wait for a supervisor."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, THREE_LINES, Bench, bands, private
from core.board.review_acts import amend, hold, release, withdraw
from core.board.twice_bench import (
    ANOTHER,
    HELD,
    HERE,
    both,
    clock,
    correct,
    held,
    repeats,
    run,
    to_well,
)
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.acts import RegisterOperator
from readbell.core.board.contradicting import contradicted_by
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.results.status import ResultStatus
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from core.board.telling_bench import TellingBench
    from readbell.core.reading.bands import Bands


def twice_read() -> TellingBench:
    """The same with nothing read, where each strip is read by two people; op-3 reads nothing."""
    made = HERE()
    made.must(RegisterOperator(by="op-1", operator=private("op-3")))
    made.decides(second_reader=(SecondReaderRule(when=SecondReader.ALL),))
    to_well(made, "C1")
    to_well(made, "C2", 1)
    return made


@pytest.mark.parametrize(
    ("first", "second", "is_held"),
    [
        (NEGATIVE, CLEAR, True),
        (CLEAR, NEGATIVE, True),
        (NEGATIVE, FAINT, True),
        (NEGATIVE, NEGATIVE, False),
        (FAINT, CLEAR, False),
        (NO_CONTROL, CLEAR, False),
        (NEGATIVE, NO_CONTROL, False),
    ],
)
def test_a_positive_and_a_negative_of_one_person_at_one_time_are_both_held(
    first: Bands, second: Bands, is_held: bool
) -> None:
    """Nobody knows which is right; what is invalid says nothing against either."""
    made = both(first, second)
    assert held(made) == [is_held, is_held]


def test_what_was_told_already_is_held_and_neither_is_told_any_more() -> None:
    """Both heard of at once would leave the person with two answers."""
    made = HERE()
    to_well(made, "C1")
    to_well(made, "C2", 1)
    made.must(made.read_act(NEGATIVE, "C1"), clock(18))
    made.tell("C1", now=clock(18, "30"))
    made.must(made.read_act(CLEAR, "C2"), clock(19))
    assert [made.result(each).status for each in ("C1", "C2")] == [ResultStatus.HELD] * 2
    made.refused(made.tell_act("C2", since=clock(19)), clock(20))


@pytest.mark.parametrize(
    ("begun", "is_held"), [("17:59.999", True), ("18:00", False), ("18:00.001", False)]
)
def test_a_test_on_another_occasion_contradicts_nothing(begun: str, is_held: bool) -> None:
    """It is another specimen of another hour, begun once the first had been read."""
    made = HERE()
    to_well(made, "C1")
    if is_held:
        made.must(made.label_act("C2"), begun)
    made.must(made.read_act(NEGATIVE, "C1"), "18:00")
    if not is_held:
        made.must(made.label_act("C2"), begun)
    for step in ("buffer", "collect", "extract"):
        made.step(step, "19:00", "C2")
    made.step("withdraw", "20:00", "C2")
    made.step("apply", "21:00", "C2")
    made.must(made.read_act(CLEAR, "C2"), "38:00")
    assert held(made) == [is_held, is_held]


def test_what_closed_before_the_other_was_begun_is_over_whoever_has_yet_to_record_it() -> None:
    """The station that holds it may be away; what was seen early on it is of another hour."""
    made = HERE()
    to_well(made, "C1")
    made.must(made.look_act(FAINT, "C1"), "6:00")
    run(made, "C2", NEGATIVE, 21)
    assert not made.cartridge("C1").has_ended
    assert held(made) == [True, True]
    over = HERE()
    to_well(over, "C1")
    over.must(over.look_act(FAINT, "C1"), "6:00")
    run(over, "C2", NEGATIVE, 22)
    assert held(over) == [False, False]


def test_another_person_another_assay_and_a_sample_contradict_nothing() -> None:
    """The same line is there on each; it is not of one person by one assay."""
    made = HERE()
    made.adopt(THREE_LINES)
    made.receive("L-300", THREE_LINES)
    made.must(made.material())
    to_well(made, "C1")
    to_well(made, "C2", person="P-002")
    to_well(made, "C3", lot="L-300")
    made.sample("S1", "PC-1", "0:00")
    made.must(made.read_act(NEGATIVE, "C1"), clock(18))
    made.must(made.read_act(CLEAR, "C2"), clock(18))
    three = bands(influenza_a="absent", influenza_b="absent", sars_cov_2="clear")
    made.must(made.read_act(three, "C3"), clock(18))
    assert held(made, "C1", "C2", "C3") == [False] * 3
    assert not [*contradicted_by(made.board, made.cartridge("S1"))]


def test_each_analyte_is_held_against_the_same_one_alone() -> None:
    """One that is positive for the first and one for the second line may both be right of those two."""
    made = HERE(THREE_LINES)
    to_well(made, "C1")
    to_well(made, "C2")
    to_well(made, "C3")
    seen = bands(influenza_a="clear", influenza_b="absent", sars_cov_2="absent")
    made.must(made.read_act(seen, "C1"), clock(18))
    made.must(made.read_act(seen, "C2"), clock(18))
    assert held(made) == [False, False]
    other = bands(influenza_a="clear", influenza_b="absent", sars_cov_2="faint")
    made.must(made.read_act(other, "C3"), clock(18))
    assert held(made, "C1", "C2", "C3") == [True] * 3


def test_neither_a_repeat_nor_a_repeat_of_a_repeat_contradicts_what_it_repeats() -> None:
    """They may overlap where a clock was in doubt: it counted as closed, and was read after all."""
    made = HERE()
    to_well(made, "C1")
    repeats(made, "C2", "C1", 3)
    repeats(made, "C3", "C2", 4)
    for label in ("C2", "C3"):
        for step in ("buffer", "collect", "extract"):
            made.step(step, clock(5), label)
        made.step("withdraw", clock(6), label)
        made.step("apply", clock(7), label)
    made.must(made.read_act(CLEAR, "C3"), clock(22))
    made.must(made.read_act(NEGATIVE, "C1"), clock(22))
    assert held(made, "C1", "C3") == [False, False]
    assert not [*contradicted_by(made.board, made.cartridge("C3"))]
    made.must(made.read_act(CLEAR, "C2"), clock(23))
    assert held(made, "C1", "C2", "C3") == [False] * 3


def test_two_repeats_of_one_contradict_each_other() -> None:
    """Each station gave the person one."""
    made = HERE()
    run(made, "C1", NO_CONTROL)
    repeats(made, "C2", "C1", 19)
    repeats(made, "C3", "C1", 20)
    for label, seen in (("C2", NEGATIVE), ("C3", CLEAR)):
        for step in ("buffer", "collect", "extract"):
            made.step(step, clock(20), label)
        made.step("withdraw", clock(21), label)
        made.step("apply", clock(22), label)
        made.must(made.read_act(seen, label), clock(38))
    assert held(made, "C1", "C2", "C3") == [False, True, True]


def test_what_was_taken_back_contradicts_nothing_and_void_neither() -> None:
    """Nothing of it counts."""
    made = HERE()
    to_well(made, "C1")
    to_well(made, "C2")
    to_well(made, "C3")
    made.must(made.read_act(NEGATIVE, "C1"), clock(18))
    made.must(withdraw(), clock(19))
    made.must(made.void_act("C3"), clock(19))
    made.must(made.read_act(CLEAR, "C2"), clock(20))
    assert held(made, "C1", "C2", "C3") == [False] * 3


def test_a_correction_holds_both_as_the_reading_would_have_done() -> None:
    """And what is held stays so when it is said again, or when both agree since."""
    made = both(NEGATIVE, NEGATIVE)
    made.must(correct(made, CLEAR, "C2"), clock(19, "10"))
    assert held(made) == [True, True]
    made.must(correct(made, FAINT, "C2"), clock(19, "20"))
    made.must(correct(made, NEGATIVE, "C2"), clock(19, "30"))
    assert held(made) == [True, True]
    assert [len(made.cartridge(each).holds) for each in ("C1", "C2")] == [1, 1]


def test_a_slip_that_is_mended_contradicts_no_other_and_not_what_it_said_before() -> None:
    """It is one strip."""
    made = HERE()
    run(made, "C1", NEGATIVE)
    made.must(correct(made, CLEAR, "C1"), clock(18, "30"))
    assert not made.cartridge("C1").held


def test_the_first_of_two_readings_is_held_against_nothing_and_what_they_come_to_is() -> None:
    """A hold would tell the second reader what the first one saw, on either of the two."""
    made = twice_read()
    made.must(made.read_act(NEGATIVE, "C1"), clock(18))
    made.must(made.read_act(CLEAR, "C2"), clock(19))
    made.must(correct(made, NEGATIVE, "C2"), clock(19, "10"))
    made.must(correct(made, CLEAR, "C2"), clock(19, "20"))
    assert held(made) == [False, False]
    made.must(made.read_act(NEGATIVE, "C1", by="op-2"), clock(20))
    assert held(made) == [False, False], "of C2 the second one has still to be made"
    made.must(made.read_act(CLEAR, "C2", by="op-2"), clock(20))
    assert held(made) == [True, True]


def test_two_readers_who_disagree_contradict_nobody() -> None:
    """It is withheld; only what a supervisor says was on it may contradict."""
    made = twice_read()
    for by in ("op-1", "op-2"):
        made.must(made.read_act(NEGATIVE, "C1", by=by), clock(18))
    made.must(made.read_act(CLEAR, "C2"), clock(19))
    made.must(made.read_act(NEGATIVE, "C2", by="op-2"), clock(20))
    assert held(made) == [False, False]
    made.must(amend(CLEAR, by="op-3", label="C2"), clock(25))
    assert made.cartridge("C2").held == HELD
    assert held(made) == [True, True]


@pytest.mark.parametrize("looked_first", [True, False])
def test_a_positive_seen_early_counts_as_one(looked_first: bool) -> None:
    """It is told as one, before its window."""
    made = HERE()
    to_well(made, "C1")
    to_well(made, "C2", 9)
    look = made.look_act(FAINT, "C2")
    assert made.refused(made.look_act(NEGATIVE, "C2"), clock(14)).code is RefusalCode.EARLY_NEGATIVE
    if looked_first:
        made.must(look, clock(15))
    made.must(made.read_act(NEGATIVE, "C1"), clock(18))
    if not looked_first:
        made.must(look, clock(19))
    assert held(made) == [True, True]
    assert made.result("C2").status is ResultStatus.HELD


def test_an_early_positive_that_its_window_bears_out_says_nothing_new() -> None:
    """Who released the other one knew of it, whether one person or two read it since."""
    for made in (HERE(), twice_read()):
        if not made.board.running:
            to_well(made, "C1")
            to_well(made, "C2", 1)
        made.must(made.look_act(FAINT, "C2"), clock(9))
        for by in ("op-1", "op-2") if made.board.policy.second_reader else ("op-1",):
            made.must(made.read_act(NEGATIVE, "C1", by=by), clock(17))
        by = "op-3" if made.board.policy.second_reader else "op-2"
        made.must(release(by, "C1"), clock(18))
        for by in ("op-1", "op-2") if made.board.policy.second_reader else ("op-1",):
            made.must(made.read_act(FAINT, "C2", by=by), clock(19))
        assert made.cartridge("C2").outcome is Outcome.POSITIVE
        assert held(made) == [False, True]


def test_an_early_positive_stays_held_though_it_lapses_and_is_none_once_it_is_contradicted() -> (
    None
):
    """Unread it stands; not there in its window it is withheld, as ever."""
    made = HERE()
    to_well(made, "C1")
    to_well(made, "C2", 1)
    made.must(made.look_act(FAINT, "C2"), clock(9))
    made.must(made.read_act(NEGATIVE, "C1"), clock(18))
    made.lapse("C2", "23:00.001")
    assert held(made) == [True, True]
    assert [each.label for each in contradicted_by(made.board, made.cartridge("C1"))] == ["C2"]

    again = HERE()
    to_well(again, "C1")
    to_well(again, "C2", 1)
    again.must(again.look_act(FAINT, "C2"), clock(9))
    again.must(again.read_act(NEGATIVE, "C2"), clock(18))
    again.must(again.read_act(NEGATIVE, "C1"), clock(18))
    assert held(again) == [False, False]


def test_what_two_stations_looked_at_early_says_nothing_until_a_supervisor_does() -> None:
    """Nothing comes of such a strip by itself."""
    made = HERE()
    to_well(made, "C1")
    to_well(made, "C2", 1)
    made.must(made.look_act(FAINT, "C2"), clock(9))
    hold(made, clock(10), "C2", HoldReason.READ_ON_BOTH_SIDES)
    made.must(made.read_act(NEGATIVE, "C1"), clock(18))
    assert held(made) == [False, False]


def test_whoever_read_what_is_held_is_named_on_both_and_a_typed_name_is_nobodys() -> None:
    """A hold names operators by key."""
    made = both()
    assert [each.by for label in ("C1", "C2") for each in made.cartridge(label).holds] == [
        "key-op-1",
        "key-op-1",
    ]
    typed = HERE()
    to_well(typed, "C1")
    to_well(typed, "C2", 1)
    typed.must(typed.read_act(NEGATIVE, "C1"), clock(18))
    aim = replace(typed.aim("C2"), by="")
    decided = typed.must(ReadUnverified(aim=aim, bands=CLEAR, name=private("A. Name")), clock(19))
    assert typed.cartridge("C2").held == (HoldReason.UNVERIFIED, ANOTHER)
    named = [each for each in decided if isinstance(each, ReadingHeld) and ANOTHER in each.reasons]
    assert [(each.cartridge, each.by) for each in named] == [("id-C2", None), ("id-C1", None)]


def test_it_is_held_beside_what_a_repeat_is_held_for() -> None:
    """One event says both that it contradicts what was seen early, and what another one says."""
    made: Bench = Bench()
    made.to_well()
    made.must(made.look_act(FAINT), "6:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    to_well(made, "C2", 19)
    to_well(made, "C3", 20)
    made.must(made.read_act(CLEAR, "C3"), clock(38))
    made.must(made.read_act(NEGATIVE, "C2"), clock(38))
    assert set(made.cartridge("C2").held) == {ANOTHER, HoldReason.CONTRADICTS_EARLIER}
    assert made.cartridge("C3").held == HELD
