"""A draft is written into without touching the board that it was made from."""

from __future__ import annotations

import pytest

from builders import Bench, private
from readbell.core.board.draft import Draft, Ledger
from readbell.core.errors import BrokenRecordError


def test_a_ledger_that_was_not_written_to_is_the_one_it_was_made_from() -> None:
    """An event copies only what it touches, or a long day would grow slow."""
    base = {"a": 1}
    ledger = Ledger(base)
    ledger.drop("b")

    assert ledger.mapping is base
    assert ledger.get("a") == ledger.want("a", "letter") == 1
    assert ledger.get("b") is None


def test_writing_leaves_the_first_mapping_as_it_was() -> None:
    """Somebody may still be looking at it."""
    base = {"a": 1}
    ledger = Ledger(base)
    ledger.put("b", 2)
    ledger.put("a", 3)

    assert base == {"a": 1}
    assert ledger.mapping == {"a": 3, "b": 2}


def test_dropping_leaves_the_first_mapping_as_it_was() -> None:
    """Whether it is the first write or a later one."""
    base = {"a": 1, "b": 2}
    ledger = Ledger(base)
    ledger.drop("a")
    ledger.drop("b")

    assert base == {"a": 1, "b": 2}
    assert ledger.mapping == {}


def test_a_ledger_is_copied_once_however_often_it_is_written_to() -> None:
    """A replay of a whole journal would otherwise copy everything for each event."""
    ledger = Ledger({"a": 1})
    ledger.put("b", 2)
    own = ledger.mapping
    ledger.put("c", 3)

    assert ledger.mapping is own


def test_what_the_record_never_introduced_is_a_broken_record() -> None:
    """The sentence says what was missing, so that somebody can look for it."""
    with pytest.raises(BrokenRecordError, match="speaks of lot 'L-404'"):
        Ledger({"L-100": 1}).want("L-404", "lot")


def test_a_draft_that_was_not_written_to_is_the_board() -> None:
    """Nothing happened, so nothing is different, down to the very mappings."""
    board = Bench().board
    again = Draft(board).board()

    assert again == board
    assert again.running is board.running


def test_an_erased_identity_can_be_named_but_not_looked_up() -> None:
    """Events still point to the key; nobody finds the person by it any more."""
    draft = Draft(Bench().board)
    gone = private("P-900")
    draft.know(draft.persons, gone)
    draft.know(draft.persons, type(gone)(key="key-gone", salt="s", value=None))
    board = draft.board()

    assert board.persons["P-900"] == "key-P-900"
    assert board.names["key-P-900"] == "P-900"
    assert board.names["key-gone"] is None
    assert "key-gone" not in board.persons.values()


def test_a_cartridge_stands_among_the_running_or_the_ended_never_both() -> None:
    """One that were in both would be shown twice and asked for after its end."""
    bench = Bench()
    running = bench.to_well()
    draft = Draft(bench.board)
    assert draft.cartridge(running.id) is running
    bench.must(bench.void_act(), "3:00")
    draft.keep(bench.cartridge())
    board = draft.board()

    assert (running.id in board.running, running.id in board.ended) == (False, True)
    assert Draft(board).cartridge(running.id).has_ended


def test_a_cartridge_the_record_never_introduced_is_a_broken_record() -> None:
    """An event of a lost cartridge must not be dropped in silence."""
    with pytest.raises(BrokenRecordError, match="cartridge 'id-C9'"):
        Draft(Bench().board).cartridge("id-C9")
