"""Whatever comes down the line, the bay answers in one sentence and lives on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Start

WORST = [
    ("every byte that is no text", bytes(range(0x80, 0x100))),
    ("a null byte", b"\x00"),
    ("another encoding", b"\xff\xfe{\x00}\x00"),
    ("a line of two million letters", b"x" * 2_000_000),
    ("half an object", b'{"do": "board"'),
    ("a list", b"[]"),
    ("nothing asked for", b"{}"),
    ("something impossible asked for", b'{"do": "fly"}'),
    (
        "a path that leads nowhere",
        b'{"do":"adopt-assay","by":"op-1","assay":"' + b"a" * 190 + b'/b.toml","instructions":"1"}',
    ),
    (
        "a step before the beginning of time",
        b'{"do":"step","by":"op-1","cartridge":"C1","step":"buffer","ago":"99999999999999:00:00"}',
    ),
    ("half a character", b'{"do":"register-operator","id":"\\ud83d"}'),
    ("half a character as a key", b'{"do":"board","\\ud83d":1}'),
]


def test_a_bay_answers_the_worst_lines_and_lives_on(start_bay: Start, tmp_path: Path) -> None:
    """One sentence each, nothing on the other channel, and the next act is taken as ever."""
    bay = start_bay(tmp_path / "bay.journal")
    bay.must(do="register-operator", id="op-1")
    answers = {}
    for name, line in WORST:
        bay.say(line)
        answers[name] = bay.answer()

    assert [name for name, each in answers.items() if each["accepted"]] == []
    assert [name for name, each in answers.items() if "\n" in each["says"]] == []
    assert bay.must(do="register-person", id="P-1", by="op-1")
    assert bay.complaints == []


@pytest.mark.parametrize(
    "line",
    [
        pytest.param(b"[" * 100_000, id="lists in lists"),
        pytest.param(
            b'{"do":"adopt-assay","by":"op-1","assay":"a\\u0000.toml","instructions":"1"}',
            id="a null byte in a file name",
        ),
    ],
)
def test_a_line_that_trips_the_program_itself_is_answered_too(
    start_bay: Start, tmp_path: Path, line: bytes
) -> None:
    """A bay gone deaf would look like a quiet one, and could not even be ended by its input."""
    bay = start_bay(tmp_path / "bay.journal")
    bay.say(line)

    assert bay.answer()["accepted"] is False
    bay.end_of_input()
    assert bay.wait() == 0
    assert bay.complaints == []
