"""What can be asked of a batch, and why it may have no answer."""

from __future__ import annotations

import pytest

from core.plan.batch.test_planner import FIRM
from core.plan.kits import reading_in, within
from core.plan.made_up import kit, piece, work
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.job import Batch, Fault, FaultKind, batch_of
from readbell.core.plan.hands_on import READING
from readbell.core.plan.work import Work, work_of


def asked(of: Work, people: int = 2, operators: int = 1, **slack: int) -> Batch | Fault:
    """Ask for a batch; slack in seconds by window."""
    return batch_of(
        of,
        arrivals=[Span(0)] * people,
        operators=operators,
        slack={window: Span(seconds * SECOND) for window, seconds in slack.items()},
    )


def test_a_window_may_be_used_up_to_its_last_second_and_no_further() -> None:
    """The wait leaves 50 s beside the work: 120 s, less 60 and less 10 for withdrawing."""
    assert isinstance(asked(FIRM, extract=50), Batch)
    assert asked(FIRM, extract=51) == Fault(
        kind=FaultKind.TOO_MUCH_SLACK, window="extract", room=Span(50 * SECOND)
    )


def test_a_window_that_the_assay_has_not_is_named_with_those_it_has() -> None:
    """`read` stands for the read window."""
    assert asked(FIRM, apply=5) == Fault(
        kind=FaultKind.NO_SUCH_WINDOW, window="apply", known=("extract", READING)
    )


def test_slack_before_an_end_that_nobody_set_is_a_fault() -> None:
    """Nothing can be kept before it."""
    open_ended = work_of(reading_in("15:00", None))

    assert asked(open_ended, read=5) == Fault(kind=FaultKind.NO_LIMIT, window=READING)


def test_an_assay_whose_own_times_break_its_limits_is_impossible() -> None:
    """Withdrawing takes ten seconds, and five are left of the wait."""
    narrow = work_of(within("1:05", least="1:00"))

    assert asked(narrow) == Fault(kind=FaultKind.IMPOSSIBLE)
    assert asked(narrow, extract=1) == Fault(kind=FaultKind.TOO_MUCH_SLACK, window="extract")


@pytest.mark.parametrize(
    ("people", "operators", "gloves", "is_fault"),
    [(2, 1, 5, True), (2, 1, 4, False), (1, 1, 5, False), (2, 2, 5, False)],
)
def test_gloves_that_one_operator_cannot_change_in_time_are_a_fault(
    people: int, operators: int, gloves: int, is_fault: bool
) -> None:
    """Something clean is done first, and the touch must follow within four seconds."""
    of = work(
        piece("label", 9),
        piece("swab", 5, touches=True),
        piece(READING, 2),
        gaps=((0, 1, 0, 4), (1, 2, 10, 20)),
        gloves=gloves,
    )
    found = asked(of, people, operators)

    assert isinstance(found, Fault) == is_fault
    if isinstance(found, Fault):
        assert found == Fault(kind=FaultKind.NO_TIME_FOR_GLOVES, window="swab")


def test_the_unit_divides_every_figure() -> None:
    """Three seconds here, whatever the clock counts in."""
    found = asked(kit(9, (3, 6), 3, (30, 60), 6))

    assert isinstance(found, Batch)
    assert found.unit == 3 * SECOND
