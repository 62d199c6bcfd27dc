"""A board answers for every cartridge, running or ended, and names nobody by accident."""

from __future__ import annotations

from dataclasses import replace

from builders import NASAL, NEGATIVE, Bench
from readbell.core.assay.events import Basis
from readbell.core.board.acts import AdoptAssay
from readbell.core.board.board import Board


def busy() -> Bench:
    """A bench with one cartridge read, one void and one running."""
    bench = Bench()
    bench.to_well("C1")
    bench.label("C2", "P-002")
    bench.label("C3", "P-002")
    bench.must(bench.read_act(NEGATIVE, "C1"), "17:30")
    bench.must(bench.void_act("C2"))
    return bench


def test_a_cartridge_is_found_whether_it_runs_or_has_ended() -> None:
    """By its id and by the label on the plastic."""
    board = busy().board

    for label in ("C1", "C2", "C3"):
        found = board.labelled(label)
        assert found is not None
        assert board.cartridge(f"id-{label}") is found


def test_what_nobody_labelled_is_not_found() -> None:
    """A slip of the keys must not lead to somebody's cartridge."""
    assert busy().board.labelled("C9") is None
    assert busy().board.cartridge("C1") is None


def test_cartridges_stand_in_the_order_of_their_labels() -> None:
    """Ending one moves it to another place in memory, not in the report."""
    assert [each.label for each in busy().board.in_order()] == ["C1", "C2", "C3"]


def test_a_label_whose_cartridge_is_not_at_hand_is_passed_over() -> None:
    """A board that was cut down for one purpose can still be walked through."""
    whole = busy().board

    assert [each.label for each in replace(whole, ended={}).in_order()] == ["C3"]


def test_a_key_leads_to_a_name_unless_it_was_erased() -> None:
    """Events hold keys; only the board knows the names behind them."""
    board = replace(Bench().board, names={"key-a": "Ada", "key-b": None})

    assert [board.name(key) for key in ("key-a", "key-b", "key-c", None)] == [
        "Ada",
        None,
        None,
        None,
    ]


def test_the_latest_adoption_counts() -> None:
    """A new lot follows the file as it was checked last."""
    bench = Bench()
    changed = replace(NASAL, title="Another edition")
    bench.must(
        AdoptAssay(
            by="op-1",
            assay=changed,
            content_hash="hash-2",
            basis=Basis.REHEARSAL,
            instructions_version="2",
        )
    )

    found = bench.board.assay_called(NASAL.id)
    assert found is not None
    assert found.assay == changed
    assert bench.board.assay_called("unheard-of") is None


def test_a_board_printed_by_accident_names_nobody() -> None:
    """It may end in a crash report; numbers are enough there."""
    assert repr(busy().board) == "Board(1 running, 2 ended)"
    assert repr(Board()) == "Board(0 running, 0 ended)"
