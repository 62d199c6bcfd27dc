"""Reading times of well-known kinds of rapid test fit the assay file and are kept exactly.

The figures are published or from memory, as marked; they stand for a kind of test, never for a
kit, whose own instructions for use come first.
"""

from __future__ import annotations

from importlib import resources
from typing import TYPE_CHECKING

import pytest

from readbell.assays.library import read_assay
from readbell.toml_tables import WrongFileError
from rehearsal.scenario_text import clock, millis
from rehearsal.story import NASAL, Story, alerts, cartridge, last_refusal

if TYPE_CHECKING:
    from pathlib import Path

OWN = "own.toml"
APPLIED = 120_000
NO_LIMIT = "no stated limit"
WINDOWS = [
    # Public job aid "How to do the rapid test for malaria": wait 20 minutes, no upper limit stated.
    pytest.param("20:00", NO_LIMIT, id="malaria job aid: 20 minutes or more"),
    # Generic guide to a malaria test, from memory: not before 15, not after 30 minutes.
    pytest.param("15:00", "30:00", id="malaria, from memory: 15 to 30 minutes"),
    # Procedure page for a urine hCG cassette: at 5 minutes, not after 8.
    pytest.param("5:00", "8:00", id="hCG cassette: 5 to 8 minutes"),
    # Rapid HIV tests, from memory.
    pytest.param("20:00", "40:00", id="HIV, oral fluid, from memory: 20 to 40 minutes"),
    pytest.param("15:00", "20:00", id="HIV, others, from memory: 15 to 20 minutes"),
    # Influenza antigen, from memory.
    pytest.param("10:00", "15:00", id="influenza, from memory: 10 to 15 minutes"),
    # Group A strep dipstick: at 5 minutes (a public teaching site); not after 10, from memory.
    pytest.param("5:00", "10:00", id="strep, close from memory: 5 to 10 minutes"),
]


def own_assay(opens: str, closes: str, folder: Path, least: str = "1:00") -> Path:
    """Write an assay with this read window, and no early look, into `folder`."""
    file = folder / OWN
    text = resources.files("readbell.assays").joinpath(f"{NASAL}.toml").read_text("utf-8")
    for old, new in (
        ('early_from = "2:00"\n', ""),
        ('opens = "15:00"', f'opens = "{opens}"'),
        ('closes = "20:00"', f'closes = "{closes}"'),
        ('closing_warning = "2:00"', 'closing_warning = "0:00"'),
        ('least = "1:00"', f'least = "{least}"'),
    ):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    kept = [line for line in text.splitlines() if not line.startswith('"reading.early_from"')]
    file.write_text("\n".join(kept), encoding="utf-8")
    return file


def read_after(elapsed: int, folder: Path) -> str | None:
    """Read a strip of the own assay so long after its drops; say why it was refused."""
    story = Story(assay=OWN).on_the_well(applied=clock(APPLIED))
    return last_refusal(story.read(clock(APPLIED + elapsed)).play(folder))


@pytest.mark.parametrize(("opens", "closes"), WINDOWS)
def test_a_published_window_is_kept_at_its_opening(opens: str, closes: str, tmp_path: Path) -> None:
    """One millisecond before the stated minute is too early, the minute itself counts."""
    own_assay(opens, closes, tmp_path)

    assert read_after(millis(opens) - 1, tmp_path) == "too-early"
    assert read_after(millis(opens), tmp_path) is None


@pytest.mark.parametrize(
    ("opens", "closes"), [each for each in WINDOWS if each.values[1] != NO_LIMIT]
)
def test_a_published_window_is_kept_at_its_close(opens: str, closes: str, tmp_path: Path) -> None:
    """The stated last minute counts, one millisecond after it does not."""
    own_assay(opens, closes, tmp_path)

    assert read_after(millis(closes), tmp_path) is None
    assert read_after(millis(closes) + 1, tmp_path) == "window-closed"


# The malaria job aid states no upper limit.
def test_a_window_with_no_stated_close_never_lapses(tmp_path: Path) -> None:
    """What the instructions do not limit is not limited here, and the run still ends."""
    own_assay("20:00", NO_LIMIT, tmp_path)

    report = Story(assay=OWN).on_the_well().play(tmp_path)

    assert alerts(report)[-1] == (1320.0, "read-now")
    assert cartridge(report)["stage"] == "read-window"


# The hCG cassette: the reason its page gives for the 8 minutes is a weak line that comes late.
def test_a_faint_line_after_eight_minutes_is_never_a_positive(tmp_path: Path) -> None:
    """Here a late line would be taken for a pregnancy."""
    own_assay("5:00", "8:00", tmp_path)
    story = Story(assay=OWN).on_the_well().read("10:00.001", test="faint")

    report = story.play(tmp_path)

    assert last_refusal(report) == "window-closed"
    assert cartridge(report)["outcome"] == "invalid"


# Instruction page for a urine hCG strip: "5 minutes", and not after 5 minutes.
def test_a_window_of_no_width_is_refused_in_a_clear_sentence(tmp_path: Path) -> None:
    """Nobody can confirm a reading within one millisecond, so the site must decide."""
    file = own_assay("5:00", "5:00", tmp_path)

    with pytest.raises(WrongFileError) as refused:
        read_assay(file)

    assert "reading.closes = 5:00: a reading at one single instant cannot be kept" in str(
        refused.value
    )


# Group A strep dipstick, public teaching site: the swab stands one minute in extraction fluid,
# then the strip is read at five minutes. Two waits, one after the other.
@pytest.mark.parametrize(
    ("at", "refusal"),
    [
        pytest.param("00:59.999", "wait-not-over", id="short of a minute"),
        pytest.param("01:00", None, id="one minute"),
    ],
)
def test_an_extraction_of_one_minute_goes_before_the_window(
    at: str, refusal: str | None, tmp_path: Path
) -> None:
    """Each wait has a clock of its own, and the second begins with the drops."""
    own_assay("5:00", "10:00", tmp_path)

    report = Story(assay=OWN).in_buffer().step(at, "withdraw").play(tmp_path)

    assert last_refusal(report) == refusal


# UK self-test leaflet, as reproduced by a shop: use at 15 to 30 C, store at 2 to 30 C.
def test_the_bundled_assays_carry_the_published_temperatures() -> None:
    """Too cold a strip runs slowly, and its window no longer means what it says."""
    folder = resources.files("readbell.assays")
    for name in ("respiratory-antigen-nasal.toml", "respiratory-antigen-three-lines.toml"):
        text = folder.joinpath(name).read_text("utf-8")

        assert "storage = [2, 30]" in text
        assert "running = [15, 30]" in text
