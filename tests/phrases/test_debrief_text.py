"""A debrief in lines: every mistake a sentence, every state a sign, in eighty columns."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from builders import START
from core.rehearsal.test_passing import attempt
from readbell.core.practice.assist import Assist
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.attempt import figures_of
from readbell.core.rehearsal.passing import Lacking, Lacks
from readbell.core.rehearsal.practise import Practise
from readbell.core.rehearsal.scenario import Difficulty
from readbell.core.rehearsal.score_marks import Area, Mistake, Slip
from readbell.core.rehearsal.score_safety import AREAS
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.counted import counted
from readbell.phrases.debrief_text import debrief_lines, pass_lines
from readbell.phrases.debrief_words import (
    DIFFICULTIES,
    PRACTISE,
    say_lacking,
    say_mistake,
)
from readbell.phrases.practice_words import ASSISTS
from readbell.phrases.time_line import time_line
from readbell.phrases.trend_text import HELP as HELP_SHORT
from readbell.phrases.trend_text import trend_lines
from rehearsal.scored import scored, scored_file

if TYPE_CHECKING:
    from readbell.core.rehearsal.score import Score

DEMOS = Path(__file__).parents[2] / "demo_scenarios"
FACE = ClockFace(zone=UTC)


@pytest.fixture(scope="module")
def missed(tmp_path_factory: pytest.TempPathFactory) -> Score:
    """An attempt in which a window was lost."""
    return scored_file(DEMOS / "missed_window.toml", tmp_path_factory.mktemp("missed"))


@pytest.fixture(scope="module")
def worst(tmp_path_factory: pytest.TempPathFactory) -> Score:
    """An attempt with everything in it."""
    return scored_file(DEMOS / "the_worst_hour.toml", tmp_path_factory.mktemp("worst"))


def mistake(code: str, area: Area = Area.TIMING, *, refused: bool = False) -> Mistake:
    """Return a mistake with every figure."""
    return Mistake(
        at=START, area=area, code=code, refused=refused, cartridge="C7", line="t", number=3
    )


@pytest.mark.parametrize("slip", list(Slip))
def test_every_slip_is_a_sentence(slip: Slip) -> None:
    """With nothing left to be filled in."""
    said = say_mistake(mistake(slip))

    assert said.endswith(".")
    assert "{" not in said


@pytest.mark.parametrize("code", sorted({*AREAS, RefusalCode.NOT_ALLOWED}))
def test_every_refusal_that_is_a_mistake_is_a_sentence_that_says_so(code: RefusalCode) -> None:
    """Whoever reads it knows that nothing came of it."""
    said = say_mistake(mistake(code, refused=True))

    assert said.endswith(". Refused.")
    assert "{" not in said


@pytest.mark.parametrize("what", list(Lacks))
def test_everything_that_may_be_lacking_is_said_with_its_figures(what: Lacks) -> None:
    """What was found, and what is asked."""
    said = say_lacking(Lacking(what=what, attempt=2, found=1, asked=3))

    assert "{" not in said
    assert "2" in said or ("1" in said and "3" in said)


def test_everything_to_practise_and_every_level_has_words() -> None:
    """A code that is added later must not end a debrief."""
    assert set(PRACTISE) == set(Practise)
    assert set(ASSISTS) == {*Assist, None}
    assert set(DIFFICULTIES) == set(Difficulty)


def test_numbers_go_with_their_words() -> None:
    """One person, two people."""
    assert counted(1, "person", "people") == "1 person"
    assert counted(2, "person", "people") == "2 people"
    assert counted(0, "strip") == "0 strips"


def test_a_lost_window_is_told_with_what_was_done_meanwhile(missed: Score) -> None:
    """Nobody did anything: that is said, too."""
    lines = debrief_lines(missed, FACE)
    at = lines.index("While a window was lost")

    assert lines[at + 1].strip() == (
        "C1 was to be read from 13:50:30 to 13:55:30. Meanwhile nobody did anything."
    )
    assert any("The window of C1 closed, and nobody had read it." in each for each in lines)


def test_who_did_what_meanwhile_is_named_and_no_more_than_six(missed: Score) -> None:
    """Seven things are six and one more."""
    lane = missed.lanes[0]
    assert lane.opens is not None
    acts = tuple(("op-1", lane.opens, f"C{n}", "buffer") for n in range(2, 9))
    said = " ".join(" ".join(debrief_lines(replace(missed, acts=acts), FACE)).split())

    assert "Meanwhile: 13:50:30 op-1 buffer C2, 13:50:30 op-1 buffer C3," in said
    assert "and 1 more." in said


@pytest.mark.parametrize("wide", [60, 80, 120, 200])
def test_a_debrief_keeps_within_its_columns(worst: Score, wide: int) -> None:
    """On a narrow terminal and on a wide one; the table of times takes eighty."""
    lines = debrief_lines(worst, FACE, wide)

    assert max(map(len, lines)) <= max(wide, 80)
    assert all(len(each) <= wide for each in time_line(worst, wide))


def test_the_time_line_tells_every_state_by_its_sign(worst: Score, missed: Score) -> None:
    """Without any colour."""
    rows = {each.split()[0]: each for each in time_line(worst, 120) if each.strip()}
    lost = {each.split()[0]: each for each in time_line(missed, 120) if each.strip()}

    assert "v" in rows["C5"]
    assert "~" in rows["HQ-S02"]
    assert [sign for sign in "?ac?z" if sign in rows["calls"]] == list("?ac?z")
    assert "X" in lost["C1"]
    assert "R" in lost["C2"]


def test_an_early_positive_stands_on_the_time_line(tmp_path: Path) -> None:
    """Between the drops and the window."""
    score = scored_file(DEMOS / "household_of_six.toml", tmp_path)
    row = next(each for each in time_line(score, 100) if each.startswith("C3"))

    assert row.index("D") < row.index("e") < row.index("=") < row.index("R")


def test_a_cartridge_that_never_had_its_drops_is_a_row_all_the_same(tmp_path: Path) -> None:
    """It was begun, and left lying."""
    text = (DEMOS / "gloves.toml").read_text(encoding="utf-8")
    keep = [each for each in text.splitlines() if "C2" not in each or '"label"' in each]
    score = scored("\n".join(keep), tmp_path)
    row = next(each for each in time_line(score, 80) if each.startswith("C2"))

    assert "L" in row
    assert "D" not in row


def test_where_nothing_was_done_little_is_said(missed: Score) -> None:
    """An attempt that was left at once."""
    empty = replace(
        missed, lanes=(), acts=(), mistakes=(), practise=(), operators=(), times=(), goal=""
    )
    empty = replace(empty, readings=replace(empty.readings, judged=(), strips=0))
    lines = debrief_lines(replace(empty, pace=replace(empty.pace, best=None, should=())), FACE)

    assert "  nothing that the record can tell" in lines
    assert "Time line" not in lines
    assert any("Try a harder scenario." in each for each in lines)


@pytest.mark.parametrize(
    ("score", "said"),
    [
        pytest.param(attempt(), "none differs, so no interval can be told", id="all right"),
        pytest.param(attempt(wrong=2), "95 % interval", id="two wrong"),
        pytest.param(attempt(strips=1), "not from 1 strip: it takes 20", id="one strip"),
    ],
)
def test_kappa_says_how_sure_it_is(score: Score, said: str) -> None:
    """Or that it cannot be told."""
    assert said in " ".join(" ".join(debrief_lines(score, FACE)).split())


def test_kappa_says_nothing_of_strips_that_are_all_alike() -> None:
    """Chance alone would agree."""
    found = attempt(strips=40)
    alike = tuple(each for each in found.readings.judged if each.truth == "negative")
    found = replace(found, readings=replace(found.readings, judged=alike))

    assert "says nothing where all is of one kind" in "\n".join(debrief_lines(found, FACE))


def test_what_was_stated_and_who_practised_stand_in_the_debrief(missed: Score) -> None:
    """A name only if it was said."""
    lines = debrief_lines(replace(missed, trainee="Mo", assist=Assist.SILENT, stated=1), FACE)

    assert lines[1] == "Mo, without help, as an examination, easy"
    assert any("1 step: stated, not timed" in each for each in lines)


def test_a_trend_of_one_attempt_says_nothing_of_change() -> None:
    """It takes two."""
    one = figures_of(attempt(), trainee="Mo", scenario="a", head="b")

    assert not any("to the last" in each for each in trend_lines([one]))
    assert any("to the last" in each for each in trend_lines([one, one]))


@pytest.mark.parametrize(
    ("lacks", "said"),
    [
        pytest.param(None, "This site has no pass rule", id="no rule"),
        pytest.param((), "It clears nobody by itself", id="passed"),
        pytest.param(
            (Lacking(what=Lacks.HELP, attempt=1, found=2, asked=0),),
            "- attempt 1 had more help than it allows",
            id="not passed",
        ),
    ],
)
def test_the_pass_rule_is_told_in_any_case(lacks: tuple[Lacking, ...] | None, said: str) -> None:
    """Met, not met, or none."""
    assert said in " ".join(pass_lines(lacks))


@pytest.mark.parametrize("assist", [*Assist, None])
def test_a_trend_says_whose_it_is_and_with_how_much_help(assist: Assist | None) -> None:
    """An examination passed is more than the same with full help."""
    one = figures_of(replace(attempt(), assist=assist), trainee="Mo", scenario="a", head="b")
    title, head, row, *_ = trend_lines([one])

    assert title == "Trend of 1 attempt of Mo, the oldest first"
    begins = head.index("help")
    assert row[: begins + 4].split()[-1] == ("-" if assist is None else HELP_SHORT[assist])
    assert all(len(each) <= 80 for each in trend_lines([one, one]))


def test_what_went_wrong_several_times_is_said_once(worst: Score) -> None:
    """Six who were not tested are six, and one line."""
    alike = tuple(mistake(Slip.NOT_TESTED, Area.SAFETY) for _ in range(6))
    said = "\n".join(debrief_lines(replace(worst, mistakes=alike), FACE))

    assert said.count("was not tested.") == 1
    assert "was not tested. (6 times)" in said


def test_where_no_strip_was_read_no_time_to_the_last_reading_is_told(worst: Score) -> None:
    """Whoever left after three minutes was not faster than the best plan."""
    unread = tuple(replace(each, read=None) for each in worst.lanes)
    said = "\n".join(debrief_lines(replace(worst, lanes=unread), FACE))

    assert "Time to the last reading    no strip was read" in said
