"""What a site may set, and how a slip in its file is told."""

from __future__ import annotations

import tomllib
from dataclasses import fields
from typing import TYPE_CHECKING

import pytest

from readbell.core.policy.policy import SitePolicy
from readbell.core.practice.assist import Assist
from readbell.core.rehearsal.passing import PassRule
from readbell.policy_table import PolicyTable
from readbell.settings.export_table import ExportTable
from readbell.settings.figures_table import FiguresTable
from readbell.settings.performance_table import PerformanceTable
from readbell.settings.places import settings_file
from readbell.settings.settings_table import (
    KeepingTable,
    SettingsTable,
    read_settings_table,
)
from readbell.settings.site_settings import SiteSettings, read_settings
from readbell.settings.slip_table import SlipTable
from readbell.settings.training_table import TrainingTable
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
fonts = ["a font.ttf"]
[slip]
heading = "Quay House"
[slip.words]
title = "Ihr Testergebnis"
[export]
patient_system = "urn:oid:2.999.1"
[keeping]
days = 365
[training]
kappa = 0.8
most_help = "alarms"
[figures]
usual_invalid = 0.01
[[performance]]
assay = "hcg-urine"
source = "A made-up study"
sensitivity = "72/100"
specificity = "995/1000"
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
    found = read_settings_table(written(tmp_path, EVERYTHING))

    assert found == SettingsTable(
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
        fonts=("a font.ttf",),
        slip=SlipTable(heading="Quay House", words={"title": "Ihr Testergebnis"}),
        export=ExportTable(patient_system="urn:oid:2.999.1"),
        keeping=KeepingTable(days=365),
        training=TrainingTable(kappa=0.8, most_help=Assist.ALARMS),
        figures=FiguresTable(usual_invalid=0.01),
        performance=(
            PerformanceTable(
                assay="hcg-urine",
                source="A made-up study",
                sensitivity="72/100",
                specificity="995/1000",
            ),
        ),
        policy=PolicyTable(warn_expiry_days=30),
    )
    written_keys = tomllib.loads(EVERYTHING)
    assert set(written_keys) == set(SettingsTable.model_fields)


def test_what_a_bay_goes_by_is_what_the_file_says_of_it(tmp_path: Path) -> None:
    """A board is opened by these alone: a key that got lost on the way would quietly not be set."""
    file = written(tmp_path, EVERYTHING)
    said = read_settings_table(file)

    assert read_settings(file) == SiteSettings(
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
        figures=FiguresTable(usual_invalid=0.01),
        policy=SitePolicy(warn_expiry_days=30),
    )
    shared = {each.name for each in fields(SiteSettings)} - {"policy", "figures"}
    assert {name: getattr(SettingsTable(), name) for name in shared} == {
        name: getattr(SiteSettings(), name) for name in shared
    }
    assert said.to_settings() == read_settings(file)


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
        ('[export]\npatient_system = "Harrow Quay"', "export.patient_system = 'Harrow Quay': write a URI, such as urn:oid:2.999.1 or https://ids.example.org/patients"),
        ('[export]\nwithdrawn = "C"', "export.withdrawn = 'C': use 'W' or 'X'"),
        ('[policy]\nreports_expected = ["pdf"]', "policy.reports_expected = ['pdf']: name each of these once at most: csv, fhir, hl7"),
        ('[policy]\nreports_expected = ["fhir", "fhir"]', "policy.reports_expected = ['fhir', 'fhir']: name each of these once at most: csv, fhir, hl7"),
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


def test_a_table_of_training_is_the_rule_of_the_site(tmp_path: Path) -> None:
    """What is left out of it is as it comes; without the table there is no rule."""
    some = read_settings_table(written(tmp_path, "[training]\nattempts = 3\n")).training

    assert read_settings_table(tmp_path / "none.toml").training is None
    assert some is not None
    assert some.to_rule() == PassRule(attempts=3)
    assert TrainingTable().to_rule() == PassRule()


def test_a_rule_that_makes_no_sense_is_refused_with_its_key(tmp_path: Path) -> None:
    """Nobody passes by a slip of the keys."""
    with pytest.raises(WrongFileError, match=r"training\.readings_right = 950"):
        read_settings(written(tmp_path, "[training]\nreadings_right = 950\n"))
