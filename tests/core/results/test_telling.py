"""Whether what somebody heard of a result still holds."""

from __future__ import annotations

from dataclasses import replace

from builders import CLEAR, NEGATIVE
from core.board.telling_bench import TellingBench
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.result import Result, result_of
from readbell.core.results.status import ResultStatus
from readbell.core.results.telling import ResultTold, holds, misled, saying_of
from readbell.core.results.to_tell import Urgency, urgency_of


def told_early() -> tuple[ResultTold, Result]:
    """A preliminary positive that was told, and the positive that it became."""
    made = TellingBench()
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    told = made.tell(now="6:00")
    made.must(made.read_act(CLEAR), "18:00")
    return told, result_of(made.cartridge())


def test_a_preliminary_positive_that_is_confirmed_misled_nobody() -> None:
    """It is to be told once more all the same."""
    told, result = told_early()

    assert not misled(told, result)
    assert not holds(told, result)


def test_a_preliminary_positive_whose_line_is_otherwise_in_the_end_misled() -> None:
    """By whatever way a result comes to say so."""
    told, result = told_early()
    (line,) = result.analytes
    amended = replace(
        result,
        status=ResultStatus.AMENDED,
        analytes=(replace(line, outcome=Outcome.NEGATIVE),),
        outcome=Outcome.NEGATIVE,
    )

    assert misled(told, amended)


def test_while_nothing_is_to_be_said_nobody_is_misled() -> None:
    """What is held may come to stand as it was told."""
    told, result = told_early()
    held = replace(result, status=ResultStatus.HELD)

    assert saying_of(held) is None
    assert not misled(told, held)


def test_whoever_heard_that_nothing_counts_is_put_right_once_something_does() -> None:
    """They were told to come again, and a supervisor has said what was on the strip since."""
    made = TellingBench()
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    told = made.tell(now="20:00")
    assert (told.status, told.outcomes) == (ResultStatus.WITHHELD, ())
    made.amend(CLEAR)

    result = result_of(made.cartridge())
    assert result.status is ResultStatus.AMENDED
    assert misled(told, result)
    assert urgency_of((told,), result) is Urgency.PUT_RIGHT
