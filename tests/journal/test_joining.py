"""Packed mappings laid one over the other are the one mapping that they add up to."""

from __future__ import annotations

import zlib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.journal.joining import Stratum, joined
from readbell.journal.packed import A_PAGE, Packed, Packing, entries_of, packing

ALIKE = ("plumless", "buckeroo")
"""Two words of one checksum: CRC-32 of both is 0x4DDB0C25 (a known pair)."""
KEYS = st.one_of(st.integers(0, 400).map(str), st.sampled_from(ALIKE))
Laid = tuple[dict[str, int], frozenset[str]]


def as_is(found: Any) -> Any:
    """Take a plain value for what it is."""
    return found


def lying(made: Packing | None) -> Packed[Any]:
    """Lay out what was packed."""
    assert made is not None
    return Packed(memoryview(made.index), [memoryview(each) for each in made.pages], as_is)


def pack(entries: dict[str, int]) -> Packed[Any]:
    """Pack `entries` by themselves."""
    return lying(list(packing(entries.items()))[-1])


def join(*laid: Laid) -> Packed[Any]:
    """Join them, the oldest first."""
    return lying(list(joined([Stratum(own=pack(own), gone=gone) for own, gone in laid]))[-1])


def written(*laid: Laid) -> dict[str, int]:
    """The same by the plainest means: take out, then write, one after the other."""
    found: dict[str, int] = {}
    for own, gone in laid:
        for key in gone:
            found.pop(key, None)
        found.update(own)
    return found


STRATA = st.lists(
    st.tuples(
        st.dictionaries(KEYS, st.integers(), max_size=3 * A_PAGE),
        st.frozensets(KEYS, max_size=20),
    ),
    min_size=1,
    max_size=4,
)


@settings(max_examples=80, deadline=None)
@given(STRATA)
def test_it_is_what_one_gets_by_writing_one_after_the_other(laid: list[Laid]) -> None:
    """Every entry at its place, whatever was written over or taken out; and found by its key."""
    found, plain = join(*laid), written(*laid)

    assert list(found.items()) == list(plain.items())
    assert len(found) == len(plain)
    assert {key: found.get(key) for key in (*map(str, range(401)), *ALIKE)} == {
        key: plain.get(key) for key in (*map(str, range(401)), *ALIKE)
    }


@settings(max_examples=20, deadline=None)
@given(STRATA, STRATA)
def test_what_was_joined_can_be_joined_again(first: list[Laid], then: list[Laid]) -> None:
    """A layer swallows those below it over and over: pages that are not full are no trouble."""
    strata = [Stratum(own=pack(own), gone=gone) for own, gone in then]
    found = lying(list(joined([Stratum(own=join(*first), gone=frozenset()), *strata]))[-1])

    assert list(found.items()) == list(written(*first, *then).items())


def test_a_page_in_which_nothing_is_otherwise_is_taken_over_as_it_lies() -> None:
    """Whoever packs a year packs each day of it once."""
    old, new = pack({str(each): each for each in range(200)}), pack({"150": -1, "new": 7})
    strata = [Stratum(own=old, gone=frozenset()), Stratum(own=new, gone=frozenset())]
    made = list(joined(strata))[-1]

    assert made is not None
    same = [bytes(one) == bytes(other) for one, other in zip(made.pages, old.pages, strict=True)]
    assert same == [True, True, False, False]  # the third was written over, the fourth had room


def test_small_pages_are_put_together() -> None:
    """A bay that is quiet for years has no page for each day of them."""
    found = pack({"day-0": 0})
    for day in range(1, 200):
        laid = [Stratum(own=each, gone=frozenset()) for each in (found, pack({f"day-{day}": day}))]
        found = lying(list(joined(laid))[-1])

    assert [len(entries_of(each)[0]) for each in found.pages] == [A_PAGE, A_PAGE, A_PAGE, 8]


@pytest.mark.parametrize("key", ALIKE)
def test_two_keys_of_one_checksum_stay_two(key: str) -> None:
    """Whose result it is must never hang on a checksum."""
    assert zlib.crc32(ALIKE[0].encode()) == zlib.crc32(ALIKE[1].encode())
    found = join(({ALIKE[0]: 1, ALIKE[1]: 2}, frozenset()), ({key: 5}, frozenset()))

    assert found[key] == 5
    assert sorted(found.values()) == sorted({ALIKE[0]: 1, ALIKE[1]: 2, key: 5}.values())
