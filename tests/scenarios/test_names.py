"""Two IDs that look alike must be alike, and two that differ must never become one."""

from __future__ import annotations

import json

import pytest

from readbell.scenarios.line import read_line
from readbell.toml_tables import WrongFileError


@pytest.mark.parametrize(
    "name",
    [
        pytest.param("P-001 ", id="a blank at the end"),
        pytest.param(" P-001", id="a blank at the beginning"),
        pytest.param("P\n12:00:00  C9  read: - NEGATIVE.", id="a line of its own"),
        pytest.param("P\x1b[2J", id="a word to the terminal"),
        pytest.param("P\u202e100", id="letters that run backwards"),
        pytest.param("P\u00a0001", id="a blank that is none"),
    ],
)
def test_an_id_with_signs_nobody_sees_is_refused(name: str) -> None:
    """It would stand on the board as somebody else, or as news that never happened."""
    with pytest.raises(WrongFileError, match="cannot be seen"):
        read_line(json.dumps({"do": "register-person", "by": "op-1", "id": name}))


@pytest.mark.parametrize("byte", [b"\xe4", b"\xf6", b"\xff"])
def test_a_byte_that_is_no_text_is_refused_and_never_replaced(byte: bytes) -> None:
    """Two IDs with one wrong byte each would otherwise be read as one and the same."""
    line = b'{"do": "register-person", "by": "op-1", "id": "P-' + byte + b'"}'

    with pytest.raises(WrongFileError, match="not UTF-8 text"):
        read_line(line.decode(errors="surrogateescape"))


def test_an_id_of_any_script_is_taken() -> None:
    """Names are not made of English letters alone."""
    line = read_line(json.dumps({"do": "register-person", "by": "op-1", "id": "Zoë [李] 4"}))

    assert getattr(line, "id", None) == "Zoë [李] 4"
