"""What is to be told and what was, in words."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, NEGATIVE, NO_CONTROL, SMEAR, THREE_LINES, at, bands, private
from core.board.telling_bench import OFFICE, TellingBench
from phrases.telling_kinds import TELLING_EVENTS
from readbell.core.board.telling import (
    NOTHING_YET,
    TELL_ALONE,
    TELL_CHANGED,
    TELL_HELD,
    TELL_NO_OFFICE,
    TELL_NOT_GUARDIAN,
    TELL_NOT_OTHER,
    TELL_SAMPLE,
    TELL_SECOND,
    TELL_VOID,
)
from readbell.core.people.particulars import ToldTo
from readbell.core.results.telling import Hearer
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.telling_words import (
    CHANNELS,
    HEARERS,
    NOT_ALLOWED,
    NOTHING_TO_TELL,
    say_due,
    say_what,
    tell_of_telling,
    what_is_to_tell,
)

if TYPE_CHECKING:
    from readbell.core.results.telling import ResultTold

FACE = ClockFace(zone=UTC)
CODES = {
    NOTHING_YET,
    TELL_ALONE,
    TELL_CHANGED,
    TELL_HELD,
    TELL_NOT_GUARDIAN,
    TELL_NOT_OTHER,
    TELL_NO_OFFICE,
    TELL_SAMPLE,
    TELL_SECOND,
    TELL_VOID,
}


def lines(made: TellingBench, now: str = "30:00") -> list[str]:
    """What is to be told, as it is read out."""
    return list(what_is_to_tell(made.board, at(now), FACE))


def test_each_reason_to_tell_nobody_has_its_sentences() -> None:
    """What is so, and what to do now."""
    assert set(NOT_ALLOWED) == CODES
    assert all(said.count(". ") + said.endswith(".") >= 2 for said in NOT_ALLOWED.values())


@pytest.mark.parametrize("event", TELLING_EVENTS)
def test_a_telling_names_to_whom_and_how(event: ResultTold) -> None:
    """Of an office it says that it was notified."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    made.label()
    said = tell_of_telling(event, made.board)

    whom = OFFICE.office if event.to is Hearer.OFFICE else HEARERS[event.to]
    assert said.startswith(f"C1  {whom} ")
    assert CHANNELS[event.how] in said


def test_an_office_whose_rule_is_gone_is_called_the_office() -> None:
    """The record still says that it was notified."""
    made = TellingBench()
    made.label()
    event = next(each for each in TELLING_EVENTS if each.to is Hearer.OFFICE)

    assert "the office notified" in tell_of_telling(event, made.board)


def test_what_to_say_after_a_telling_is_said_with_it() -> None:
    """A preliminary one is not the last word, and nothing counts of what is to be repeated."""
    made = TellingBench()
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    early = tell_of_telling(made.tell(now="6:00"), made.board)
    made.must(made.read_act(NEGATIVE), "18:00")
    late = tell_of_telling(made.tell(), made.board)

    assert "preliminary. Tell them as well once it is read in its window." in early
    assert "to be repeated with a new specimen" in late


def test_a_line_says_what_to_tell_to_whom_and_what_was_told() -> None:
    """One who looks at it needs no other page."""
    made = TellingBench()
    made.consents(ToldTo.GUARDIAN)
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    made.tell(now="6:00")
    made.must(made.read_act(CLEAR), "18:00")

    (said,) = lines(made)

    assert said.startswith("C1  + POSITIVE  P-001. To tell: + POSITIVE.")
    assert "It may be told to the person, or a parent or guardian." in said
    assert "Told before: the person heard by phone at 2026-03-29" in said


def test_several_analytes_are_each_named() -> None:
    """The word for the whole would hide which."""
    made = TellingBench(THREE_LINES)
    made.read(bands(influenza_a="absent", influenza_b="faint", sars_cov_2="absent"))

    (said,) = lines(made)

    assert "Influenza B antigen positive" in said


def test_the_words_of_a_line_are_short() -> None:
    """They stand in a column."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    made.read(NO_CONTROL)
    made.read(NEGATIVE, "C2", "P-002")

    found = made.lines()

    assert [say_what(each, made.board) for each in found] == ["notify", "to repeat", "- NEGATIVE"]
    assert [say_due(each, at("30:00")) for each in found] == ["in 1:48:00", "", ""]
    assert say_due(found[0], at("3:00:00")) == "OVERDUE 42:00"


def test_whoever_was_misled_is_told_of_the_repeat_once_there_is_one() -> None:
    """To come again for a test that has been done would be the next wrong word."""
    made = TellingBench()
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    made.tell(now="6:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    (said,) = lines(made)
    assert "It is now: to be repeated with a new specimen." in said
    made.label("C2", now="19:00")
    (said,) = lines(made)
    assert "It is now: nothing of it counts; it was repeated on C2. Tell each of them." in said
    told = tell_of_telling(made.tell(now="20:00"), made.board)
    assert told == "C1  the person told by phone: nothing of it counts; it was repeated on C2."


def test_whoever_has_a_result_by_another_one_is_not_told_to_come_again() -> None:
    """What was told of the first holds no more; of the second it holds."""
    made = TellingBench()
    made.to_well()
    made.to_well("C2")
    made.must(made.look_act(CLEAR), "5:00")
    made.tell(now="6:00")
    made.must(made.read_act(CLEAR, "C2"), "18:00")
    made.must(made.read_act(SMEAR), "18:10")
    said = next(each for each in lines(made) if each.startswith("C1"))
    assert "It is now: nothing of it counts, and no repeat is due: the person has C2." in said


def test_whoever_gets_no_further_repeat_is_referred_and_never_told_to_come_again() -> None:
    """The list, the form and the record say the one thing."""
    made = TellingBench()
    made.decides(repeat_limit=1, referral="Go to room 4.")
    made.read(NO_CONTROL)
    made.read(NO_CONTROL, "C2")
    (found,) = made.lines()
    assert say_what(found, made.board) == "refer"
    (said,) = lines(made)
    assert "no further repeat. Go to room 4. It may be told to the person." in said
    told = tell_of_telling(made.tell("C2"), made.board)
    assert told.endswith("there is no further repeat. Go to room 4.")


def test_whoever_was_mixed_up_is_named_though_there_is_no_result_of_theirs() -> None:
    """Both people are to hear of it; the other one was never tested."""
    made = TellingBench()
    made.read(CLEAR)
    act = WithdrawResult(
        by="op-1",
        cartridge="C1",
        reason=WithdrawReason.ANOTHER_PERSON,
        words=private("wrong person"),
        persons=("P-002",),
    )
    made.must(act, "23:00")
    first, *_ = lines(made)
    assert first == "Mixed up: to be told, and to give a new specimen: P-001, P-002."
    made.label("C2", "P-001", now="24:00")
    assert lines(made) == ["Mixed up: to be told, and to give a new specimen: P-002."]
    made.label("C3", "P-002", now="24:10")
    assert lines(made) == [NOTHING_TO_TELL]


def test_a_bay_with_nothing_to_tell_says_so() -> None:
    """Silence could be a fault."""
    assert lines(TellingBench()) == [NOTHING_TO_TELL]
