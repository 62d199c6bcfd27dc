"""Gloves folded into the pieces: the same timetables, as long as each condition of the proof holds."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from core.plan.batch.by_hand import chance_batch, shortest
from core.plan.batch.test_planner import FIRM, GLOVED, batch
from core.plan.made_up import coupled, kit, piece, work
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.check import faults_of
from readbell.core.plan.batch.folded import GLOVES, folded, without_reading
from readbell.core.plan.batch.job import Batch, Break
from readbell.core.plan.batch.planner import plan
from readbell.core.plan.hands_on import READING

if TYPE_CHECKING:
    from readbell.core.plan.work import Work

SHORT_WAIT = kit(4, (1, 2), 2, (9, None), 1, gloves=3)
"""Gloves take longer than the wait: staying with one person spares time."""


def ends_without_reading(of: Batch) -> int:
    """Return when the shortest timetable of the pieces before the reading ends, by every order."""
    found = shortest(without_reading(of))
    assert found is not None
    return found


def test_each_touch_is_longer_by_a_change_and_the_gap_before_it_shorter() -> None:
    """The read window stays, as a reading asks for no gloves."""
    stands = folded(batch(GLOVED, 3, 2))
    assert stands is not None

    assert stands.batch.work.gloves == 0
    assert [each // SECOND for each in stands.batch.takes] == [110, 50, 15]
    assert next(part.key for part in stands.batch.work.pieces[0].parts) == GLOVES
    assert [(each.least // SECOND, (each.most or 0) // SECOND) for each in stands.batch.ties] == [
        (40, 90),
        (900, 1185),
    ]


@pytest.mark.parametrize("people", [1, 4, 9])
@pytest.mark.parametrize("operators", [2, 3])
def test_a_timetable_with_gloves_folded_in_is_one_of_the_batch(people: int, operators: int) -> None:
    """The checker knows nothing of folding; and back again it is what it was."""
    asked = batch(GLOVED, people, operators)
    stands = folded(asked)
    assert stands is not None
    found = plan(stands.batch).placed
    own = stands.unfolded(found)

    assert not list(faults_of(stands.batch, found))
    assert not list(faults_of(asked, own))
    assert stands.placed(own) == found


def test_without_gloves_a_batch_stands_for_itself() -> None:
    """Whatever it touches."""
    asked = batch(FIRM, 3, 2)
    stands = folded(asked)

    assert stands is not None
    assert stands.batch is asked
    assert stands.shift == 0


@pytest.mark.parametrize(
    "of",
    [
        pytest.param(SHORT_WAIT, id="a wait shorter than a change"),
        pytest.param(
            work(
                piece("one", 4, touches=True),
                piece("two", 2),
                piece(READING, 1),
                gaps=((0, 1, 5, 9), (1, 2, 9, None)),
                gloves=3,
            ),
            id="a piece before the reading that touches nothing",
        ),
        pytest.param(
            work(
                piece("one", 4, touches=True),
                piece(READING, 1, touches=True),
                gaps=((0, 1, 5, 9),),
                gloves=3,
            ),
            id="a last piece that touches",
        ),
    ],
)
def test_where_a_condition_does_not_hold_nothing_is_folded(of: Work) -> None:
    """The proof does not speak of it."""
    assert folded(batch(of, 2, 2)) is None
    assert folded(batch(replace(of, gloves=Span(0)), 2, 2)) is not None


def test_with_a_break_nothing_is_folded() -> None:
    """Hands are not alike then."""
    away = Break(operator=0, begins=Span(SECOND), ends=Span(2 * SECOND))
    assert folded(batch(GLOVED, 2, 2, breaks=(away,))) is None


def test_with_a_wait_shorter_than_a_change_folding_would_claim_too_much() -> None:
    """What the condition is for: staying spares the change, and folding would count it."""
    asked = batch(SHORT_WAIT, 2, 1)
    gloves = asked.work.gloves
    first, second, _ = asked.takes
    # Folded, one operator's four touches never take less than this, less the first change.
    claimed = 2 * (first + second) + 3 * gloves

    assert ends_without_reading(asked) < claimed


@pytest.mark.parametrize("seed", range(60))
def test_without_the_readings_folding_changes_nothing(seed: int) -> None:
    """By brute force over every order of made-up batches."""
    asked = chance_batch(seed + 900_000, ((1, 1), (2, 1), (3, 1), (2, 2)))
    stands = folded(asked)
    if stands is None:
        return

    assert ends_without_reading(stands.batch) - stands.shift == ends_without_reading(asked)


def test_a_task_of_two_pieces_without_its_last_is_one_piece() -> None:
    """Nothing hangs on it then."""
    left = without_reading(batch(coupled(1, (2, 3), 1), 2, 1))

    assert len(left.takes) == 1
    assert left.ties == ()
