"""Where a computer keeps what is the site's own, and which version it runs."""

from __future__ import annotations

import sys
from importlib.metadata import version
from typing import TYPE_CHECKING

import pytest

from readbell.settings.places import (
    assay_folder,
    default_journal,
    settings_file,
    spill_folders,
    station_name,
)
from readbell.settings.version import program_version

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.skipif(sys.platform != "linux", reason="other systems name their folders otherwise")
def test_each_thing_stands_where_the_system_wants_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A site backs up the usual folders; nothing of a bay may lie elsewhere."""
    for name in ("DATA", "STATE", "CACHE", "CONFIG"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name))

    assert default_journal() == tmp_path / "DATA" / "readbell" / "bay.journal"
    assert assay_folder() == tmp_path / "CONFIG" / "readbell" / "assays"
    assert settings_file() == tmp_path / "CONFIG" / "readbell" / "settings.toml"
    assert spill_folders() == (
        tmp_path / "STATE" / "readbell",
        tmp_path / "CACHE" / "readbell",
    )


def test_acts_spill_away_from_the_journals_own_folder() -> None:
    """If that folder cannot be written, one beneath it cannot either."""
    folder = default_journal().parent

    assert all(not place.is_relative_to(folder) for place in spill_folders())


def test_asking_where_things_stand_makes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A question leaves no folders behind."""
    monkeypatch.setenv("HOME", str(tmp_path))
    for name in ("DATA", "STATE", "CACHE", "CONFIG"):
        monkeypatch.delenv(f"XDG_{name}_HOME", raising=False)
    places = (default_journal(), assay_folder(), *spill_folders())

    assert len(places) == 4
    assert list(tmp_path.iterdir()) == []


def test_a_station_always_has_a_name() -> None:
    """An event without a place could be anybody's."""
    assert station_name()


def test_the_version_is_the_installed_one() -> None:
    """It stands in one place, and every event repeats it."""
    assert program_version() == version("readbell")


def test_a_copy_that_was_never_installed_has_no_version(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder of somebody else's with a name that begins alike is not ours."""
    (tmp_path / "readbellows-9.9.dist-info").mkdir()
    monkeypatch.setattr("sys.path", [str(tmp_path), str(tmp_path / "gone")])

    assert program_version() == "unpacked"
    (tmp_path / "readbell-1.2.dist-info").mkdir()
    assert program_version() == "1.2"
