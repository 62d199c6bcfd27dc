"""The judge of timetables sees each thing that can be wrong with one."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.plan.batch.test_planner import FIRM, GLOVED, batch
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.check import Wrong, faults_of
from readbell.core.plan.batch.job import Break
from readbell.core.plan.batch.plan import Placed
from readbell.core.plan.batch.planner import plan

ALONE = batch(FIRM, 1, 1)
SOUND = plan(ALONE).placed


def at(person: int, piece: int, begins: int, takes: int, operator: int = 0) -> Placed:
    """A piece of work, in seconds."""
    return Placed(
        begins=Span(begins * SECOND),
        operator=operator,
        person=person,
        piece=piece,
        ends=Span((begins + takes) * SECOND),
    )


def moved(piece: int, begins: int) -> tuple[Placed, ...]:
    """The sound timetable of one person with one piece at another time."""
    takes = (90, 30, 15)[piece]
    return tuple(at(0, piece, begins, takes) if each.piece == piece else each for each in SOUND)


def wrongs(placed: tuple[Placed, ...]) -> set[Wrong]:
    """What is wrong with a timetable of one person."""
    return {each.wrong for each in faults_of(ALONE, placed)}


def test_a_sound_timetable_has_no_fault() -> None:
    """Swab at 0, drops at 2:30, read at 18:00."""
    assert [each.begins // SECOND for each in SOUND] == [0, 150, 1080]
    assert wrongs(SOUND) == set()


@pytest.mark.parametrize(
    ("placed", "wrong"),
    [
        pytest.param(SOUND[:2], Wrong.NOT_WHOLE, id="a piece is missing"),
        pytest.param((*SOUND, SOUND[0]), Wrong.NOT_WHOLE, id="a piece twice"),
        pytest.param(
            (replace(SOUND[0], ends=Span(1)), *SOUND[1:]), Wrong.NOT_WHOLE, id="too short"
        ),
        pytest.param(moved(1, 149), Wrong.TOO_SOON, id="before the minute in buffer is over"),
        pytest.param(moved(1, 201), Wrong.TOO_LATE, id="withdrawn after two minutes"),
        pytest.param(moved(2, 1079), Wrong.TOO_SOON, id="read before the window"),
        pytest.param(moved(2, 1366), Wrong.TOO_LATE, id="reading ends after the window"),
        pytest.param(moved(1, 80), Wrong.TWO_AT_ONCE, id="two pieces at once"),
        pytest.param((replace(SOUND[0], operator=1), *SOUND[1:]), Wrong.NOBODY, id="nobody there"),
    ],
)
def test_what_is_wrong_is_seen(placed: tuple[Placed, ...], wrong: Wrong) -> None:
    """To the second: one less, and the rule is broken."""
    assert wrong in wrongs(placed)


@pytest.mark.parametrize(("begins", "wrong"), [(200, set()), (201, {Wrong.TOO_LATE})])
def test_the_last_second_of_a_wait_is_allowed(begins: int, wrong: set[Wrong]) -> None:
    """Withdrawing takes ten seconds and is done within two minutes."""
    placed = (*moved(1, begins)[:2], at(0, 2, begins + 930, 15))

    assert wrongs(placed) == wrong


def test_a_person_who_is_not_there_yet_is_seen() -> None:
    """The arrival counts, not the start of the batch."""
    late = batch(FIRM, 1, 1, arrivals=(Span(5 * SECOND),))

    assert Wrong.TOO_SOON in {each.wrong for each in faults_of(late, SOUND)}


def test_pieces_keep_their_order_where_no_wait_holds_them() -> None:
    """A piece never begins before the one ahead of it has ended."""
    assert Wrong.TOO_SOON in wrongs(moved(1, 0))


def test_a_change_of_gloves_needs_its_time_right_before_the_piece() -> None:
    """Nineteen seconds between two people are not enough, twenty are; a reading needs none."""
    asked = batch(GLOVED, 2, 1)
    for pause, wrong in ((20, set()), (19, {Wrong.NO_TIME_FOR_GLOVES})):
        second = 180 + pause
        placed = (*SOUND, at(1, 0, second, 90), at(1, 1, second + 150, 30), at(1, 2, 1280, 15))
        assert {each.wrong for each in faults_of(asked, placed)} == wrong


def test_work_and_changes_of_gloves_keep_out_of_breaks() -> None:
    """The change before the second person falls into the break as well as the work may."""
    for from_, until, is_wrong in ((180, 199, True), (180, 181, True), (179, 180, True)):
        away = Break(operator=0, begins=Span(from_ * SECOND), ends=Span(until * SECOND))
        asked = batch(GLOVED, 2, 1, breaks=(away,))
        placed = (*SOUND, at(1, 0, 200, 90), at(1, 1, 350, 30), at(1, 2, 1280, 15))
        found = {each.wrong for each in faults_of(asked, placed)}
        assert (Wrong.ON_A_BREAK in found) == is_wrong
