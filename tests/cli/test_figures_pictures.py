"""The pictures of the figures: as wide as the terminal, without colours, and in plain signs if need be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.figures.cases import READ
from core.figures.test_table import counted_of
from readbell.cli.figures_pictures import MOST_BARS, WIDEST, pictures
from readbell.core.figures.case import Came
from readbell.core.figures.counted import Counted
from readbell.core.figures.figures import Figures
from readbell.core.figures.near_misses import NearMisses
from readbell.core.figures.table import Table
from readbell.core.figures.view import By
from readbell.core.instant import Span

EARLY = Span(200_000)


def figures_of(lots: int = 2, days: int = 3) -> Figures:
    """So many lots, on so many days."""
    table = Table()
    table.take(
        counted_of(
            *(
                (replace(READ, lot=f"L-{lot:02}", came=came, early=EARLY), f"2026-03-{day + 1:02}")
                for lot in range(lots)
                for day in range(days)
                for came in (Came.POSITIVE, Came.NEGATIVE)
            )
        )
    )
    return Figures(table=table, samples=(), near_misses=NearMisses(), counted=Counted(), on_paper=0)


def drawn(figures: Figures, by: By, width: int = 80, *, plain: bool = False) -> list[str]:
    """The lines of all pictures."""
    return list(pictures(figures, by, lambda _by, key: key, width, plain=plain))


@pytest.mark.parametrize("by", By)
@pytest.mark.parametrize("width", [40, 80, 300])
def test_no_line_is_wider_than_the_terminal_and_none_is_coloured(by: By, width: int) -> None:
    """A state is a word before it is a colour; here there is none at all."""
    lines = drawn(figures_of(), by, width)
    assert max(map(len, lines)) <= min(width, WIDEST)
    assert "\x1b" not in "".join(lines)
    assert any("positive, in percent" in each for each in lines)
    assert any("begun in each hour" in each for each in lines)
    assert any(each.startswith("first seen positive, by minutes") for each in lines)


@pytest.mark.parametrize("by", By)
def test_plain_signs_draw_the_same(by: By) -> None:
    """For a terminal that has no others."""
    lines = drawn(figures_of(), by, plain=True)
    assert all(each.isascii() for each in lines)
    assert len(lines) == len(drawn(figures_of(), by))


def test_of_very_many_groups_some_are_drawn_and_the_others_counted() -> None:
    """A picture of a hundred lots is none."""
    lines = drawn(figures_of(lots=MOST_BARS + 3, days=1), By.LOT)
    assert "and 3 more" in lines
    assert f"L-{MOST_BARS - 1}" in "\n".join(lines)
    assert f"L-{MOST_BARS + 1}" not in "\n".join(lines)


def test_nothing_counted_is_no_picture() -> None:
    """Not even an empty frame."""
    assert drawn(figures_of(lots=0), By.LOT) == []
    assert drawn(figures_of(lots=0), By.DAY) == []
