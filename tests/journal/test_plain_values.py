"""Any value of the core goes into a snapshot and comes out the same."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NASAL, THREE_LINES, Bench, at
from journal.test_codec import KEPT_APART, KINDS, events_of
from readbell.core.board.layered import Layered
from readbell.core.cartridge.acts import TakeBackStep
from readbell.core.cartridge.events import AlertKind, TakeBackReason
from readbell.core.cartridge.moment import timed
from readbell.journal.plain_values import _FIRST_CLASS, FEW, Plain


def there_and_back(value: Any) -> Any:
    """Write `value`, as bytes, and read it with nothing but what was written."""
    plain = Plain([], [])
    written = json.dumps([plain.write(value), plain.classes, plain.assays])
    found, classes, assays = json.loads(written)
    return Plain(classes, assays).read(found)


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=10, deadline=None)
@given(case=st.data())
def test_every_kind_of_event_comes_back(kind: type, case: st.DataObject) -> None:
    """A board holds events as they came, of whatever kind is ever added."""
    event = case.draw(events_of(kind, st.none() | KEPT_APART))

    assert there_and_back(event) == event


@pytest.mark.parametrize(
    "value",
    [
        pytest.param(None, id="nothing"),
        pytest.param((), id="an empty tuple"),
        pytest.param((1, (2.5, "x", None), True), id="a tuple in a tuple"),
        pytest.param(frozenset({(AlertKind.CLOSING, "x"), (AlertKind.LAPSED, "")}), id="a set"),
        pytest.param(date(2028, 2, 29), id="a leap day"),
        pytest.param({"a": {"b": (timed(at("0:01")),)}}, id="a mapping in a mapping"),
        pytest.param({AlertKind.CLOSING: 1}, id="keys that are words of a list"),
    ],
)
def test_every_part_of_a_board_comes_back(value: Any) -> None:
    """What it is made of, and not only what it looks like."""
    found = there_and_back(value)

    assert found == value
    assert type(found) is type(value)


def test_a_cartridge_with_a_step_that_was_taken_back_comes_back() -> None:
    """What it keeps of it goes into a snapshot too: the next start shows the same story."""
    bench = Bench()
    bench.to_well()
    act = TakeBackStep(aim=bench.aim(), step="apply", reason=TakeBackReason.NOT_DONE)
    bench.must(act, "3:00")

    assert there_and_back(bench.cartridge()) == bench.cartridge()


def test_a_layered_mapping_comes_back_as_a_plain_one() -> None:
    """How it lay in memory is nothing that anybody needs to know."""
    assert there_and_back(Layered({"a": 1}, {"b": 2})) == {"a": 1, "b": 2}


def test_the_first_of_a_class_and_those_after_them_come_back_alike() -> None:
    """The first few are made field by field, and then what makes them is written."""
    plain = Plain([], [])
    moments = tuple(timed(at(f"0:{number:02}")) for number in range(2 * FEW))

    assert Plain(plain.classes, []).read([0]) == ()
    assert there_and_back(moments) == moments


def test_two_assays_are_kept_once_each_and_stay_two() -> None:
    """Every cartridge has one, and it is long; taken for another it would read wrongly."""
    plain = Plain([], [])

    written = [plain.write(each) for each in (NASAL, THREE_LINES, NASAL)]

    assert len(plain.assays) == 2
    assert written[0] == written[2] != written[1]
    first, second, third = there_and_back((NASAL, THREE_LINES, NASAL))
    assert (first, second) == (NASAL, THREE_LINES)
    assert first is third


def test_classes_met_before_keep_their_number() -> None:
    """What lies in older layers is not written again."""
    before = Plain([], [])
    old = before.write(timed(at("0:01")))

    after = Plain(before.classes, before.assays)
    after.write(AlertKind.CLOSING)
    new = after.write(timed(at("0:01")))

    assert new == old
    assert after.classes[: len(before.classes)] == before.classes
    assert after.read(old) == timed(at("0:01"))


def test_what_no_board_is_to_hold_is_refused() -> None:
    """Better no snapshot than one that lost something."""
    with pytest.raises(TypeError, match="list cannot be kept"):
        Plain([], []).write([1])


@pytest.mark.parametrize("name", ["os:system", "subprocess:Popen", "readbell.cli.main:main"])
def test_a_snapshot_names_nothing_outside_the_core(name: str) -> None:
    """Whoever can write the file must not be able to have a program of theirs run."""
    with pytest.raises(ValueError, match="no part of the core"):
        Plain([name], []).read([_FIRST_CLASS, "an argument"])
    with pytest.raises(ValueError, match="no part of the core"):
        Plain([name], []).make(0)
