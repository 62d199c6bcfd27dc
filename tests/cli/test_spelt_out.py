"""What somebody gave may stand in an answer to them, and no code of it may reach their terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.cli.spelt_out import spelt_out

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command


@pytest.mark.parametrize(
    ("words", "spelt"),
    [
        ("Zo\u00eb [A12] \u6f22", "Zo\u00eb [A12] \u6f22"),
        ("A\x1b[8mB", "A\\x1b[8mB"),
        ("A\x9b8mB\x07", "A\\x9b8mB\\x07"),
        ("A\u202e12", "A\\u202e12"),
        ("A\ud83dB", "A\\ud83dB"),
        ("one\ntwo\x00", "one\ntwo\\x00"),
    ],
)
def test_what_moves_the_cursor_or_turns_letters_is_spelt_out(words: str, spelt: str) -> None:
    """Letters of every language stay as they are."""
    assert spelt_out(words) == spelt


@pytest.mark.parametrize("name", ["A\x1b[31mB", "A\u202eB", " ", "x" * 121])
def test_a_bay_is_not_founded_under_a_name_that_cannot_be_read(
    command: Command, tmp_path: Path, name: str
) -> None:
    """It stands at the top of every screen from then on."""
    outcome = command("bay", "--quiet", "--journal", tmp_path / "bay.journal", f"--name={name}")

    assert outcome.status == 2
    assert outcome.err == "a new bay wants a name of 1 to 120 letters that can all be seen\n"
    assert not outcome.out


def test_a_file_name_with_a_code_in_it_is_spelt_out(command: Command, tmp_path: Path) -> None:
    """It may have come by mail."""
    outcome = command("rehearse", tmp_path / "day\x1b[8m.toml", "--unattended")

    assert outcome.status == 2
    assert "day\\x1b[8m.toml" in outcome.err
    assert "\x1b" not in outcome.err
