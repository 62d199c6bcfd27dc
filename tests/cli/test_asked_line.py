"""A fault in what was said to a command names the option that said it, and no line of a program."""

from __future__ import annotations

from typing import Any

import pytest

from readbell.cli.asked_line import asked_line, naming_options
from readbell.toml_tables import WrongFileError

BOX = {"do": "receive-box", "by": "op-1", "number": "L-1"}
TOLD = {"do": "tell", "by": "op-1", "cartridge": "C1", "to": "person", "how": "phone"}


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (BOX | {"expires": "2026-02-30"}, "--expires = '2026-02-30': write a day that exists"),
        (BOX | {"expires": "2027-01-01", "good_days": -1}, "--good-days = -1: it should be"),
        (TOLD | {"to": "pers"}, "--to = 'pers': use 'person', 'guardian', 'other' or 'office'"),
        (TOLD | {"cartridge": ""}, "cartridge = ''"),
        (
            {"do": "count-units", "by": "op-1", "lot": "L-1", "counted": -1},
            "the count = -1: it should be",
        ),
    ],
)
def test_a_fault_names_the_option(found: dict[str, Any], said: str) -> None:
    """Nobody wrote a line."""
    with pytest.raises(WrongFileError) as raised:
        asked_line(found)
    assert raised.value.faults[0].startswith(said)
    assert "this line" not in str(raised.value)


def test_what_the_bay_finds_out_names_the_option_too() -> None:
    """What stands in a code is read by the bay, and it is somebody at a command who scanned it."""
    with pytest.raises(WrongFileError, match=r"^--scan: This code names neither"), naming_options():
        raise WrongFileError(["this line: scan: This code names neither a lot nor a last day."])
