"""What makes values quickly makes the same values as their class does."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, dataclass, replace

import pytest

from builders import NASAL, at
from readbell.core.cartridge.events import ReadingKind
from readbell.core.cartridge.moment import Done, timed
from readbell.core.making import changer_of, maker_of, names_of, one_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Odd:
    """A class whose fields are called as parts of a maker might be."""

    kind: ReadingKind
    twin: int = 1
    made: str = ""
    old: int = 2


@dataclass(frozen=True)
class Loose:
    """A class without slots."""

    only: int


@dataclass(frozen=True, slots=True)
class Careful:
    """A class that looks at its fields as it begins."""

    only: int

    def __post_init__(self) -> None:
        if self.only < 0:
            raise ValueError("below nothing")  # noqa: EM101


@dataclass(frozen=True, slots=True)
class Empty:
    """A class without fields."""


def test_what_is_made_is_what_the_class_makes() -> None:
    """A value that only looks like one would be no key, no equal and no match."""
    made = maker_of(Done)(at("1:00"), at("1:00"), at("1:00"), False)

    assert made == timed(at("1:00"))
    assert type(made) is Done
    assert hash(made) == hash(timed(at("1:00")))


def test_what_is_made_is_as_frozen_as_its_class() -> None:
    """A board that can be changed after it was shown is two boards."""
    made = maker_of(Done)(1, 2, 3, True)

    with pytest.raises(FrozenInstanceError):
        made.said = at("1:00")  # type: ignore[misc]


def test_no_name_of_a_field_takes_the_place_of_a_part_of_the_maker() -> None:
    """A field was once called as the maker called the class, and nothing could be read."""
    made = maker_of(Odd)(ReadingKind.EARLY, 5, "x", 6)

    assert made == Odd(kind=ReadingKind.EARLY, twin=5, made="x", old=6)
    assert changer_of(Odd)(made, old=7) == replace(made, old=7)


@pytest.mark.parametrize("kind", [Loose, Careful])
def test_a_class_with_ways_of_its_own_is_made_by_itself(kind: type) -> None:
    """What it would look at must not be passed by."""
    assert maker_of(kind)(3) == kind(3)
    assert one_of(kind, [3]) == kind(3)


def test_one_is_made_as_many_are() -> None:
    """To write what makes many takes longer than a few are worth."""
    assert one_of(Done, [at("1:00"), at("1:00"), at("1:00"), False]) == timed(at("1:00"))
    assert one_of(Empty, []) == Empty()
    with pytest.raises(ValueError, match="zip"):
        one_of(Done, [at("1:00")])


@dataclass(frozen=True, slots=True)
class Longer(Empty):
    """A class that has the fields of another before its own."""

    last: int


@dataclass(frozen=True, slots=True)
class Longest(Longer):
    """And one more."""

    more: int


def test_a_class_upon_another_has_the_fields_of_both() -> None:
    """Its own slots are but a part of them."""
    assert list(names_of(Longest)) == ["last", "more"]
    assert maker_of(Longest)(1, 2) == one_of(Longest, [1, 2]) == Longest(1, 2)


def test_a_class_that_looks_at_its_fields_still_does() -> None:
    """A value that its class refuses must not come about."""
    with pytest.raises(ValueError, match="below nothing"):
        maker_of(Careful)(-1)
    with pytest.raises(ValueError, match="below nothing"):
        one_of(Careful, [-1])


def test_a_class_without_fields_is_made_too() -> None:
    """An event may say all it says by its kind."""
    assert maker_of(Empty)() == Empty()


def test_a_changed_copy_differs_in_what_is_named_and_in_nothing_else() -> None:
    """As `dataclasses.replace`, of which this is the quick form."""
    change = changer_of(type(NASAL))

    assert change(NASAL, title="Another", clearing_up="") == replace(
        NASAL, title="Another", clearing_up=""
    )
    assert change(NASAL) == NASAL


def test_a_field_that_is_not_there_cannot_be_changed() -> None:
    """A slip of the pen must not pass for a change."""
    with pytest.raises(TypeError):
        changer_of(Done)(timed(at("1:00")), no_such=1)
