"""The line that notes a temperature."""

from __future__ import annotations

import json

import pytest

from readbell.core.climate.acts import NoteTemperature
from readbell.core.climate.events import Where
from readbell.scenarios.climate_lines import TemperatureLine
from readbell.scenarios.line import read_line
from readbell.toml_tables import WrongFileError


def said(**more: object) -> object:
    """What comes of the line."""
    return read_line(json.dumps({"do": "note-temperature", "by": "op-1", **more}))


def test_a_temperature_is_the_bays_unless_it_says_where() -> None:
    """The bay is where it matters each day."""
    line = said(celsius=21)
    assert isinstance(line, TemperatureLine)
    assert line.to_act() == NoteTemperature(by="op-1", where=Where.BAY, celsius=21.0)
    store = said(celsius=4.5, where="store")
    assert isinstance(store, TemperatureLine)
    assert store.to_act().where is Where.STORE


@pytest.mark.parametrize("celsius", [None, "21", 61, -41, True, 1e999])
def test_what_is_no_temperature_is_refused_in_one_sentence(celsius: object) -> None:
    """A figure that cannot be is a slip; nothing is guessed."""
    with pytest.raises(WrongFileError, match="celsius"):
        said(celsius=celsius)
