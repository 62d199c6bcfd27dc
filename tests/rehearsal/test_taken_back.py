"""A press that was a mistake is taken back in a scenario: the true drops count, and nobody is scored for it."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

import pytest

from readbell.core.rehearsal.score_marks import Slip
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.debrief_text import debrief_lines
from readbell.toml_tables import WrongFileError
from rehearsal.scored import scored
from rehearsal.story import Story, alerts, cartridge, last_refusal

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.core.rehearsal.score import Score

FACE = ClockFace(zone=UTC)
LEFT = '[[interruption]]\nat = "0:01"\nkind = "car-leaves"\nsays = "Go."\npersons = ["P-002"]\n'
"""The second person of a story, who is not tested in it."""


def slipped() -> Story:
    """The drops pressed at 2:00, taken back at 2:10, and done at 2:40."""
    return (
        Story()
        .on_the_well()
        .act("02:10", "take-back-step", step="apply", reason="pressed-too-early")
        .step("02:40", "apply")
    )


def test_the_window_is_that_of_the_true_drops(tmp_path: Path) -> None:
    """And so are all its alerts: nothing is left of the first ones."""
    report = slipped().read("17:39.999").read("17:40").play(tmp_path)
    found = cartridge(report)

    assert [each["refusal"] for each in report["acts"][-2:]] == ["too-early", None]
    assert (found["applied_s"], found["read_s"], found["elapsed_s"]) == (160.0, 1060.0, 900.0)
    assert alerts(report) == [(60.0, "wait-over"), (280.0, "early-look")]


def test_a_development_that_was_called_out_is_called_out_anew(tmp_path: Path) -> None:
    """Taken back in the open window, the strip is called again a quarter of an hour after its drops."""
    report = (
        Story()
        .on_the_well()
        .act("18:00", "take-back-step", step="apply", reason="not-done")
        .step("18:30", "apply")
        .read("33:31")
        .play(tmp_path)
    )

    assert [kind for at, kind in alerts(report)] == [
        "wait-over",
        "early-look",
        "read-now",
        "early-look",
        "read-now",
    ]
    assert alerts(report)[-1] == (2010.0, "read-now")


def test_a_wait_that_runs_on_is_called_overdue_late_and_strays_by_its_own_time(
    tmp_path: Path,
) -> None:
    """The swab stood in its buffer all the while."""
    report = (
        Story()
        .in_buffer()
        .step("01:30", "withdraw")
        .act("04:00", "take-back-step", step="withdraw", reason="another-cartridge")
        .step("04:30", "withdraw")
        .step("05:00", "apply")
        .play(tmp_path)
    )

    assert (240.0, "overdue") in alerts(report)
    assert cartridge(report)["deviations"] == [{"code": "extract-long", "seconds": 270.0}]


@pytest.mark.parametrize(
    ("at", "refusal"),
    [("22:00", None), ("22:00.001", "already-ended")],
)
def test_drops_are_taken_back_to_the_last_instant_of_their_window(
    at: str, refusal: str | None, tmp_path: Path
) -> None:
    """Both borders belong to it."""
    story = Story().on_the_well().act(at, "take-back-step", step="apply", reason="not-done")

    assert last_refusal(story.play(tmp_path)) == refusal


def test_the_act_is_said_in_whole_words(tmp_path: Path) -> None:
    """As every other one."""
    report = slipped().play(tmp_path)
    (said,) = [each["says"] for each in report["acts"] if "taken back" in each["says"]]

    assert said == (
        "C1  Drops onto the well, confirmed 09:02:00: taken back, pressed too early. "
        "Confirm it once it is done."
    )


def test_never_done_again_it_ends_in_the_stage_it_was_in(tmp_path: Path) -> None:
    """No window, no outcome."""
    story = Story().on_the_well().act("02:10", "take-back-step", step="apply", reason="other")
    found = cartridge(story.play(tmp_path))

    assert (found["stage"], found["outcome"], found["applied_s"]) == ("extracting", None, None)


def test_the_record_is_whole_and_has_both(tmp_path: Path) -> None:
    """What was pressed, that it was taken back, and what was done."""
    journal = tmp_path / "kept.journal"
    slipped().read("17:40").play(tmp_path, journal)
    opened = SqliteJournal.open(journal, read_only=True)
    try:
        board = verify(opened).board
        bodies = [each.body for each in opened.records()]
    finally:
        opened.close()

    assert sum('"kind":"step-taken-back"' in each for each in bodies) == 1
    assert sum('"step":"apply"' in each and '"kind":"step-done"' in each for each in bodies) == 2
    found = board.labelled("C1")
    assert found is not None
    assert [each.event.steps for each in found.taken_back] == [("apply",)]


def score_of(story: Story, folder: Path, more: str = "") -> Score:
    """What a story comes to."""
    return scored(f"{story.text()}{LEFT}{more}", folder)


def test_a_slip_that_was_mended_is_no_mistake(tmp_path: Path) -> None:
    """Nothing went through, nothing was late, and no step is told that was not done."""
    score = score_of(slipped().read("17:40"), tmp_path)
    without = score_of(
        Story().in_buffer().step("01:30", "withdraw").step("02:40", "apply").read("17:40"), tmp_path
    )

    assert score.mistakes == without.mistakes
    assert (score.times, score.lanes, score.acts) == (without.times, without.lanes, without.acts)
    assert (score.accepted, score.made_sure) == (without.accepted, without.made_sure)
    assert score.practise == without.practise
    assert (score.taken_back, without.taken_back) == (1, 0)


def test_how_often_something_was_taken_back_is_said_beside_the_score(tmp_path: Path) -> None:
    """Once, and only where it was."""
    said = "\n".join(debrief_lines(score_of(slipped().read("17:40"), tmp_path), FACE))

    assert "Taken back" in said
    assert "1 press: not done, and mended" in said
    plain = score_of(Story().on_the_well().read("17:00"), tmp_path)
    assert "Taken back" not in "\n".join(debrief_lines(plain, FACE))


def test_a_wrong_press_while_called_away_is_no_work_while_away(tmp_path: Path) -> None:
    """What was not done was not done while they were away, either."""
    away = (
        '[[interruption]]\nat = "1:31"\nkind = "called-away"\nsays = "Come."\noperator = "op-1"\n'
        'until = "2:20"\n'
    )
    pressed = score_of(Story().on_the_well(applied="02:15").read("17:15"), tmp_path, away)
    mended = score_of(
        Story()
        .on_the_well(applied="02:15")
        .act("02:30", "take-back-step", step="apply", reason="not-done")
        .step("03:00", "apply")
        .read("18:00"),
        tmp_path,
        away,
    )

    assert Slip.ACTED_WHILE_AWAY in {each.code for each in pressed.mistakes}
    assert Slip.ACTED_WHILE_AWAY not in {each.code for each in mended.mistakes}


def test_taking_back_what_is_not_last_is_refused_and_no_mistake_at_the_bench(
    tmp_path: Path,
) -> None:
    """A slip over a slip harms nobody; another device in the hand is told."""
    story = slipped().act("02:50", "take-back-step", step="withdraw", reason="other").read("17:40")
    wrong = (
        slipped()
        .act("02:50", "take-back-step", step="apply", reason="other", scanned="C9")
        .read("17:40")
    )

    assert score_of(story, tmp_path).mistakes == ()
    assert [each.code for each in score_of(wrong, tmp_path).mistakes] == ["wrong-cartridge"]


def test_a_step_that_the_assay_does_not_list_is_a_fault_of_the_scenario(tmp_path: Path) -> None:
    """As with a step that is done."""
    story = Story().on_the_well().act("02:10", "take-back-step", step="dry", reason="other")
    with pytest.raises(WrongFileError, match=r"the assay has no such step: use label, buffer"):
        story.play(tmp_path)
