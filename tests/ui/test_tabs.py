"""A row of names always shows the one that is open, and says if there are more."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.ui.tabs import tabs

NAMES = {"a": "Alpha", "b": "Beta", "c": "Gamma", "d": "Delta"}
WHOLE = "  Alpha  Beta  Gamma  Delta"


def row(here: str, width: int) -> str:
    """Return what stands in the row, without the blanks at its end."""
    painted = tabs(NAMES, here, width, "name", before="< ", behind=" >")
    return painted.lines[0].text.rstrip()


def test_where_all_names_fit_all_are_shown() -> None:
    """And nothing says that there are more."""
    assert row("a", len(WHOLE) + len(" >")) == WHOLE


@pytest.mark.parametrize(
    ("here", "shown"),
    [
        ("a", "  Alpha  Beta  Gamma >"),
        ("b", "  Alpha  Beta  Gamma >"),
        ("c", "< Beta  Gamma  Delta"),
        ("d", "< Beta  Gamma  Delta"),
    ],
)
def test_where_not_all_fit_those_around_the_open_one_are_shown(here: str, shown: str) -> None:
    """What is farther off goes first, and the row says on which side there are more."""
    assert row(here, len(WHOLE)) == shown


@settings(deadline=None)
@given(st.sampled_from(sorted(NAMES)), st.integers(9, 40))
def test_however_narrow_the_open_one_is_there_and_each_name_is_where_it_is_clicked(
    here: str, width: int
) -> None:
    """A click on half a name, or beside it, would lead somewhere else."""
    painted = tabs(NAMES, here, width, "name", before="< ", behind=" >")
    (shown,) = painted.lines

    assert shown.width == width
    assert here in [each.answer for each in painted.spots]
    for each in painted.spots:
        assert shown.text[each.begins : each.ends] == NAMES[each.answer]
