"""What a scanned text is, however long it is."""

from __future__ import annotations

from collections import UserDict

from hypothesis import given
from hypothesis import strategies as st

from readbell.core.board.board import Board
from readbell.hand.finding import Thing, find, holds_another


@given(st.text(min_size=1, max_size=30))
def test_no_id_holds_itself(text: str) -> None:
    """An ID is never two in one by being known already."""
    assert not holds_another(text, [text])


@given(st.from_regex(r"P-\d{4}", fullmatch=True), st.from_regex(r"C-\d{3}", fullmatch=True))
def test_two_known_ids_in_one_scan_are_told_apart_from_a_new_one(first: str, second: str) -> None:
    """Two scans that melted into one are refused, whichever was known before."""
    assert holds_another(first + second, [first])
    assert holds_another(first + second, [second])


class Counted(UserDict[str, str]):
    """Known IDs, and how often somebody looked for one."""

    looks = 0

    def __contains__(self, key: object) -> bool:
        Counted.looks += 1
        return key in self.data


def test_two_scans_melted_into_one_are_found_among_known_ids() -> None:
    """Neither may be taken for a third."""
    board = Board(persons=Counted({"P-0412": "a", "P-0413": "b"}))

    assert find(board, "P-0412P-0413").thing is Thing.TWO_IN_ONE
    assert find(board, "P-0412" * 50).thing is Thing.TWO_IN_ONE
    assert find(board, "P-0414").thing is Thing.UNKNOWN


def test_a_pasted_page_is_judged_by_its_front_alone() -> None:
    """To look for each part of ten thousand letters would keep the hands waiting for minutes."""
    Counted.looks = 0

    assert find(Board(persons=Counted({"P-0412": "a"})), "x" * 10_000).thing is Thing.UNKNOWN
    assert Counted.looks < 50_000
