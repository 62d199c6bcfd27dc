"""What is packed is there, and only what is asked for is unpacked."""

from __future__ import annotations

import zlib
from typing import TYPE_CHECKING, Any

from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.journal import packed
from readbell.journal.packed import A_PAGE, PAGES_KEPT, VALUES_KEPT, Packed, Packing, packing

if TYPE_CHECKING:
    import pytest

ALIKE = ("plumless", "buckeroo")
"""Two words of one checksum: CRC-32 of both is 0x4DDB0C25 (a known pair)."""


def as_is(found: Any) -> Any:
    """Take a plain value for what it is."""
    return found


def pack(entries: dict[str, Any]) -> Packed[Any]:
    """Pack `entries` and lay them out again."""
    made = list(packing(entries.items()))[-1]
    assert isinstance(made, Packing)
    assert made.count == len(entries)
    return Packed(memoryview(made.index), [memoryview(each) for each in made.pages], as_is)


@settings(max_examples=30, deadline=None)
@given(st.dictionaries(st.text(), st.none() | st.integers(), max_size=3 * A_PAGE))
def test_it_is_the_mapping_that_was_packed(entries: dict[str, Any]) -> None:
    """Every entry, in order, forwards and backwards, and nothing else."""
    found = pack(entries)

    assert list(found.items()) == list(entries.items())
    assert list(reversed(found)) == list(reversed(entries))
    assert len(found) == len(entries)
    assert "no such key of any" not in found
    assert found.get("no such key of any") is None


def test_two_keys_of_one_checksum_are_two_keys() -> None:
    """Whose result it is must never hang on a checksum."""
    assert zlib.crc32(ALIKE[0].encode()) == zlib.crc32(ALIKE[1].encode())

    both, one = pack({ALIKE[0]: 1, ALIKE[1]: 2}), pack({ALIKE[0]: 1})

    assert (both[ALIKE[0]], both[ALIKE[1]]) == (1, 2)
    assert ALIKE[1] not in one


def test_what_is_no_text_is_no_key() -> None:
    """As with any mapping: asked for something odd it has it not."""
    odd: Any = 5

    assert odd not in pack({"a": 1})


def test_a_value_is_made_once_and_only_when_asked_for() -> None:
    """A million events lie behind it, and nobody asks for most of what came of them."""
    made: list[Any] = []

    def read(found: Any) -> Any:
        made.append(found)
        return [found]

    entries = {str(number): number for number in range(200)}
    last = list(packing(entries.items()))[-1]
    assert isinstance(last, Packing)
    found = Packed(memoryview(last.index), [memoryview(each) for each in last.pages], read)

    assert "150" in found
    assert found["150"] is found["150"]
    assert made == [150]


def test_what_is_kept_at_hand_stays_within_bounds(monkeypatch: pytest.MonkeyPatch) -> None:
    """A walk over years must not leave years in memory."""
    monkeypatch.setattr(packed, "PAGES_KEPT", 2)
    monkeypatch.setattr(packed, "VALUES_KEPT", 10)
    found = pack({str(number): number for number in range(5 * A_PAGE)})

    assert sum(found.values()) == sum(range(5 * A_PAGE))

    assert len(found._opened) <= 2 < PAGES_KEPT
    assert len(found._kept) <= 10 < VALUES_KEPT
