"""Lines about the shift, as a bay takes them."""

from __future__ import annotations

import json

import pytest

from readbell.scenarios.line import read_line
from readbell.scenarios.shift_lines import CloseShiftLine, OpenShiftLine, SignSheetLine
from readbell.toml_tables import WrongFileError


def test_each_line_is_read_and_what_may_be_left_out_is() -> None:
    """Nobody has said that the light is good, or why a shift ends."""
    opened = read_line('{"do": "open-shift", "by": "op-1"}')
    closed = read_line('{"do": "close-shift", "by": "op-1", "why": "handed over"}')
    signed = read_line('{"do": "sign-day-sheet", "by": "op-1"}')

    assert opened == OpenShiftLine(do="open-shift", by="op-1", light=False)
    assert closed == CloseShiftLine(do="close-shift", by="op-1", why="handed over")
    assert signed == SignSheetLine(do="sign-day-sheet", by="op-1", shift=None)


@pytest.mark.parametrize(
    "wrong",
    [
        {"do": "open-shift"},
        {"do": "open-shift", "by": "op-1", "light": "yes"},
        {"do": "close-shift", "by": "op-1", "why": ""},
        {"do": "sign-day-sheet", "by": "op-1", "shift": 0},
        {"do": "sign-day-sheet", "by": "op-1", "head": "ab"},
    ],
)
def test_what_makes_no_sense_is_refused_in_a_sentence(wrong: dict[str, object]) -> None:
    """Nobody may say which head they sign: the bay does."""
    with pytest.raises(WrongFileError, match="this line"):
        read_line(json.dumps(wrong))
