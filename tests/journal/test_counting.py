"""What was counted is what a walk over every ended cartridge would count."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.any_acts import BENCH, PLANS, Plan, play, record
from journal.samples import STAMP
from readbell.core.board.board import Board
from readbell.core.board.fold import fold
from readbell.core.board.layered import Layered
from readbell.core.figures.case import case_of
from readbell.core.figures.counted import Cell, Counted
from readbell.journal import snapshot
from readbell.journal.all_counted import all_counted
from readbell.journal.counting import SiteDays, _changed, counting, packed, unpacked
from readbell.journal.record import Head
from readbell.journal.snapshot import NOTHING, read_snapshot, taking

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.figures.tally import Tally


HEAD = Head(seq=7, hash=bytes(range(32)))


def walked(board: Board) -> Counted:
    """Count every ended cartridge of `board`, one by one."""
    counted, days = Counted(), SiteDays(board)
    for key, cartridge in board.ended.items():
        case = case_of(cartridge, board.told.get(key, ()))
        counted.count(case, *days.of(case.begun))
    return counted


def between(before: Board, now: Board) -> Counted:
    """Count what came from `before` to `now`."""
    (counted,) = [each for each in counting(before, now) if each is not None]
    return counted


def full_cells(counted: Counted) -> Mapping[Cell, Tally]:
    """The cells in which anything is left."""
    return {cell: each for cell, each in counted.cells.items() if each.total}


def same(one: Counted, other: Counted) -> bool:
    """Whether both come to the same, in every table."""
    first, second = full_cells(one), full_cells(other)
    return (
        one.courses == other.courses
        and first.keys() == second.keys()
        and all(alike(first[cell], second[cell]) for cell in first)
    )


def alike(one: Tally, other: Tally) -> bool:
    """Whether both hold the same counts; one that came to nothing is as good as none."""
    return (
        +one.came == +other.came
        and +one.twice == +other.twice
        and +one.hours == +other.hours
        and [each.counts for each in one.spreads()] == [each.counts for each in other.spreads()]
        and (one.repeats, one.faint, one.early, one.could_be_early, one.stated, one.picked)
        == (
            other.repeats,
            other.faint,
            other.early,
            other.could_be_early,
            other.stated,
            other.picked,
        )
        and {
            key: (each.kept, each.idle, each.took.counts)
            for key, each in one.waits.items()
            if each.took.counts
        }
        == {
            key: (each.kept, each.idle, each.took.counts)
            for key, each in other.waits.items()
            if each.took.counts
        }
    )


@given(PLANS, st.data())
def test_parts_counted_one_after_another_come_to_what_a_walk_counts(
    plan: Plan, data: st.DataObject
) -> None:
    """Wherever they were parted, and whatever was amended, withdrawn or told in between."""
    boards = [Board(), *(board for board, _, _ in play(plan))]
    places = sorted(data.draw(st.sets(st.integers(0, len(boards) - 1), max_size=4)))
    counted, before = Counted(), Board()
    for place in (*places, len(boards) - 1):
        counted.join(between(before, boards[place]))
        before = boards[place]

    assert same(counted, walked(boards[-1]))
    assert same(unpacked(packed(counted)), counted)


def test_nothing_counted_is_an_empty_table() -> None:
    """Of a record in which nothing has ended yet."""
    (counted,) = all_counted(Board(), NOTHING, lambda _done, _of: None)

    assert not counted.cells
    assert not counted.courses


@settings(deadline=None)  # a busy machine is no fault of it
@given(PLANS, st.data())
def test_a_snapshot_upon_a_snapshot_says_what_a_walk_counts(
    plan: Plan, data: st.DataObject
) -> None:
    """Whether a later one swallowed it or was laid upon it, and however much came after."""
    events = record(plan)
    places = data.draw(st.sets(st.integers(0, len(events)), max_size=3))
    swallowed = data.draw(st.sampled_from([0, 10_000]))
    board, base, kept = BENCH, NOTHING, dict[int, bytes]()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(snapshot, "FEW", 0)
        for place, event in enumerate(events):
            board = fold(board, event)
            if place in places:
                written = next(
                    each for each in taking(board, STAMP, HEAD, base, swallowed) if each is not None
                )
                kept = {number: kept[number] for number in written.stay} | dict(written.parts)
                found = read_snapshot(kept)
                assert found is not None
                board, base = found.board, found.base
    told: list[tuple[int, int]] = []
    counted = Counted()
    for part in all_counted(board, base, lambda done, of: told.append((done, of))):
        counted.join(part)

    assert same(counted, walked(board))
    assert all(0 <= done <= of == len(board.ended) for done, of in told)


def test_two_states_of_one_run_are_told_apart_without_a_walk_over_what_lies_below() -> None:
    """Years may lie there."""
    below = {f"key-{number}": f"value-{number}" for number in range(3)}
    before = Layered(Below(below))
    now = before.copy()
    now["key-1"] = "changed"
    now["new"] = "value"
    del now["key-2"]
    later = now.copy()
    later["key-2"] = "back"
    del later["new"]
    Below.walked = 0

    assert sorted(_changed(before, now)) == ["key-1", "key-2", "new"]
    assert sorted(_changed(now, later)) == ["key-2", "new"]
    assert sorted(_changed(now.below, now)) == ["key-1", "key-2", "new"]
    assert _changed(now, now) == ()
    assert Below.walked == 0


def test_of_two_plain_mappings_what_is_new_gone_or_otherwise_is_told() -> None:
    """A young bay has nothing else."""
    before = {"same": 1, "other": (2, 3), "gone": 4}
    now = {"same": 1, "other": (2, 4), "new": 5}

    assert sorted(_changed(before, now)) == ["gone", "new", "other"]


class Below(dict[str, str]):
    """A mapping that knows how often it was walked."""

    walked = 0

    def __iter__(self) -> Iterator[str]:
        Below.walked += 1
        return super().__iter__()
