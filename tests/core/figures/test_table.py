"""What was counted, told apart by day, assay, lot, operator and reader, and by what is asked for."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.figures.cases import CASES, READ
from readbell.core.cartridge.events import SubjectKind
from readbell.core.figures.case import Came, Case
from readbell.core.figures.counted import Counted
from readbell.core.figures.near_misses import NearMiss, NearMisses, Of
from readbell.core.figures.readers import Twice
from readbell.core.figures.table import Chosen, Table
from readbell.core.figures.view import By
from readbell.core.figures.week import monday_of, week_of
from readbell.core.instant import Instant
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode

DAYS = st.integers(1, 7).map(lambda number: f"2026-03-0{number}")


def counted_of(*cases: tuple[Case, str]) -> Counted:
    """Count `cases`, each begun on a day."""
    counted = Counted()
    for case, day in cases:
        counted.count(case, day, 9)
    return counted


def table_of(counted: Counted, chosen: Chosen) -> Table:
    """Add all of it up."""
    table = Table(chosen)
    table.take(counted)
    return table


@given(st.lists(st.tuples(CASES, DAYS)), st.integers(0, 10))
def test_every_case_of_a_patient_stands_once_in_each_table(
    cases: list[tuple[Case, str]], place: int
) -> None:
    """Control samples and blind samples in none; who was read by nobody has no reader."""
    table = Table()
    for part in (counted_of(*cases[:place]), counted_of(*cases[place:])):
        table.take(part)

    patients = [case for case, _ in cases if case.kind is SubjectKind.PATIENT]
    assert table.whole.total == len(patients)
    for by in (By.DAY, By.ASSAY, By.LOT, By.OPERATOR):
        assert sum(each.total for each in table.groups(by).values()) == len(patients)
    read = [each for each in patients if each.reader is not None]
    assert sum(each.total for each in table.groups(By.READER).values()) == len(read)
    for lot, tally in table.groups(By.LOT).items():
        theirs = [each for each in patients if each.lot == lot]
        assert tally.came[Came.POSITIVE] == sum(each.came is Came.POSITIVE for each in theirs)


@given(st.lists(st.tuples(CASES, DAYS)), DAYS, DAYS)
def test_what_is_asked_for_is_what_is_added_up(
    cases: list[tuple[Case, str]], since: str, until: str
) -> None:
    """Both days belong to it; several assays or lots are one or the other."""
    chosen = Chosen(since=since, until=until, assays=("nasal",), lots=("L-1", "L-2"))
    table = table_of(counted_of(*cases), chosen)
    meant = [
        case
        for case, day in cases
        if case.kind is SubjectKind.PATIENT
        and since <= day <= until
        and case.assay == "nasal"
        and case.lot in ("L-1", "L-2")
    ]
    assert table.whole.total == len(meant)
    assert set(table.groups(By.LOT)) == {each.lot for each in meant}


def test_what_was_not_asked_to_be_told_apart_is_no_empty_table() -> None:
    """It would look as if nobody had worked; and what is taken later is told as well."""
    table = Table(by=(By.DAY,))
    table.take(counted_of((READ, "2026-03-01")))
    with pytest.raises(KeyError):
        table.groups(By.READER)

    assert (table.whole.total, [*table.groups(By.DAY)]) == (1, ["2026-03-01"])
    table.take(counted_of((READ, "2026-03-02")))
    assert (table.whole.total, [*table.groups(By.DAY)]) == (2, ["2026-03-01", "2026-03-02"])


def test_strips_that_two_people_read_are_told_apart_by_assay() -> None:
    """An assay of which none was read twice is left out."""
    twice = Twice(Outcome.NEGATIVE, Outcome.NEGATIVE, faint=False)
    table = Table()
    table.take(
        counted_of(
            (READ, "2026-03-01"),
            (replace(READ, assay="throat", twice=twice), "2026-03-01"),
            (replace(READ, assay="throat", twice=twice), "2026-03-02"),
        )
    )

    assert table.twice_by_assay() == {"throat": {twice: 2}}


def test_what_was_taken_off_leaves_no_empty_group() -> None:
    """A result that was withdrawn is counted where it now belongs."""
    counted = counted_of((READ, "2026-03-01"))
    changed = replace(READ, came=Came.WITHDRAWN, reader="one")
    later = Counted()
    later.take_off(READ, "2026-03-01", 9)
    later.count(changed, "2026-03-01", 9)
    later.take_off(replace(READ, kind=SubjectKind.CONTROL_SAMPLE), "2026-03-01", 9)
    counted.join(later)
    table = Table()
    table.take(counted)

    assert [*table.groups(By.READER)] == ["one"]
    assert +table.whole.came == {Came.WITHDRAWN: 1}
    assert counted.courses == {("nasal", "L-1"): {1: Came.WITHDRAWN}}


def test_parts_joined_are_what_they_were_counted_from_at_once() -> None:
    """Cells and courses, of lots known before and of new ones."""
    one, two = (READ, "2026-03-01"), (replace(READ, ordinal=2), "2026-03-01")
    three = (replace(READ, ordinal=3, lot="L-2"), "2026-03-02")
    joined = counted_of(one)
    joined.join(counted_of(two, three))

    assert joined == counted_of(one, two, three)


@given(st.lists(st.tuples(CASES, DAYS)))
def test_what_cases_came_to_can_be_kept_without_how_long_anything_took(
    cases: list[tuple[Case, str]],
) -> None:
    """Of years that is little."""
    counted = counted_of(*cases)
    kept = counted.outcomes()

    assert kept.courses == counted.courses
    assert {cell: each.came for cell, each in kept.cells.items()} == {
        cell: each.came for cell, each in counted.cells.items()
    }
    assert not any(each.read_at.count or each.waits for each in kept.cells.values())


def test_a_week_begins_on_monday_and_goes_up_to_today() -> None:
    """Days without work stand in it; those of another week do not."""
    days = ("2026-03-22", "2026-03-23", "2026-03-25", "2026-03-26")
    week = week_of(counted_of(*((READ, day) for day in days)), "2026-03-25", refused=(1, 4))

    assert monday_of("2026-03-23") == monday_of("2026-03-29") == "2026-03-23"
    assert (week.today.tests, week.whole.tests) == (1, 2)
    assert (week.refused_today, week.refused) == (1, 4)
    assert week.flagged == ()
    assert [(day, tally.tests) for day, tally in week.days] == [
        ("2026-03-23", 1),
        ("2026-03-24", 0),
        ("2026-03-25", 1),
    ]


def test_near_misses_are_told_apart_by_why_lot_hour_and_operator() -> None:
    """The most frequent first, hours in their order; what is not known is left out."""
    misses = NearMisses()
    for code, lot, hour, by in (
        ("too-early", "L-1", 14, "one"),
        ("wrong-person", "L-1", 9, "one"),
        ("wrong-person", None, 9, None),
    ):
        miss = NearMiss(
            at=Instant(0),
            code=RefusalCode(code),
            act="read",
            assay=None if lot is None else "nasal",
            lot=lot,
            operator=by,
        )
        misses.add(miss, hour)

    assert misses.total == 3
    assert misses.most(Of.CODE) == (("wrong-person", 2), ("too-early", 1))
    assert misses.most(Of.HOUR) == (("09", 2), ("14", 1))
    assert misses.most(Of.LOT) == (("L-1", 2),)
    assert misses.most(Of.OPERATOR) == (("one", 2),)
