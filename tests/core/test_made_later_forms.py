"""A class that is not in the common form is left to the library, and what it refuses is refused."""

from __future__ import annotations

import abc
import dataclasses
import inspect
from dataclasses import field, fields
from typing import TYPE_CHECKING, ClassVar

import pytest

from core.test_made_later import Decorator, both, tea
from readbell.core import made_later

if TYPE_CHECKING:
    from collections.abc import Callable


def own() -> type:
    """Return a class with a comparison of its own."""

    class Own:
        only: int

        def __eq__(self, other: object) -> bool:
            return other == 1

        __hash__ = None  # type: ignore[assignment]

    return Own


def careful() -> type:
    """Return a class that looks at its field as it begins."""

    class Careful:
        only: int

        def __post_init__(self) -> None:
            if self.only < 0:
                raise ValueError("below nothing")  # noqa: EM101

    return Careful


def shared() -> type:
    """Return a class with something that is no field."""

    class Shared:
        only: int
        every: ClassVar[int] = 2

    return Shared


def filled() -> type:
    """Return a class with a field that is not given."""

    class Filled:
        only: int
        sum: int = field(init=False, default=0)

    return Filled


def numbered() -> type:
    """Return a class that is made by another one than most."""

    class Numbered(metaclass=abc.ABCMeta):
        only: int

    return Numbered


@pytest.mark.parametrize("written", [own, careful, shared, filled, numbered])
def test_a_class_that_is_not_in_the_common_form_is_made_by_the_library(
    written: Callable[[], type],
) -> None:
    """What few classes ask for is not worth a second way."""
    ours, theirs = both(written)

    assert inspect.isfunction(vars(ours)["__init__"])
    assert repr(ours(1)) == repr(theirs(1))
    assert fields(ours)[0].name == "only"


def test_a_class_keeps_how_it_wants_to_look() -> None:
    """A value that hides what it holds must go on doing so."""

    def hush() -> type:
        class Hush:
            only: int

            def __repr__(self) -> str:
                return "..."

        return Hush

    ours, theirs = both(hush)

    assert repr(ours(1)) == repr(theirs(1)) == "..."


def test_a_class_may_stand_on_another() -> None:
    """The fields of the one below come first, as the library has it."""

    def on(base: type) -> type:
        class Cup(base):  # type: ignore[misc]  # a class that is made while this runs
            size: int = 1

        return Cup

    base, their_base = both(tea, kw_only=True)
    ours, _ = both(lambda: on(base), kw_only=True)
    _, theirs = both(lambda: on(their_base), kw_only=True)

    assert repr(ours(leaf="a")) == repr(theirs(leaf="a"))
    assert ours(leaf="a") != base(leaf="a")


def shy() -> type:
    """Return a class that leaves a field out of what it is kept by, but not out of what it is."""

    class Shy:
        only: int
        noted: int = field(default=0, hash=False)

    return Shy


def itself() -> type:
    """Return a class with a field that is called what methods call a value."""

    class Itself:
        self: int
        other: int = 2

    return Itself


def hidden() -> type:
    """Return a class with a field whose name begins as those do that no field is to have."""

    class Hidden:
        _set_only: int
        only: int = 2

    return Hidden


@pytest.mark.parametrize("written", [shy, itself, hidden])
def test_what_a_field_seldom_asks_for_is_done_by_the_library(written: Callable[[], type]) -> None:
    """What is written here is for fields with a default at most."""
    ours, theirs = both(written)

    assert repr(ours(1)) == repr(theirs(1))
    assert hash(ours(1)) == hash(theirs(1))
    assert ours(1) == ours(1)


def late() -> type:
    """Return a class in which a field that has to be given comes behind one that has not."""

    class Late:
        some: int = 1
        only: int

    return Late


def shared_by_all() -> type:
    """Return a class whose values would all hold the same list."""

    class SharedByAll:
        some: list[int] = []  # noqa: RUF012  # that is what is refused

    return SharedByAll


@pytest.mark.parametrize("written", [late, shared_by_all])
def test_what_the_library_refuses_is_refused_in_its_words(written: Callable[[], type]) -> None:
    """At the first use, as a class is made no sooner."""
    ours: Decorator = made_later.dataclass
    theirs: Decorator = dataclasses.dataclass
    with pytest.raises((TypeError, ValueError)) as expected:
        theirs(frozen=True, slots=True)(written())
    with pytest.raises(expected.type) as refused:
        ours(frozen=True, slots=True)(written())()

    assert str(refused.value) == str(expected.value)


def test_each_value_has_what_is_made_anew_for_itself() -> None:
    """A list in common would be written into by all."""

    def bag() -> type:
        class Bag:
            held: list[int] = field(default_factory=list)

        return Bag

    ours, _ = both(bag)
    one, other = ours(), ours()

    assert one.held == other.held == []
    assert one.held is not other.held


def test_a_class_may_want_no_look_of_its_fields() -> None:
    """Of a whole bay they would fill pages."""
    ours, theirs = both(tea, repr=False)

    assert "__repr__" not in vars(ours)
    assert repr(ours(leaf="a")).split(" at ")[0] == repr(theirs(leaf="a")).split(" at ")[0]
    assert ours(leaf="a") == ours(leaf="a")


@pytest.mark.parametrize("options", [{"frozen": False}, {"slots": False}, {"order": True}])
def test_other_forms_are_the_librarys(options: dict[str, bool]) -> None:
    """A draft is written into, and a number of a version is compared."""
    ours, theirs = both(tea, kw_only=True, **options)

    assert repr(ours(leaf="a")) == repr(theirs(leaf="a"))
    assert ours.__dataclass_params__.order == options.get("order", False)
    assert inspect.isfunction(vars(ours)["__init__"])
