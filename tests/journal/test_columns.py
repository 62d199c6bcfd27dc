"""Many values of one class, kept field by field, come out as they went in."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builders import NASAL, THREE_LINES, at
from journal.test_codec import KEPT_APART, KINDS, events_of
from journal.test_plain_values import there_and_back
from readbell.core.cartridge.cartridge import StepMark
from readbell.core.cartridge.events import AlertKind
from readbell.core.cartridge.moment import timed
from readbell.core.instant import Instant
from readbell.journal.columns import read_column, write_column
from readbell.journal.plain_values import MANY, Plain

if TYPE_CHECKING:
    from collections.abc import Sequence


def through(values: Sequence[Any]) -> tuple[list[Any], int]:
    """Return what comes back of a column, and how many letters it took."""
    plain = Plain([], [])
    written = json.dumps([write_column(values, plain), plain.classes, plain.assays])
    found, classes, assays = json.loads(written)
    return read_column(found, len(values), Plain(classes, assays)), len(json.dumps(found))


def exactly(value: Any) -> Any:
    """Return what two values have in common only if each part of them is of the same type."""
    if isinstance(value, tuple):
        return tuple(map(exactly, value))
    if isinstance(value, frozenset):
        return frozenset(map(exactly, value))
    return type(value), value


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(case=st.data())
def test_many_events_of_a_kind_come_back(kind: type, case: st.DataObject) -> None:
    """Few of them are alike and few are all different, as on a bench."""
    few = case.draw(st.lists(events_of(kind, st.none() | KEPT_APART), min_size=1, max_size=4))
    many = {str(number): few[number % len(few)] for number in range(MANY + 3)}

    found = there_and_back(many)

    assert found == many
    assert list(found) == list(many)


PARTS = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(0, 2)
    | st.floats(0, 2)
    | st.text("ab", max_size=2)
    | st.sampled_from(AlertKind)
    | st.sampled_from([NASAL, THREE_LINES])
    | st.builds(timed, st.integers(0, 2).map(Instant)),
    lambda inner: st.lists(inner, max_size=3).map(tuple) | st.frozensets(inner, max_size=2),
    max_leaves=6,
)


@settings(deadline=None)
@given(values=st.lists(PARTS, min_size=1, max_size=6))
def test_whatever_stands_in_one_column_comes_back(values: list[Any]) -> None:
    """Each of its own type: 1 is no True, and 1.0 is neither."""
    found, _ = through(values)

    assert found == values
    assert list(map(exactly, found)) == list(map(exactly, values))


def test_what_is_the_same_in_all_is_written_once() -> None:
    """Of a thousand cartridges that is most of it."""
    one = StepMark(step="label", done=timed(at("0:00")), by="op-1")
    few, many = ([replace(one, step=f"S{number}") for number in range(size)] for size in (40, 80))

    (_, short), (found, long) = through(few), through(many)

    assert found == many
    assert long - short == 40 * len('"S10", '), "each adds its step and nothing else"


def test_a_column_like_one_before_it_only_says_so() -> None:
    """When something was done and when it may have been are mostly one instant."""
    alike = [timed(at(f"0:{number:02}")) for number in range(50)]
    doubted = [replace(each, latest=Instant(each.latest + 1)) for each in alike]

    assert through(alike)[0] == alike
    assert through(doubted)[0] == doubted
    assert through(alike)[1] < through(doubted)[1]
