"""The tags of a list: in few cells, and no two alike."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from readbell.ui.tags import cells_for, tags


@pytest.mark.parametrize(
    ("labels", "cells"),
    [
        ((), 3),
        (("C01", "C2"), 3),
        (("C01", "C-01"), 6),
        (("Q71050",), 6),
        (("Q710501",), 8),
        (("LONG-LABEL-000001",), 8),
    ],
)
def test_the_width_goes_by_the_longest_in_steps(labels: tuple[str, ...], cells: int) -> None:
    """So that the columns stand still from one cartridge to the next."""
    assert cells_for(labels) == cells


def test_a_tag_that_fits_is_whole_and_a_long_one_keeps_its_end() -> None:
    """Labels that begin alike end apart."""
    assert dict(tags(("C-0150", "C-0250"), 6)) == {"C-0150": "C-0150", "C-0250": "C-0250"}
    assert dict(tags(("LOT-000001", "LOT-000002"), 6)) == {
        "LOT-000001": "~00001",
        "LOT-000002": "~00002",
    }


@pytest.mark.parametrize(
    "labels",
    [
        pytest.param(("C-0150", "C-0250", "Q71050"), id="one end"),
        pytest.param(("A-123456789-X", "A-123456780-X"), id="apart in the middle"),
        pytest.param(("A1-123456789-X", "A2-123456789-X", "B1-123456789-X"), id="apart in front"),
    ],
)
@pytest.mark.parametrize("cells", [3, 4, 6, 8])
def test_ends_that_are_alike_give_way_to_what_differs(labels: tuple[str, ...], cells: int) -> None:
    """One strip must never be read for another."""
    shown = tags(labels, cells)

    assert len(set(shown.values())) == len(labels)


def test_what_cannot_be_told_apart_in_so_few_cells_is_still_shown() -> None:
    """The panel has the whole label."""
    labels = tuple(f"{number:04}-LABEL" for number in range(400))

    assert set(tags(labels, 3)) == set(labels)


@given(
    labels=st.lists(st.text("AB01-\u65e5\x1b", min_size=1, max_size=12), max_size=8, unique=True),
    cells=st.sampled_from([3, 6, 8]),
)
def test_no_tag_is_wider_than_its_column(labels: list[str], cells: int) -> None:
    """Whatever was written on the plastic."""
    shown = tags(tuple(labels), cells)

    assert set(shown) == set(labels)
    assert all(cell_len(each) <= cells for each in shown.values())
