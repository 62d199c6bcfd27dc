"""From when on a lot is out of the ordinary, as a site says it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.core.figures.watching import watch_over_lots
from readbell.settings.figures_table import FiguresTable
from readbell.settings.settings_table import read_settings_table
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path


def test_a_site_that_says_nothing_watches_as_the_program_comes(tmp_path: Path) -> None:
    """Without a file, and with one that is about something else."""
    file = tmp_path / "settings.toml"
    assert read_settings_table(file).figures.to_watch() == watch_over_lots()
    file.write_text("bell = false\n")

    assert read_settings_table(file).figures.to_watch() == watch_over_lots()


def test_a_site_may_say_what_is_usual_and_how_rare_a_false_alarm_has_to_be(tmp_path: Path) -> None:
    """Each by itself."""
    file = tmp_path / "settings.toml"
    file.write_text("[figures]\nusual_invalid = 0.01\nstrips_between_false_alarms = 20_000\n")

    found = read_settings_table(file).figures
    assert found == FiguresTable(usual_invalid=0.01, strips_between_false_alarms=20_000)
    assert found.to_watch() == watch_over_lots(0.01, found.worse_invalid, 20_000)


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("usual_invalid = 0.1\n", "figures: worse_invalid has to lie above usual_invalid"),
        ("usual_invalid = 0\n", "figures.usual_invalid"),
        ("worse_invalid = 1.5\n", "figures.worse_invalid"),
        ('worse_invalid = "6%"\n', "figures.worse_invalid"),
        ("strips_between_false_alarms = 3\n", "figures.strips_between_false_alarms"),
        ("strips = 500\n", "figures.strips"),
    ],
)
def test_what_cannot_be_watched_for_is_refused_with_its_place(
    tmp_path: Path, text: str, where: str
) -> None:
    """One sentence, before anything is looked at."""
    file = tmp_path / "settings.toml"
    file.write_text(f"[figures]\n{text}")

    with pytest.raises(WrongFileError, match=r"settings\.toml") as refused:
        read_settings_table(file)
    assert where in str(refused.value)
    assert len(str(refused.value).splitlines()) == 1
