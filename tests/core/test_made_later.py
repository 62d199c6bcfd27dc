"""A value whose class is made bit by bit is in nothing to be told from the library's own."""

from __future__ import annotations

import dataclasses
import inspect
import pickle
from dataclasses import FrozenInstanceError, astuple, field, fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, get_type_hints

import pytest

from readbell.core import made_later

if TYPE_CHECKING:
    from collections.abc import Callable

Decorator = Any
"""To the type checker both are the one of the library."""


def tea() -> type:
    """Return the class as it is written: the library writes into the fields that a class names."""

    class Tea:
        """Some words."""

        leaf: str
        grams: int = 3
        hidden: str = field(default="", repr=False)
        noted: int = field(default=0, compare=False)
        tags: tuple[str, ...] = field(default_factory=tuple, metadata={"later": True})

        def doubled(self) -> int:
            """Return twice the weight."""
            return self.grams * 2

    return Tea


def both(written: Callable[[], type], **options: bool) -> tuple[Any, Any]:
    """Return a class as this program and as the library make a frozen value of it."""
    options = {"frozen": True, "slots": True, **options}
    ours: Decorator = made_later.dataclass
    theirs: Decorator = dataclasses.dataclass
    return ours(**options)(written()), theirs(**options)(written())


@pytest.fixture(params=[True, False], ids=["by name", "by place"])
def teas(request: pytest.FixtureRequest) -> tuple[Any, Any]:
    """The class, as it is made here and as the library makes it."""
    return both(tea, kw_only=request.param)


LOOKS: dict[str, Callable[[Any], object]] = {
    "its fields": lambda kind: [
        (each.name, each.type, each.default, each.kw_only, dict(each.metadata))
        for each in fields(kind)
    ],
    "whether it is one": is_dataclass,
    "how it was asked for": lambda kind: repr(kind.__dataclass_params__),
    "how it is made": lambda kind: str(inspect.signature(kind)),
    "what its fields hold": get_type_hints,
    "what a pattern takes by place": lambda kind: kind.__match_args__,
    "where its fields lie": lambda kind: kind.__slots__,
    "what is said of it": lambda kind: (kind.__doc__, kind.__name__, kind.__qualname__),
    "where it is from": lambda kind: kind.__module__,
    "how it looks": lambda kind: repr(kind(leaf="black", hidden="s")),
    "how a field of an instance is found": lambda kind: [
        each.name for each in fields(kind(leaf="black"))
    ],
    "as what it is kept in a mapping": lambda kind: hash(kind(leaf="black", grams=5)),
    "that equal ones are equal": lambda kind: kind(leaf="black") == kind(leaf="black", noted=4),
    "that others are not": lambda kind: kind(leaf="black") != kind(leaf="green"),
    "that nothing else is": lambda kind: kind(leaf="black") == ("black", 3, "", 0, ()),
    "what it is apart": lambda kind: astuple(kind(leaf="black", tags=("a",))),
    "a changed copy": lambda kind: repr(replace(kind(leaf="black"), grams=9)),
    "what its methods say": lambda kind: kind(leaf="black", grams=4).doubled(),
}


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_a_class_looks_the_same_whatever_is_looked_at_first(
    teas: tuple[Any, Any], look: Callable[[Any], object]
) -> None:
    """What is made late is made by whoever looks, so each look is the first once."""
    ours, theirs = teas

    assert look(ours) == look(theirs)
    assert look(ours) == look(theirs)


@pytest.mark.parametrize(
    ("given", "named"),
    [((), {}), ((), {"leaf": "black", "cup": 1}), (("black", 1, "", 0, (), 7), {})],
    ids=["too little", "unknown", "too much"],
)
def test_what_cannot_be_made_is_refused_in_the_same_words(
    teas: tuple[Any, Any], given: tuple[object, ...], named: dict[str, object]
) -> None:
    """The words name the class and the field that is missing."""
    said = []
    for kind in teas:
        with pytest.raises(TypeError) as refused:
            kind(*given, **named)
        said.append(str(refused.value))

    assert said[0] == said[1]


def test_a_value_is_frozen_from_the_first(teas: tuple[Any, Any]) -> None:
    """A board that can be changed after it was shown is two boards."""
    ours, _ = teas
    tea = ours(leaf="black")

    with pytest.raises(FrozenInstanceError, match="cannot assign to field 'grams'"):
        tea.grams = 4
    with pytest.raises(FrozenInstanceError, match="cannot delete field 'grams'"):
        del tea.grams
    with pytest.raises(FrozenInstanceError):
        tea.new = 4
    assert tea.grams == 3


def test_what_nobody_asks_for_is_not_made(teas: tuple[Any, Any]) -> None:
    """That is what it is for."""
    ours, _ = teas
    parts = set(made_later._PARTS)

    def made() -> set[str]:
        return {part for part in parts if type(vars(ours)[part]).__name__ != "_Later"}

    for _ in range(made_later.FEW):
        ours(leaf="black")
    assert made() == set(), "a few are begun without it"
    ours(leaf="black")
    assert made() == {"__init__"}


def test_the_first_values_and_those_after_them_are_alike(teas: tuple[Any, Any]) -> None:
    """The first few are begun field by field, each with usual values of its own."""
    given = (
        {"leaf": "black"},
        {"leaf": "green", "grams": 4, "tags": ("a",)},
        {"leaf": "", "noted": 1},
    )
    found = [[astuple(kind(**each)) for each in given * made_later.FEW] for kind in teas]

    assert found[0] == found[1]


def test_a_class_with_a_rare_field_is_begun_as_the_library_begins_it() -> None:
    """What is not written here is not begun here either."""

    def rare() -> type:
        class Rare:
            leaf: str = field(hash=False)

        return Rare

    ours, theirs = both(rare, kw_only=True)

    assert astuple(ours(leaf="black")) == astuple(theirs(leaf="black"))


def test_what_is_given_by_place_is_taken_by_place() -> None:
    """The first values as well as those after them."""
    ours, theirs = both(tea)
    found = [
        [astuple(kind("black", 4, tags=("a",))) for _ in range(2 * made_later.FEW)]
        for kind in (ours, theirs)
    ]

    assert found[0] == found[1]
    with pytest.raises(TypeError, match="multiple values for argument 'leaf'"):
        both(tea)[0]("black", leaf="green")


@made_later.dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A value that leaves its process."""

    number: int
    words: str = field(default="", repr=False)


def test_a_value_can_be_packed_and_unpacked() -> None:
    """Work that is done in another process comes back so."""
    kept = Kept(number=4, words="hush")

    assert pickle.loads(pickle.dumps(kept)) == kept  # noqa: S301  # packed on the line before
