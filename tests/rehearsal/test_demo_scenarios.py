"""What holds for every demo scenario: it says what it is for, is repeatable, and leaves nobody without a result."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING

import pytest

from readbell.core.rehearsal.scenario import Difficulty
from rehearsal.demos import DEMOS
from rehearsal.playing import report_of

if TYPE_CHECKING:
    from pathlib import Path

FILES = sorted(DEMOS.glob("*.toml"))
NAMES = [
    "bad_devices",
    "drive_through_hour",
    "first_cartridge",
    "forgot_to_press",
    "gloves",
    "household_of_six",
    "interrupted_reader",
    "invalid_and_repeat",
    "lid_closed",
    "lot_called_back",
    "missed_window",
    "one_surname",
    "quiet_morning",
    "smear",
    "the_worst_hour",
    "told_then_withheld",
]
every_demo = pytest.mark.parametrize("file", [pytest.param(f, id=f.stem) for f in FILES])


def test_the_folder_holds_these_scenarios() -> None:
    """A scenario without an expected end could go wrong unseen."""
    assert [file.stem for file in FILES] == NAMES


@every_demo
def test_a_scenario_says_its_goal_and_what_it_teaches(file: Path) -> None:
    """Whoever opens it learns first what it is for; so does whoever practises with full help."""
    found = tomllib.loads(file.read_text(encoding="utf-8"))

    assert found["goal"][0].islower(), "it goes on from 'Goal:'"
    assert not found["goal"].endswith(".")
    assert found["teaching"].endswith(".")
    assert found["difficulty"] in set(Difficulty)


@every_demo
def test_a_scenario_comes_out_the_same_each_time(file: Path) -> None:
    """A rehearsal that two people cannot repeat proves nothing to either."""
    first, second = report_of(file), report_of(file)

    assert first == second
    assert len(first["journal"]["head"]) == 64


@every_demo
def test_no_scenario_ends_with_a_person_left_without_a_result(file: Path) -> None:
    """Each shows the whole way, so the last cartridge of everybody who stays is read."""
    ended = {each["person"]: each["stage"] for each in report_of(file)["cartridges"]}
    breaks_in = tomllib.loads(file.read_text(encoding="utf-8")).get("interruption", [])
    for person in (who for each in breaks_in for who in each.get("persons", ())):
        ended.pop(person, None)

    assert ended
    assert set(ended.values()) == {"read"}
