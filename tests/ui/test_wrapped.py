"""Sentences in lines: by words, and never wider than their place."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from readbell.ui.wrapped import shortened, wrapped


def test_a_sentence_is_broken_between_words() -> None:
    """A word stays whole where it fits."""
    assert wrapped("Let 8 drops of buffer fall", 12) == ["Let 8 drops", "of buffer", "fall"]


def test_a_word_wider_than_the_line_is_broken() -> None:
    """Rather than cut."""
    assert wrapped("a respiratory one", 6) == ["a", "respir", "atory", "one"]


def test_nothing_takes_no_line() -> None:
    """An instruction may be missing."""
    assert wrapped("", 10) == []


@pytest.mark.parametrize(
    ("width", "expected"),
    [
        (29, "Squeeze and withdraw the swab"),
        (28, "Squeeze and withdraw the .."),
        (12, "Squeeze .."),
        (9, ""),
        (4, ""),
        (0, ""),
    ],
)
def test_a_sentence_is_shortened_by_whole_words(width: int, expected: str) -> None:
    """Dots say that there is more; half a word says something else."""
    assert shortened("Squeeze and withdraw the swab", width) == expected


@given(st.text(max_size=60), st.integers(2, 30))
def test_no_line_is_wider_than_its_place(words: str, width: int) -> None:
    """Whatever letters it is made of."""
    lines = wrapped(words, width)

    assert all(cell_len(each) <= width for each in lines)
    assert cell_len(shortened(words, width)) <= max(width, 0)
