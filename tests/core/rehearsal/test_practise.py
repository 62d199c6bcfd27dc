"""Which three things are to be practised: what weighs most, and of equal weight the gravest."""

from __future__ import annotations

import pytest

from builders import START
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.practise import Practise, practised_by, to_practise
from readbell.core.rehearsal.score_marks import Area, Mistake, Slip
from readbell.core.rehearsal.score_safety import AREAS


def mistake(code: str, area: Area = Area.TIMING, *, refused: bool = False) -> Mistake:
    """Return a mistake."""
    return Mistake(at=START, area=area, code=code, refused=refused)


@pytest.mark.parametrize("slip", list(Slip))
def test_every_slip_has_something_to_practise(slip: Slip) -> None:
    """Whatever the area it was put under."""
    assert {practised_by(mistake(slip, area)) for area in Area} == {practised_by(mistake(slip))}


@pytest.mark.parametrize(("code", "area"), AREAS.items())
def test_every_refusal_that_is_a_mistake_has_something_to_practise(
    code: RefusalCode, area: Area
) -> None:
    """By itself, or by what it is about."""
    assert practised_by(mistake(code, area)) in Practise


@pytest.mark.parametrize("area", list(Area))
def test_what_nobody_thought_of_is_put_down_to_its_area(area: Area) -> None:
    """A refusal that is added later must not end a debrief."""
    assert practised_by(mistake("something-new", area)) in Practise


def test_three_at_most_are_named_the_heaviest_first() -> None:
    """More than three nobody practises."""
    found = to_practise(
        [
            mistake(Slip.WINDOW_LOST),
            mistake(Slip.WINDOW_LOST),
            mistake(Slip.FALSE_NEGATIVE),
            mistake(Slip.NO_TIME_FOR_GLOVES),
            mistake(RefusalCode.TOO_EARLY, refused=True),
        ]
    )

    assert found == (Practise.WINDOWS, Practise.FAINT_LINES, Practise.GLOVES)


def test_what_went_through_weighs_more_than_what_was_refused() -> None:
    """The program will not stop everything."""
    refused = [mistake(RefusalCode.WRONG_PERSON, Area.IDENTITY, refused=True)] * 2

    assert to_practise([*refused, mistake(Slip.WAIT_LONG)]) == (Practise.WAITS, Practise.IDENTITY)


def test_of_equal_weight_the_gravest_goes_first() -> None:
    """What may harm somebody goes before pace."""
    found = to_practise([mistake(RefusalCode.WRONG_PERSON, Area.IDENTITY, refused=True)], slow=True)

    assert found == (Practise.IDENTITY, Practise.PACE)


def test_where_nothing_went_wrong_nothing_is_named() -> None:
    """And what was pressed late or slowly is."""
    assert to_practise([]) == ()
    assert to_practise([], stated=2) == (Practise.PRESSING,)
    assert to_practise([], slow=True) == (Practise.PACE,)


def test_what_harms_once_goes_before_what_is_slow_many_times() -> None:
    """A missed positive must not fall off the list because waits were called over six times."""
    often = [
        mistake(code, refused=True)
        for code in (RefusalCode.WAIT_NOT_OVER, RefusalCode.TOO_EARLY, RefusalCode.OUT_OF_ORDER)
        for _ in range(6)
    ]
    found = to_practise([*often, mistake(Slip.FALSE_NEGATIVE, Area.READING)], stated=9)

    assert found[0] is Practise.FAINT_LINES
    assert Practise.PRESSING not in found


def test_a_habit_stands_behind_every_mistake() -> None:
    """Nine steps pressed late harm less than one person taken for another, though it was stopped."""
    stopped = mistake(RefusalCode.WRONG_PERSON, Area.IDENTITY, refused=True)

    assert to_practise([stopped], stated=9) == (Practise.IDENTITY, Practise.PRESSING)


def test_somebody_who_was_not_tested_is_no_matter_of_pace() -> None:
    """Whoever leaves with people at the window was not too slow."""
    assert to_practise([mistake(Slip.NOT_TESTED, Area.SAFETY)]) == (Practise.EVERYBODY,)


def test_somebody_taken_for_another_goes_before_all_else() -> None:
    """It is the worst error of all, however many were left untested beside it."""
    left = [mistake(Slip.NOT_TESTED, Area.SAFETY)] * 9

    assert to_practise([*left, mistake(Slip.NOBODYS_ID, Area.IDENTITY)]) == (
        Practise.IDENTITY,
        Practise.EVERYBODY,
    )
