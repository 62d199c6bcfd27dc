"""Ids come from chance in a live bay, and from the script in a rehearsal."""

from __future__ import annotations

import pytest

from readbell.bay.identifiers import DerivedIdentifiers, Identifiers, RandomIdentifiers

MANY = 1_000


@pytest.mark.parametrize(
    "source",
    [
        pytest.param(RandomIdentifiers(), id="by chance"),
        pytest.param(DerivedIdentifiers(b"a script"), id="from a script"),
    ],
)
def test_no_id_is_given_twice(source: Identifiers) -> None:
    """Two cartridges under one id would be one cartridge."""
    assert len({source.new("cartridge") for _ in range(MANY)}) == MANY


@pytest.mark.parametrize(
    "source",
    [
        pytest.param(RandomIdentifiers(), id="by chance"),
        pytest.param(DerivedIdentifiers(b"a script"), id="from a script"),
    ],
)
def test_an_id_begins_with_its_kind(source: Identifiers) -> None:
    """Whoever reads a journal by eye sees at once what an id stands for."""
    assert source.new("specimen").startswith("specimen-")


def test_one_script_always_gives_the_same_ids() -> None:
    """A rehearsal played twice leaves the same journal, to the byte."""
    first, second = DerivedIdentifiers(b"a script"), DerivedIdentifiers(b"a script")

    assert [first.new("event") for _ in range(9)] == [second.new("event") for _ in range(9)]


def test_another_script_gives_other_ids() -> None:
    """Two rehearsals must not be taken for one."""
    first, second = DerivedIdentifiers(b"a script"), DerivedIdentifiers(b"b script")

    assert {first.new("event") for _ in range(9)}.isdisjoint(second.new("event") for _ in range(9))


def test_chance_cannot_be_foreseen() -> None:
    """Ids and salts of a live bay differ from one run to the next."""
    first, second = RandomIdentifiers(), RandomIdentifiers()

    assert first.new("salt") != second.new("salt")
