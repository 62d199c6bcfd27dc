"""The line that asks for the next safe start."""

from __future__ import annotations

import pytest

from builders import span
from readbell.scenarios.line import read_line
from readbell.scenarios.plan_lines import NextStartLine
from readbell.toml_tables import WrongFileError


def test_it_needs_nothing() -> None:
    """It asks, and changes nothing; nobody has to answer for it."""
    line = read_line('{"do": "next-start"}')

    assert isinstance(line, NextStartLine)
    assert line.breaks == ()


def test_breaks_are_told_from_now() -> None:
    """For each operator who will be away."""
    line = read_line(
        '{"do": "next-start", "breaks": [{"operator": "op-1", "from": "5:00", "to": "20:00"}]}'
    )

    assert isinstance(line, NextStartLine)
    (pause,) = line.breaks
    assert (pause.operator, pause.since, pause.until) == ("op-1", span("5:00"), span("20:00"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"do": "next-start", "by": "op-1"}', "by"),
        (
            '{"do": "next-start", "breaks": [{"operator": "a", "from": "5:00", "to": "5:00"}]}',
            "a break ends after it begins",
        ),
        (
            '{"do": "next-start", "breaks": [{"operator": "a", "from": "soon", "to": "5:00"}]}',
            "from",
        ),
    ],
)
def test_what_makes_no_sense_is_one_sentence(text: str, said: str) -> None:
    """What, where and what to do."""
    with pytest.raises(WrongFileError) as caught:
        read_line(text)

    assert said in str(caught.value)
    assert str(caught.value).startswith("this line")
