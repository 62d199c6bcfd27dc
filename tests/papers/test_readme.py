"""What the README says can be typed must be understood by the program it describes."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from readbell.cli.main import parser
from readbell.core.board.acts import NAMES
from readbell.core.board.entry import Do
from readbell.core.board.events import MuteReason
from readbell.core.board.sound import CallKind
from readbell.core.board.stations import SAFE_ALONE
from readbell.core.cartridge.events import TakeBackReason, VoidReason
from readbell.core.reading.bands import Unreadable
from readbell.core.refusal import RefusalCode
from readbell.scenarios.line import read_line
from readbell.scenarios.scenario_file import read_scenario
from readbell.settings.settings_table import SettingsTable

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
LINES = re.findall(r"^\s*(\{\"do\".*\})$", README, re.MULTILINE)
COMMANDS = sorted(set(re.findall(r"`readbell ([a-z]+)[^`]*`", README)))
TABLED = re.findall(r"^\| `([a-z-]+)`(?:, `([a-z-]+)`)? \|", README, re.MULTILINE)


@pytest.mark.parametrize("line", LINES)
def test_each_line_shown_for_a_live_bay_is_understood(line: str) -> None:
    """A newcomer copies these lines; one that is refused as malformed ends the first ten minutes."""
    assert read_line(line) is not None


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_named_exists(command: str) -> None:
    """A command that is not there sends a reader looking for a fault of their own."""
    with pytest.raises(SystemExit) as ended:
        parser().parse_args([command, "--help"])

    assert ended.value.code == 0


def test_each_command_that_exists_is_named() -> None:
    """What is not in the README is not found by the person at the bench."""
    choices = next(action.choices for action in parser()._actions if action.choices)

    assert set(choices or ()) == set(COMMANDS)


def test_the_table_of_lines_names_every_act() -> None:
    """An act that may be given and is not listed cannot be used."""
    tabled = {name for pair in TABLED for name in pair if name}

    assert {str(do) for do in Do} <= tabled


def test_what_may_be_done_alone_is_what_the_table_says() -> None:
    """Whoever reads it before the link is lost knows what to do when it is."""
    section = README.split("## When the link is lost")[1].split("\n## ")[0]
    rows = re.findall(r"^\| (?!once).*? \| (`.*`) \|$", section, re.MULTILINE)
    said = {name for row in rows for name in re.findall(r"`([\w-]+)`", row)}

    assert said == {NAMES[each] for each in SAFE_ALONE}


@pytest.mark.parametrize("word", [*Unreadable, *VoidReason, *TakeBackReason])
def test_each_coded_reason_is_listed(word: str) -> None:
    """Codes nobody knows are replaced by free text, which cannot be counted later."""
    unlisted = {VoidReason.OTHER, VoidReason.TIME_UNSURE}

    assert word in unlisted or f"`{word}`" in README


def test_each_setting_is_listed_with_what_it_is_by_itself() -> None:
    """A setting that nobody knows of is one that nobody has."""
    section = README.split("## Settings")[1].split("\n## ")[0]
    rows = re.findall(r"^\| `(\w+)` \|.*\| (?:`(.+?)`|none) \|$", section, re.MULTILINE)
    as_it_comes = SettingsTable()
    decided = set(type(as_it_comes.policy).model_fields)

    tables = {"policy", "export", "slip", "keeping", "training", "performance", "figures"}
    assert {key for key, _ in rows} == set(SettingsTable.model_fields) - tables | decided
    for key, written in rows:
        default = getattr(as_it_comes.policy if key in decided else as_it_comes, key)
        shown = list(default) if isinstance(default, tuple) else default
        assert (json.dumps(shown) if default is not None else "") == written, key


@pytest.mark.parametrize("word", [*MuteReason, *CallKind])
def test_each_word_of_the_alarm_is_listed(word: str) -> None:
    """A sound command must know what it may be told, and whoever mutes what can be said."""
    assert f"`{word}`" in README


def test_the_scenario_shown_is_a_scenario() -> None:
    """The example is what people start their own files from."""
    section = README.split("\n## Scenario files")[1]
    shown = re.search(r"```toml\n(.*?)```", section, re.DOTALL)
    assert shown is not None

    scenario = read_scenario(shown[1], "README")

    assert [act.entry.do for act in scenario.acts] == [Do.LABEL]


def test_the_job_stands_at_the_very_top() -> None:
    """Whoever opens the README must know within a paragraph whether it is for them."""
    first = README.split("\n\n")[1]

    assert {"read window", "negative", "journal"} <= set(
        re.findall(r"read window|negative|journal", first)
    )


def test_each_refusal_code_has_a_place_in_the_code_alone() -> None:
    """People read sentences; a bare code in the README would teach them the wrong words."""
    bare = {str(code) for code in RefusalCode} - {"not-saved", "alone", "bad-bands"}

    assert not [code for code in bare if f"`{code}`" in README]


@pytest.mark.parametrize(
    "path", re.findall(r"`((?:core|clock|journal|alert|bay|phrases|cli)/[\w/]+\.py)`", DEVELOPERS)
)
def test_each_file_that_contributors_are_sent_to_exists(path: str) -> None:
    """A guide that points nowhere is worse than none."""
    assert (ROOT / "app" / "readbell" / path).is_file()
