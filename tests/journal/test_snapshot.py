"""A snapshot is the board it was taken of, or it is not believed."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import CLEAR
from journal.samples import STAMP, Day
from readbell.core.board.board import Board
from readbell.core.board.fold import replay
from readbell.core.board.layered import writable
from readbell.core.instant import Span
from readbell.journal import snapshot
from readbell.journal.packed import Packed
from readbell.journal.record import Head
from readbell.journal.snapshot import (
    FEW,
    NOTHING,
    TOP,
    Base,
    Snapshot,
    Written,
    fingerprint,
    read_snapshot,
    taking,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

HEAD = Head(seq=7, hash=bytes(range(32)))
MANY = {f"key-{number}": f"P-{number}" for number in range(2 * FEW)}


def worked() -> Board:
    """A bay in which somebody was read and somebody develops."""
    day = Day()
    day.to_well("C1", "P-001")
    day.to_well("C2", "P-002")
    day.must(day.read_act(CLEAR, "C1"), "18:00")
    return replay(day.events)


def take(board: Board, base: Base = NOTHING) -> Written:
    """Take a snapshot of `board` to its end."""
    written = list(taking(board, STAMP, HEAD, base))[-1]
    assert written is not None
    return written


def taken_up(parts: Mapping[int, bytes]) -> Snapshot:
    """Return what `parts` say; they are to be believed."""
    found = read_snapshot(parts)
    assert found is not None
    return found


def in_order(board: Board) -> list[tuple[str, Any]]:
    """Return all that a board says, the order of its mappings included."""
    return [
        (each.name, list(value.items()) if hasattr(value, "items") else value)
        for each in fields(Board)
        for value in [getattr(board, each.name)]
    ]


def test_it_gives_back_the_board_its_end_and_its_time() -> None:
    """Whoever starts from it stands where the one stood who wrote it."""
    board = worked()

    found = taken_up(take(board).parts)

    assert in_order(found.board) == in_order(board)
    assert (found.head, found.last) == (HEAD, STAMP)


def test_what_is_long_is_packed_and_what_runs_never_is() -> None:
    """Old names cost nothing until they are asked for; running cartridges are asked each second."""
    board = replace(worked(), names=MANY)

    found = taken_up(take(board).parts).board

    assert isinstance(found.names, Packed)
    assert type(found.running) is dict
    assert in_order(found) == in_order(board)


CHANGES = st.lists(
    st.tuples(st.sampled_from([f"key-{number}" for number in range(12)]), st.none() | st.text()),
    max_size=12,
)


@settings(max_examples=40, deadline=None)
@given(days=st.lists(CHANGES, max_size=6), swallowed=st.sampled_from([0, 3, 1_000]))
def test_day_upon_day_it_says_what_the_board_says(
    days: list[list[tuple[str, str | None]]], swallowed: int
) -> None:
    """Layers lie upon layers and swallow each other; nothing is lost and nothing comes back."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(snapshot, "FEW", 2)
        patch.setattr(snapshot, "SWALLOWED", swallowed)
        board, base, store = worked(), NOTHING, dict[int, bytes]()
        for changes in days:
            names = writable(board.names)
            for key, value in changes:
                names[key] = value
                if value == "":
                    del names[key]
            board = replace(board, names=names)
            written = take(board, base)
            store = {number: store[number] for number in written.stay} | dict(written.parts)
            found = taken_up(store)
            assert in_order(found.board) == in_order(board)
            board, base = found.board, found.base


def test_what_is_already_there_is_not_written_again() -> None:
    """The end of a day writes about as much as the day was."""
    first = take(replace(worked(), names=MANY))
    found = taken_up(first.parts)
    names = writable(found.board.names)
    names["key-new"] = "P-new"

    second = take(replace(found.board, names=names), found.base)

    assert second.stay == first.parts.keys() - {TOP}
    assert sum(map(len, second.parts.values())) < sum(map(len, first.parts.values())) / 2
    again = taken_up({**first.parts, **second.parts})
    assert list(again.board.names.items()) == [*MANY.items(), ("key-new", "P-new")]


def test_a_day_on_which_nothing_happened_adds_no_layer() -> None:
    """Else a bay that is opened each day for nothing would grow a layer each day."""
    first = take(replace(worked(), names=MANY))
    found = taken_up(first.parts)

    second = take(found.board, found.base)

    assert second.parts.keys() == {TOP}
    assert second.stay == first.parts.keys() - {TOP}


def test_what_was_changed_into_another_mapping_is_written_anew() -> None:
    """Whatever a later program does to a mapping, what lay below no longer counts."""
    found = taken_up(take(replace(worked(), names=MANY)).parts)
    other = {**MANY, "key-0": "another"}
    del other["key-1"]

    second = take(replace(found.board, names=other), found.base)

    assert list(taken_up(second.parts).board.names.items()) == list(other.items())


def test_any_byte_that_is_changed_by_accident_makes_it_unbelieved() -> None:
    """A wrong board is worse than a slow start."""
    parts = take(replace(worked(), names=MANY)).parts
    believed = [
        (number, place)
        for number, body in parts.items()
        for place in range(0, len(body), max(1, len(body) // 97))
        if read_snapshot({**parts, number: flipped(body, place)}) is not None
    ]

    assert believed == []


def flipped(body: bytes, place: int) -> bytes:
    """Return `body` with one bit of one byte turned over."""
    return body[:place] + bytes([body[place] ^ 4]) + body[place + 1 :]


@pytest.mark.parametrize("number", [TOP, TOP + 1])
def test_a_part_that_is_missing_makes_it_unbelieved(number: int) -> None:
    """Half of it is none of it."""
    parts = dict(take(replace(worked(), names=MANY)).parts)
    del parts[number]

    assert read_snapshot(parts) is None


def test_nothing_is_made_of_nothing() -> None:
    """A journal of an earlier program has none."""
    assert read_snapshot({}) is None
    assert read_snapshot({TOP: b""}) is None


def test_another_program_reads_the_record_instead(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was folded by other rules may be another board."""
    parts = take(worked()).parts
    monkeypatch.setattr(snapshot, "fingerprint", lambda: "of another program")

    assert read_snapshot(parts) is None


def test_the_fingerprint_is_of_the_rules_themselves() -> None:
    """It changes with any line of the core, so nobody has to remember to change it."""
    assert len(fingerprint()) == 64


def test_an_act_never_waits_for_more_than_a_little_of_it() -> None:
    """It is taken step by step, and between two steps the bay goes on."""
    steps = list(taking(replace(worked(), names=MANY), STAMP, HEAD))

    assert len(steps) > len(MANY) / 64
    assert [each for each in steps if each is not None] == steps[-1:]


def test_the_time_of_its_last_event_is_kept_to_the_millisecond() -> None:
    """By it the bay's time line is joined to the clocks again."""
    later = replace(STAMP, counting=STAMP.counting + Span(1))
    written = list(taking(worked(), later, HEAD))[-1]
    assert written is not None

    assert taken_up(written.parts).last == later
