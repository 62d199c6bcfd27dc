"""Everything in the core is a value: once made, it never changes.

Boards are handed to other threads and records are chained, so a value that
could be changed in place would change what somebody else is looking at.
"""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
import re
from datetime import date
from typing import Any

import pytest

import readbell.core
from builders import NASAL, START, Bench, private
from readbell.core.assay.events import Basis
from readbell.core.board.acts import (
    AdoptAssay,
    HoldLot,
    OpenLot,
    ReceiveLot,
    RegisterOperator,
    RegisterParty,
    RegisterPerson,
)
from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.acts import Aim, StateApplication

CHANGEABLE = re.compile(r"\b(list|dict|set|bytearray|deque)\b")
ELSEWHERE = "readbell.core.rehearsal"
"""The steady hands of a rehearsal work things out in place and hand none of it on."""
ADDED_TO = {
    "readbell.core.figures.counted.Counted",
    "readbell.core.figures.near_misses.NearMisses",
    "readbell.core.figures.tally.Tally",
    "readbell.core.figures.tally.WaitTally",
    "readbell.core.statistics.spread.Spread",
}
"""Counts of a long record, added to case by case as it is walked once: a value for each would
take minutes for what takes seconds."""
ASKED_LATER = {"readbell.core.plan.answer.Answer"}
"""These work out a list when first asked for it, and keep it: the one field that comes later."""


def value_types() -> dict[str, type[Any]]:
    """Every dataclass of the core, by the name of its module and its own."""
    found: dict[str, type[Any]] = {}
    for module in pkgutil.walk_packages(readbell.core.__path__, "readbell.core."):
        for thing in vars(importlib.import_module(module.name)).values():
            if (
                isinstance(thing, type)
                and dataclasses.is_dataclass(thing)
                and not thing.__module__.startswith(ELSEWHERE)
                # What a module works out for itself alone is no value that goes round.
                and not thing.__name__.startswith("_")
            ):
                found[f"{thing.__module__}.{thing.__qualname__}"] = thing
    return {name: kind for name, kind in found.items() if name not in ADDED_TO}


VALUES = value_types()


def acts_by_nemo() -> dict[str, object]:
    """Each way in which an act can name a person."""
    aim = Aim(by="Nemo", cartridge="C1", scanned="Nemo", person="Nemo")
    return {
        "aim": aim,
        "hold": HoldLot(by="Nemo", lot="L-100"),
        "register": RegisterOperator(by="Nemo", operator=private("k")),
        "person": RegisterPerson(by="Nemo", person=private("k")),
        "party": RegisterParty(by="Nemo", party=private("k"), persons=(private("l"),)),
        "opening": OpenLot(by="Nemo", lot="L-100", today=date(2026, 1, 1)),
        "lot": ReceiveLot(by="Nemo", number="1", assay="a", expires=date(2026, 1, 1), units=1),
        "adoption": AdoptAssay(
            by="Nemo",
            assay=NASAL,
            content_hash="0",
            basis=Basis.CHECKED,
            instructions_version="1",
        ),
        "witness": StateApplication(aim=aim, witness="Nemo", done_at=START),
        "entry": Entry(do=Do.STATE_APPLICATION, by="Nemo", witness="Nemo", person="Nemo"),
    }


def test_there_are_values_to_look_at() -> None:
    """A wrong path would let the next laws pass without looking at anything."""
    assert "readbell.core.board.board.Board" in VALUES
    assert "readbell.core.cartridge.events.CartridgeRead" in VALUES


@pytest.mark.parametrize("name", VALUES)
def test_a_value_is_frozen_and_takes_no_new_fields(name: str) -> None:
    """Neither a field nor a stray attribute can be set once it is made."""
    kind = VALUES[name]
    assert kind.__dataclass_params__.frozen
    assert "__slots__" in vars(kind) or name in ASKED_LATER


@pytest.mark.parametrize("kind", VALUES.values(), ids=VALUES.keys())
def test_a_value_promises_no_collection_that_can_be_changed(kind: type[Any]) -> None:
    """Fields are tuples, frozen sets or mappings that offer no way of writing."""
    written = [str(field.type) for field in dataclasses.fields(kind)]

    assert not [text for text in written if CHANGEABLE.search(text)]


def test_a_board_in_use_cannot_be_changed() -> None:
    """Whoever holds a board may look at it for as long as they like."""
    board = Bench().board

    with pytest.raises(dataclasses.FrozenInstanceError):
        board.founded = None  # type: ignore[misc]


def test_equal_values_are_equal_whoever_made_them() -> None:
    """Two replays of one journal give boards that can be held against each other."""
    assert Bench().to_well() == Bench().to_well()


@pytest.mark.parametrize(
    "named",
    [
        pytest.param("aim", id="whom an act is aimed at"),
        pytest.param("hold", id="who stops a lot"),
        pytest.param("register", id="who vouches for an operator"),
        pytest.param("person", id="who enters a person"),
        pytest.param("lot", id="who receives a lot"),
        pytest.param("adoption", id="who adopts an assay"),
        pytest.param("witness", id="who bears witness"),
        pytest.param("entry", id="who bears witness in an entry"),
    ],
)
def test_an_act_printed_by_accident_names_nobody(named: str) -> None:
    """Acts end up in crash reports; staff and patients do not belong there."""
    assert "Nemo" not in repr(acts_by_nemo()[named])
