"""What may be said to a bay about its stations: read as it is written, or refused in one sentence."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from readbell.core.stations.apart import Settling
from readbell.scenarios.line import Question, read_line
from readbell.scenarios.station_lines import GiveUpLine, SettleLine, StationsLine
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from readbell.toml_tables import Table


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            {"do": "give-up-station", "by": "op-1", "station": "window"},
            GiveUpLine(do="give-up-station", by="op-1", station="window"),
        ),
        (
            {"do": "settle-apart", "by": "op-1", "number": 3, "how": "entered-anew"},
            SettleLine(do="settle-apart", by="op-1", number=3, how=Settling.ENTERED_ANEW),
        ),
        ({"do": "stations"}, StationsLine(do="stations")),
    ],
    ids=lambda each: each["do"] if isinstance(each, dict) else "",
)
def test_each_line_is_what_it_says(said: dict[str, Any], expected: Table) -> None:
    """Word for word."""
    assert read_line(json.dumps(said)) == expected


def test_who_is_here_is_asked_and_changes_nothing() -> None:
    """It is answered without the bay taking a turn."""
    assert isinstance(read_line('{"do": "stations"}'), Question)


@pytest.mark.parametrize(
    ("changed", "what"),
    [
        ({"number": -1}, "number"),
        ({"number": "3"}, "number"),
        ({"how": "gone"}, "how"),
        ({"station": "window"}, "station"),
    ],
)
def test_what_is_wrong_is_named_in_one_sentence(changed: dict[str, Any], what: str) -> None:
    """And nothing of it is done."""
    said = {"do": "settle-apart", "by": "op-1", "number": 3, "how": "left"}

    with pytest.raises(WrongFileError, match=what):
        read_line(json.dumps({**said, **changed}))
