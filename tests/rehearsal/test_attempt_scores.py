"""Attempts with a person at the keys are scored, and score the same when they are played again."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

import pytest

from readbell.cli.attempts_read import score_attempts
from readbell.core.practice.assist import Assist
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.score_marks import Slip
from readbell.core.rehearsal.score_safety import AREAS
from readbell.hand.given import Steer, Steered
from readbell.phrases.debrief_text import debrief_lines
from readbell.rehearsals import rehearse
from rehearsal.attempts import CLEAR, FAINT, HEAD, Sitting, person
from rehearsal.oracle import play
from rehearsal.playing import report_of
from rehearsal.random_scenarios import CUSTOM, CUSTOM_ID, scenario
from rehearsal.test_against_the_oracle import three_lines_seen_early
from rehearsal.test_played_again import SECOND, whole_visit

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.core.rehearsal.score import Score

QUESTION = '[[interruption]]\nat = "0:05"\nkind = "question"\nsays = "Well?"\nanswer = "yes"\n'
LATE = person("P-003", "2:00:00")
TWO = HEAD + person("P-001", bands=FAINT) + person("P-002", bands=CLEAR) + LATE + QUESTION


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of these bays may land in the folders of whoever runs the tests."""
    for name in ("STATE", "CACHE", "CONFIG", "DATA"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name))


@pytest.fixture
def sitting(tmp_path: Path) -> Sitting:
    """An attempt with mistakes made on purpose, left before everybody was tested."""
    file = tmp_path / "day.toml"
    file.write_text(TWO, "utf-8")
    sitting = Sitting(file, tmp_path / "first.journal", Assist.SILENT, trainee="Quillfeather")
    sitting.give(Steered(Steer.SPEED))
    for seconds, given_then in whole_visit():
        sitting.at(seconds * SECOND, *given_then)
    sitting.leave()
    return sitting


def scored(journal: Path) -> Score:
    """Return the score of the attempt in `journal`, its scenario beside it."""
    (found,) = score_attempts([journal], [journal.parent])
    return found.score


def test_each_mistake_that_was_made_at_the_keys_is_found(sitting: Sitting) -> None:
    """Refused ones, the wrong reading, who was left; nobody who had not come yet."""
    score = scored(sitting.journal)

    assert [(each.code, each.refused) for each in score.mistakes] == [
        (Slip.NO_ANSWER, False),
        (RefusalCode.WAIT_NOT_OVER, True),
        (RefusalCode.WRONG_PERSON, True),
        (Slip.FALSE_NEGATIVE, False),
        (Slip.NOT_TESTED, False),
    ]
    assert (score.assist, score.trainee) == (Assist.SILENT, "Quillfeather")
    assert "Quillfeather" not in repr(score)


def test_an_attempt_that_is_played_again_has_the_same_debrief(
    sitting: Sitting, tmp_path: Path
) -> None:
    """Line by line: same file, same keys, same score."""
    nothing, second = lambda *_: None, tmp_path / "second.journal"
    asyncio.run(rehearse(sitting.script, second, None, nothing, nothing, practised=sitting.journal))
    first, again = scored(sitting.journal), scored(second)

    assert debrief_lines(first, sitting.script.face) == debrief_lines(again, sitting.script.face)
    assert first.mistakes == again.mistakes


def test_what_was_left_running_is_told(tmp_path: Path) -> None:
    """Whoever leaves a bay leaves its clocks to somebody."""
    file = tmp_path / "day.toml"
    file.write_text(TWO, "utf-8")
    sitting = Sitting(file, tmp_path / "first.journal")
    sitting.give(Steered(Steer.SPEED))
    for seconds, given_then in list(whole_visit())[:2]:
        sitting.at(seconds * SECOND, *given_then)
    sitting.leave()

    assert Slip.LEFT_RUNNING in [each.code for each in scored(sitting.journal).mistakes]


@pytest.mark.parametrize("seed", range(1, 25))
def test_the_counts_of_a_score_are_those_of_the_oracle(seed: int, tmp_path: Path) -> None:
    """A second implementation says what was lost, read and refused; random days, borders and all."""
    (tmp_path / CUSTOM_ID).write_text(three_lines_seen_early(), encoding="utf-8")
    file, journal = tmp_path / "day.toml", tmp_path / "day.journal"
    file.write_text(scenario(seed), encoding="utf-8")
    report_of(file, journal)
    (found,) = score_attempts([journal], [file])
    score, wanted = found.score, play(scenario(seed), CUSTOM)
    stages = [each["stage"] for each in wanted["cartridges"]]
    refused = [each["refusal"] for each in wanted["acts"] if not each["accepted"]]
    counted = [each.code for each in score.mistakes if each.refused and each.code in AREAS]

    assert score.windows_lost == stages.count("lapsed")
    assert score.readings.strips == stages.count("read")
    assert score.windows.of == stages.count("lapsed") + stages.count("read")
    assert sorted(counted) == sorted(each for each in refused if each in AREAS)
    assert sum(map(sum, score.readings.table())) == score.readings.right.of
    assert score.cartridges == len(stages)
