"""What is entered after the fact, and what a positive seen early leads to, played to the end."""

from __future__ import annotations

import subprocess
import sys
from importlib import resources
from typing import TYPE_CHECKING, Any

import pytest

from patience import PATIENCE_SECONDS
from rehearsal.story import THREE_LINES, Story, alerts, cartridge, last_refusal

if TYPE_CHECKING:
    from pathlib import Path

SEEN_EARLY = "seen-early.toml"


def withdrawn() -> Story:
    """Return a story in which only the drops are still to be entered."""
    return Story().in_buffer().step("01:30", "withdraw")


@pytest.fixture
def three_lines(tmp_path: Path) -> Story:
    """Return a cartridge on the well, of three lines and with leave for an early look."""
    bundled = resources.files("readbell.assays").joinpath(f"{THREE_LINES}.toml").read_text("utf-8")
    allowed = bundled.replace("[reading]\n", '[reading]\nearly_from = "2:00"\n')
    tmp_path.joinpath(SEEN_EARLY).write_text(allowed, encoding="utf-8")
    return Story(assay=SEEN_EARLY).on_the_well()


def lines(a: str, b: str, t: str) -> dict[str, str]:
    """Return what the three lines show, in the order of the device."""
    return {"influenza-a": a, "influenza-b": b, "sars-cov-2": t}


@pytest.mark.parametrize(
    ("at", "refusal"),
    [
        pytest.param("17:59.999", "too-early", id="before the latest opening"),
        pytest.param("18:00", None, id="at the latest opening"),
        pytest.param("22:00", None, id="at the earliest close"),
        pytest.param("22:00.001", "window-closed", id="after the earliest close"),
    ],
)
def test_doubt_about_the_drops_narrows_the_window_from_both_ends(
    at: str, refusal: str | None, tmp_path: Path
) -> None:
    """Drops at 2:30 give or take 30 s: open from 18:00 by the latest, to 22:00 by the earliest."""
    story = withdrawn().step("05:00", "apply", done_at="02:30", give_or_take=30)

    report = story.read(at).play(tmp_path)

    assert last_refusal(report) == refusal


def test_times_count_from_the_stated_instant(tmp_path: Path) -> None:
    """What the operator states is the best guess, so figures are reckoned from it."""
    story = withdrawn().step("05:00", "apply", done_at="02:30", give_or_take=30)

    report = story.read("18:00").play(tmp_path)

    assert (cartridge(report)["applied_s"], cartridge(report)["elapsed_s"]) == (150.0, 930.0)


def test_a_narrowed_window_never_closes_before_it_opens(tmp_path: Path) -> None:
    """The warning may be longer than what is left, yet nobody is hurried before the opening."""
    story = withdrawn().step("08:00", "apply", done_at="05:00", give_or_take=120)

    report = story.play(tmp_path)

    assert alerts(report)[-3:] == [
        (1320.0, "read-now"),
        (1320.0, "closing"),
        (1380.001, "lapsed"),
    ]


@pytest.mark.parametrize(
    ("doubt", "stage"),
    [
        pytest.param(150, "lapsed", id="one instant is left"),
        pytest.param(150.001, "void", id="nothing is left"),
    ],
)
def test_a_cartridge_with_no_instant_left_to_read_it_is_void(
    doubt: float, stage: str, tmp_path: Path
) -> None:
    """Better a fresh cartridge than a reading that may have been early and late at once."""
    story = withdrawn().step("10:00", "apply", done_at="05:00", give_or_take=doubt)

    report = story.play(tmp_path)

    assert cartridge(report)["stage"] == stage


@pytest.mark.parametrize(
    ("done_at", "refusal"),
    [
        pytest.param("01:29.999", "out-of-order", id="before the last act"),
        pytest.param("01:30", None, id="at the last act"),
        pytest.param("05:00", None, id="as it is entered"),
        pytest.param("05:00.001", "not-allowed", id="still to come"),
    ],
)
def test_a_stated_time_lies_between_the_last_act_and_now(
    done_at: str, refusal: str | None, tmp_path: Path
) -> None:
    """Nobody drops a specimen before the swab is out, or in the future."""
    report = withdrawn().step("05:00", "apply", done_at=done_at).play(tmp_path)

    assert last_refusal(report) == refusal


def test_a_wait_that_may_have_been_short_counts_as_short(tmp_path: Path) -> None:
    """Stated at 1:10 give or take 10.001 s, the swab may have stood a millisecond too short."""
    story = Story().in_buffer()

    report = story.step("03:00", "withdraw", done_at="01:10", give_or_take=10.001).play(tmp_path)

    assert last_refusal(report) == "wait-not-over"


def test_a_run_ends_although_its_last_act_states_a_time_long_past(tmp_path: Path) -> None:
    """Deadlines that were past as they came into being are announced, and then nothing pends."""
    story = Story().label("00:00").step("00:00", "buffer").step("00:00", "collect")
    file = tmp_path / "story.toml"
    file.write_text(story.step("10:00", "extract", done_at="01:00").text(), encoding="utf-8")

    ended = subprocess.run(
        [sys.executable, "-m", "readbell", "rehearse", str(file), "--unattended", "--json"],
        capture_output=True,
        timeout=PATIENCE_SECONDS,
        check=False,
    )

    assert ended.returncode == 0


@pytest.mark.parametrize(
    ("seen", "outcome"),
    [
        pytest.param({"test": "faint"}, "positive", id="the line is still there"),
        pytest.param({"test": "absent"}, "withheld", id="the line is gone"),
        pytest.param(
            {"control": False, "test": "faint"}, "withheld", id="the control line is gone"
        ),
    ],
)
def test_the_window_reading_confirms_an_early_positive_or_contradicts_it(
    seen: dict[str, Any], outcome: str, tmp_path: Path
) -> None:
    """Two looks at one strip that disagree give no result, and nobody may pick one."""
    report = Story().on_the_well().look("06:00").read("18:00", **seen).play(tmp_path)

    assert cartridge(report)["outcome"] == outcome
    assert cartridge(report)["early_positive_s"] == 240.0


def test_an_early_positive_never_read_again_stands(tmp_path: Path) -> None:
    """It was valid when seen; the window that nobody came to takes nothing back."""
    report = Story().on_the_well().look("06:00").play(tmp_path)

    assert (cartridge(report)["stage"], cartridge(report)["outcome"]) == ("lapsed", "positive")
    assert [kind for _, kind in alerts(report)][-3:] == ["read-now", "closing", "lapsed"]


def test_a_cartridge_with_an_early_positive_is_not_voided(tmp_path: Path) -> None:
    """A result that somebody may already act on is withdrawn by a supervisor, not wiped away."""
    report = Story().on_the_well().look("06:00").act("07:00", "void").play(tmp_path)

    assert last_refusal(report) == "not-allowed"
    assert cartridge(report)["outcome"] == "positive"


def test_a_cartridge_without_one_is_voided_and_raises_no_more_alerts(tmp_path: Path) -> None:
    """A dropped cartridge calls nobody."""
    report = Story().on_the_well().act("07:00", "void", reason="dropped").play(tmp_path)

    assert (cartridge(report)["stage"], cartridge(report)["outcome"]) == ("void", None)
    assert [kind for _, kind in alerts(report)] == ["wait-over", "early-look"]


def test_one_early_line_of_three_that_is_gone_withholds_the_cartridge(
    three_lines: Story, tmp_path: Path
) -> None:
    """The line that was contradicted is withheld, the others keep what the window showed."""
    story = three_lines.look("06:00", test=lines("absent", "clear", "absent"))

    report = story.read("18:00", test=lines("absent", "absent", "faint")).play(tmp_path)

    assert cartridge(report)["outcome"] == "withheld"
    assert cartridge(report)["analytes"] == {
        "influenza-a": "negative",
        "influenza-b": "withheld",
        "sars-cov-2": "positive",
    }


def test_one_early_line_of_three_never_read_again_leaves_the_others_invalid(
    three_lines: Story, tmp_path: Path
) -> None:
    """An early look settles only the line that shows."""
    report = three_lines.look("06:00", test=lines("faint", "absent", "absent")).play(tmp_path)

    assert cartridge(report)["outcome"] == "positive"
    assert cartridge(report)["analytes"] == {
        "influenza-a": "positive",
        "influenza-b": "invalid",
        "sars-cov-2": "invalid",
    }


def test_a_bundled_assay_without_leave_takes_no_early_look(tmp_path: Path) -> None:
    """Only the instructions of a kit can allow it, so by default it is refused and not called for."""
    story = Story(assay=THREE_LINES).on_the_well()

    report = story.look("06:00", test=lines("clear", "absent", "absent")).play(tmp_path)

    assert last_refusal(report) == "not-allowed"
    assert "early-look" not in [kind for _, kind in alerts(report)]
