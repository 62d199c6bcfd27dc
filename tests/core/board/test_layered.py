"""A layered mapping is the dict that it stands for, and leaves what lies below it alone."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.core.board.layered import MANY, Layered, newest, writable

KEYS = st.sampled_from("abcdefgh")
BELOW = st.dictionaries(KEYS, st.integers())
CHANGES = st.lists(st.tuples(KEYS, st.none() | st.integers()), max_size=20)


@given(below=BELOW, changes=CHANGES, more=CHANGES)
def test_it_is_what_a_copy_would_be_after_the_same_changes(
    below: dict[str, int],
    changes: list[tuple[str, int | None]],
    more: list[tuple[str, int | None]],
) -> None:
    """The same entries in the same order, forwards and backwards, layer upon layer."""
    expected, before = dict(below), dict(below)
    found = Layered(below)
    for turn in (changes, more):
        for key, value in turn:
            if value is not None:
                found[key] = expected[key] = value
            elif key in expected:
                del found[key], expected[key]

        assert list(found.items()) == list(expected.items())
        assert list(reversed(found)) == list(reversed(expected))
        assert len(found) == len(expected)
        assert dict(found) == expected
        assert [key in found for key in "abcdefghi"] == [key in expected for key in "abcdefghi"]
        found = Layered(found)
    assert below == before


@given(below=BELOW, changes=CHANGES)
def test_a_copy_goes_its_own_way(
    below: dict[str, int], changes: list[tuple[str, int | None]]
) -> None:
    """A board is shown to others while the next one is made of it."""
    shown = Layered(below)
    copy = shown.copy()
    for key, value in changes:
        copy[key] = value or 0

    assert dict(shown) == below


@pytest.mark.parametrize("gone", ["a", "z"])
def test_what_is_not_there_is_neither_found_nor_taken_out(gone: str) -> None:
    """As with a dict, and with the same error."""
    found = Layered({"a": 1, "b": 2})
    found.pop("a")

    with pytest.raises(KeyError):
        found[gone]
    with pytest.raises(KeyError):
        del found[gone]


def test_a_small_mapping_is_copied_and_a_large_one_is_not() -> None:
    """For a few a dict is the quickest; for thousands a copy at each event is a day lost."""
    large = {str(number): number for number in range(MANY + 1)}

    assert type(writable({"a": 1})) is dict
    assert isinstance(found := writable(large), Layered)
    assert found.below is large


def test_what_is_packed_is_never_unpacked_to_be_written_over() -> None:
    """It lies below as it is, however little of it there is."""
    packed = Layered({"a": 1}, Layered({"b": 2}))

    found = writable(packed)

    assert isinstance(found, Layered)
    assert found.below is packed
    assert list(found) == ["a", "b"]


def test_changes_grown_large_become_one_with_a_dict_below() -> None:
    """Else each event would copy all that happened since the start."""
    found = Layered({"a": -1})
    for number in range(MANY + 1):
        found[str(number)] = number

    copy = found.copy()

    assert (list(copy), len(copy.own)) == (list(found), 0)


def test_the_newest_is_looked_at_first_and_nothing_else() -> None:
    """To find today's readings nobody reads those of last year."""

    class Watched(dict[str, int]):
        """Notes what is looked at."""

        def __init__(self, found: dict[str, int]) -> None:
            super().__init__(found)
            self.looked: list[str] = []

        def __getitem__(self, key: str) -> int:
            self.looked.append(key)
            return super().__getitem__(key)

    watched = Watched({"a": 1, "b": 2, "c": 3})

    assert next(iter(newest(watched))) == 3
    assert watched.looked == ["c"]


def test_a_written_mapping_is_copied_with_what_was_written() -> None:
    """One event after another; what was shown in between stays as it was shown."""
    large = {str(number): number for number in range(MANY + 1)}
    first = writable(large)
    first["new"] = 1

    second = writable(first)
    second["newer"] = 2

    assert isinstance(second, Layered)
    assert second.below is large
    assert ("newer" in first, len(first), len(second)) == (False, MANY + 2, MANY + 3)
