"""What a supervisor lets stand of two results that contradict each other, and what brings it back."""

from __future__ import annotations

import pytest

from builders import CLEAR, FAINT, NEGATIVE
from core.board.review_acts import amend, release, withdraw
from core.board.twice_bench import (
    HERE,
    both,
    clock,
    correct,
    held,
    to_well,
)
from readbell.core.results.status import ResultStatus


@pytest.mark.parametrize("released", ["C1", "C2"])
def test_what_a_supervisor_let_stand_does_not_come_back_by_itself(released: str) -> None:
    """Whoever released it knew what the other one says; of the same nothing new is made."""
    made = both()
    made.must(release(label=released), clock(20))
    made.must(correct(made, FAINT, "C2"), clock(20, "30"))
    other = "C2" if released == "C1" else "C1"
    assert held(made, released, other) == [False, True]
    made.must(release(label=other), clock(20, "40"))
    made.must(correct(made, CLEAR, "C2"), clock(20, "50"))
    assert held(made) == [False, False]


def test_what_is_said_anew_after_the_release_is_held_again() -> None:
    """When it was released both said the same."""
    made = both()
    made.must(correct(made, NEGATIVE, "C2"), clock(19, "30"))
    for label in ("C1", "C2"):
        made.must(release(label=label), clock(20))
    made.must(correct(made, CLEAR, "C2"), clock(20, "30"))
    assert held(made) == [True, True]


def test_a_third_one_brings_back_what_was_released() -> None:
    """Nobody knew of it then."""
    made = HERE()
    to_well(made, "C1")
    to_well(made, "C2")
    to_well(made, "C3", 3)
    made.must(made.read_act(NEGATIVE, "C1"), clock(18))
    made.must(made.read_act(CLEAR, "C2"), clock(18))
    made.must(withdraw(label="C2"), clock(19))
    made.must(release(label="C1"), clock(19))
    made.must(made.read_act(CLEAR, "C3"), clock(20))
    assert held(made, "C1", "C2", "C3") == [True, True, True]


def test_an_amendment_settles_nothing_and_both_are_let_stand_one_by_one() -> None:
    """What was on one strip says nothing of the other; whoever amends says so, and then releases."""
    made = both()
    made.must(amend(NEGATIVE, label="C2"), clock(20))
    assert held(made) == [True, True]
    assert made.result("C2").status is ResultStatus.HELD
    for label in ("C1", "C2"):
        made.must(release(label=label), clock(21))
    assert [made.result(each).status for each in ("C1", "C2")] == [
        ResultStatus.FINAL,
        ResultStatus.AMENDED,
    ]


def test_an_amendment_that_says_otherwise_than_another_one_holds_both() -> None:
    """Whoever amends one strip may not know of the other; once released it does not come back."""
    made = both(NEGATIVE, NEGATIVE)
    made.must(amend(CLEAR), clock(25))
    assert held(made) == [True, True]
    for label in ("C1", "C2"):
        made.must(release(label=label), clock(26))
    made.must(amend(FAINT), clock(27))
    assert held(made) == [False, False]
