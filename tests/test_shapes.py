"""Quick JSON is the JSON that the library for it would make, and reads nothing that it is not."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, fields, is_dataclass
from datetime import date
from math import inf, nan
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from builders import NASAL, THREE_LINES
from journal.test_codec import KEPT_APART, KINDS, events_of
from readbell.core.cartridge.events import AlertKind
from readbell.core.instant import Instant
from readbell.core.making import LATER
from readbell.core.private import Private
from readbell.shapes import shape_of, write

AS_CHAINED = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One of each kind of field."""

    at: Instant
    word: AlertKind
    day: date
    warm: float
    yes: bool
    pairs: tuple[tuple[str, str], ...] = ()
    names: tuple[str, ...] = ("as", "is")
    perhaps: int | None = None


SAMPLE = Sample(at=Instant(1), word=AlertKind.CLOSING, day=date(2026, 2, 28), warm=4.5, yes=True)
WRITTEN: dict[str, Any] = {
    "at": 1,
    "word": "closing",
    "day": "2026-02-28",
    "warm": 4.5,
    "yes": True,
    "pairs": [["a", "b"]],
    "names": [],
    "perhaps": 7,
}


def as_library(value: Any) -> str:
    """Return what pydantic and the standard library make of `value`."""
    made = TypeAdapter(type(value)).dump_python(value, mode="json")
    return AS_CHAINED.encode(without_later(value, made))


def without_later(value: Any, made: Any) -> Any:
    """Return what was made of `value`, without fields that came later and say nothing new."""
    if isinstance(value, tuple):
        return [without_later(each, one) for each, one in zip(value, made, strict=True)]
    if not is_dataclass(value):
        return made
    return {
        each.name: without_later(getattr(value, each.name), made[each.name])
        for each in fields(value)
        if not (
            LATER.items() <= each.metadata.items() and getattr(value, each.name) == each.default
        )
    }


def whole(kept: Private) -> str:
    """Write a `Private` as the library would."""
    return as_library(kept)


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=25, deadline=None)
@given(case=st.data())
def test_every_event_is_written_as_the_library_writes_it(kind: type, case: st.DataObject) -> None:
    """The bytes are hashed: a space more and every journal written so far looks forged."""
    event = case.draw(events_of(kind, st.none() | KEPT_APART))

    written = shape_of(kind).write(event, whole)

    assert written == as_library(event)
    found = shape_of(kind).read(json.loads(written), lambda kept: Private(**kept))
    assert repr(found) == repr(event)  # by its words: a whole number equals a broken one


@pytest.mark.parametrize("assay", [NASAL, THREE_LINES])
def test_an_assay_is_written_as_the_library_writes_it(assay: Any) -> None:
    """Its hash names it for ever."""
    assert write(assay) == as_library(assay)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grown:
    """A class that was given a field after journals held values of it."""

    at: int
    before: bool = field(default=False, metadata=LATER)
    word: str = ""


def test_a_field_that_came_later_is_written_only_where_it_says_something() -> None:
    """What old journals hold is written the same way still, or no hash of theirs would agree."""
    assert write(Grown(at=1)) == '{"at":1,"word":""}'
    assert write(Grown(at=1, before=True)) == '{"at":1,"before":true,"word":""}'
    read_back = shape_of(Grown).read({"at": 1, "word": ""}, lambda _: None)
    assert read_back == Grown(at=1)


def read(**changes: Any) -> Sample:
    """Read a sample of which some fields are different; ... takes one out."""
    fields = {name: value for name, value in {**WRITTEN, **changes}.items() if value is not ...}
    found = shape_of(Sample).read(fields, lambda _: None)
    assert isinstance(found, Sample)
    return found


def test_what_was_left_out_is_as_the_class_says() -> None:
    """An event of before a field was thought of still says what it said."""
    assert read(pairs=..., names=..., perhaps=...) == SAMPLE


def test_each_kind_of_field_is_read_as_it_was_written() -> None:
    """Tuples of tuples, words and days included; a whole number may stand for a broken one."""
    found = read(warm=4)

    assert (found.pairs, found.names, found.perhaps) == ((("a", "b"),), (), 7)
    assert (type(found.warm), found.warm) == (float, 4.0)
    assert json.loads(write(found)) == {**WRITTEN, "warm": 4.0}


@pytest.mark.parametrize(
    "changes",
    [
        pytest.param({"at": "1"}, id="text for a number"),
        pytest.param({"at": 1.0}, id="a broken number for a whole one"),
        pytest.param({"at": True}, id="yes for a number"),
        pytest.param({"at": ...}, id="left out"),
        pytest.param({"yes": 1}, id="a number for yes"),
        pytest.param({"warm": "4"}, id="text for a broken number"),
        pytest.param({"warm": nan}, id="what is no number"),
        pytest.param({"warm": inf}, id="a number without end"),
        pytest.param({"word": "shut"}, id="a word that is none"),
        pytest.param({"word": ["closing"]}, id="a list for a word"),
        pytest.param({"day": "2026-02-30"}, id="a day that is none"),
        pytest.param({"day": 3}, id="a number for a day"),
        pytest.param({"names": "ab"}, id="text for a list"),
        pytest.param({"names": [1]}, id="a number among texts"),
        pytest.param({"perhaps": "7"}, id="text for a number that may be missing"),
        pytest.param({"pairs": [["a", 1]]}, id="a number in a pair"),
        pytest.param({"pairs": [["a"]]}, id="half a pair"),
        pytest.param({"pairs": [["a", "b", "c"]]}, id="more than a pair"),
        pytest.param({"pairs": ["ab"]}, id="text for a pair"),
    ],
)
def test_nothing_is_taken_for_what_it_is_not(changes: dict[str, Any]) -> None:
    """A record that is nearly right is wrong."""
    with pytest.raises((TypeError, ValueError, KeyError)):
        read(**changes)


def test_what_is_no_table_is_no_value() -> None:
    """A list of the right things is still a list."""
    with pytest.raises(TypeError):
        shape_of(Sample).read([], lambda _: None)


def test_no_identifier_is_written_by_the_way() -> None:
    """Where none is expected none may slip into the bytes that are chained."""
    with pytest.raises(TypeError):
        write(Holder(kept=Private(key="k", salt="s", value="v")))


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """Holds something private."""

    kept: Private


@pytest.mark.parametrize(
    "wrong",
    [
        pytest.param({"at": "1"}, id="text for a number"),
        pytest.param({"warm": "4"}, id="text for a broken number"),
        pytest.param({"warm": nan}, id="what is no number"),
        pytest.param({"warm": inf}, id="a number without end"),
        pytest.param({"pairs": (("a", "b", "c"),)}, id="more than a pair"),
    ],
)
def test_what_is_not_what_it_should_be_never_gets_written(wrong: dict[str, Any]) -> None:
    """Bytes that make no sense could never be taken out of the record again."""
    fields = {name: getattr(SAMPLE, name) for name in WRITTEN}

    with pytest.raises(TypeError):
        write(Sample(**{**fields, **wrong}))
