"""What a site may set, and how a slip in its file is told."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING

import pytest

from readbell.policy_table import PolicyTable
from readbell.settings.places import settings_file
from readbell.settings.site_settings import SiteSettings, read_settings
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path

EVERYTHING = """\
bell = false
sound_command = ["play", "a bell.wav"]
thermometer_command = ["degrees"]
store_thermometer_command = ["degrees", "2"]
heard_seconds = 20
mask_identifiers = false
mask_after_minutes = 0
never_flash = true
ground = "light"
colours = "16"
ascii = true
read_limit = 3
hands = 2
gloves_seconds = 25
[policy]
warn_expiry_days = 30
"""


def written(folder: Path, text: str) -> Path:
    """A settings file with this text."""
    file = folder / "settings.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_without_a_file_all_is_as_it_comes(tmp_path: Path) -> None:
    """Nobody has to write a file before the first test."""
    assert read_settings(tmp_path / "none.toml") == SiteSettings()


def test_the_file_stands_in_the_folder_of_the_system(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The doctor names it, and it is read from there."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    settings_file().parent.mkdir(parents=True)
    written(settings_file().parent, "bell = false\n")

    assert read_settings() == SiteSettings(bell=False)


def test_everything_may_be_set(tmp_path: Path) -> None:
    """Each key is read as it was meant."""
    found = read_settings(written(tmp_path, EVERYTHING))

    assert found == SiteSettings(
        bell=False,
        sound_command=("play", "a bell.wav"),
        thermometer_command=("degrees",),
        store_thermometer_command=("degrees", "2"),
        heard_seconds=20,
        mask_identifiers=False,
        mask_after_minutes=0,
        never_flash=True,
        ground="light",
        colours="16",
        ascii=True,
        read_limit=3,
        hands=2,
        gloves_seconds=25,
        policy=PolicyTable(warn_expiry_days=30),
    )
    written_keys = tomllib.loads(EVERYTHING)
    assert set(written_keys) == set(SiteSettings.model_fields)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("sond = 1", "sond is not a key this file may have: take it out or mend its name"),
        ('bell = "yes"', "bell = 'yes': it should be a valid boolean"),
        ('sound_command = "play"', "sound_command = 'play': it should be a valid tuple"),
        ('sound_command = [""]', "sound_command.1 = '': string should have at least 1 character"),
        ("heard_seconds = 90", "heard_seconds = 90: it should be less than or equal to 60"),
        ("mask_after_minutes = -1", "mask_after_minutes = -1: it should be greater than or equal to 0"),
        ('ground = "grey"', "ground = 'grey': use 'dark' or 'light'"),
        ("colours = 16", "colours = 16: use 'auto', 'full', '16' or 'none'"),
        ("read_limit = 0", "read_limit = 0: it should be greater than or equal to 1"),
        ("hands = 0", "hands = 0: it should be greater than or equal to 1"),
        ("gloves_seconds = 601", "gloves_seconds = 601: it should be less than or equal to 600"),
    ],
)  # fmt: skip
def test_a_slip_is_told_in_one_sentence(tmp_path: Path, text: str, fault: str) -> None:
    """A setting that is quietly passed over is believed to be set."""
    file = written(tmp_path, text)
    with pytest.raises(WrongFileError) as refused:
        read_settings(file)

    assert str(refused.value) == f"{file}: {fault}"


def test_identifiers_are_masked_unless_a_site_says_otherwise(tmp_path: Path) -> None:
    """Whoever walks by a board reads no names off it."""
    assert SiteSettings().mask_identifiers
    file = tmp_path / "settings.toml"
    file.write_text("mask_identifiers = false\n", "utf-8")
    assert not read_settings(file).mask_identifiers


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ('patient_id = "pattern"', "write both or none"),
        ('patient_id_pattern = "[A-Z]+"', "write both or none"),
        ('patient_id = "pattern"\npatient_id_pattern = "["', "no regular expression"),
        ("minor_below_years = -1", "minor_below_years"),
    ],
)
def test_half_a_rule_about_ids_is_refused(tmp_path: Path, text: str, why: str) -> None:
    """It would check nothing, and nobody would notice."""
    file = tmp_path / "settings.toml"
    file.write_text(f"[policy]\n{text}\n", "utf-8")
    with pytest.raises(WrongFileError, match=why):
        read_settings(file)
