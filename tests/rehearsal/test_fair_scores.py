"""A score is fair: what was right is no mistake, what was wrong is none the less, and each says what was right."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

import pytest

from readbell.cli.attempts_read import score_attempts
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.passing import Lacks, PassRule, lacking
from readbell.core.rehearsal.practise import Practise
from readbell.core.rehearsal.score_marks import Area, Slip
from readbell.core.rehearsal.unfinished import Unfinished
from readbell.hand.given import Key, Pressed, Scanned, Steer, Steered
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.debrief_right import say_right
from readbell.phrases.debrief_text import debrief_lines
from readbell.phrases.debrief_words import say_mistake
from readbell.reports.debrief_report import debrief_report
from rehearsal.attempts import FAINT, HEAD, Sitting, person
from rehearsal.scored import scored
from rehearsal.story import Story

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from readbell.core.rehearsal.score import Score

FACE = ClockFace(zone=UTC)
LEFT = '[[interruption]]\nat = "0:01"\nkind = "car-leaves"\nsays = "Go."\npersons = ["P-002"]\n'
"""The second person of a story, who is not tested in it."""
LINE = '[[cartridge]]\nid = "C1"\n[cartridge.bands]\n{0}\n'
SWAPPED = '[[flaw]]\ncartridge = "C1"\nkind = "label-swapped"\nother = "C2"\n'


@pytest.fixture
def play(tmp_path: Path) -> Callable[[str], Score]:
    """Return what plays a text and scores it."""
    return lambda text: scored(text, tmp_path)


def codes(score: Score) -> list[str]:
    """Return the code of each mistake."""
    return [each.code for each in score.mistakes]


def rights(score: Score) -> list[str | None]:
    """Return what is said to have been right, for each mistake."""
    return [say_right(each, FACE) for each in score.mistakes]


def test_somebody_begun_under_an_id_that_nobody_bears_is_the_gravest_mistake(
    tmp_path: Path,
) -> None:
    """Nothing stops a wrong ID: the program takes it for a new person, and the record lies."""
    file = tmp_path / "day.toml"
    file.write_text(HEAD + person("P-001", bands=FAINT), "utf-8")
    sitting = Sitting(file, tmp_path / "first.journal")
    sitting.give(Steered(Steer.SPEED), Scanned("L-100"), Pressed(Key.START), Scanned("P-010"))
    sitting.at(30_000, Pressed(Key.START))
    sitting.at(60_000, Pressed(Key.START))
    sitting.leave()
    (found,) = score_attempts([sitting.journal], [file])
    (first, *_) = found.score.mistakes

    assert (first.code, first.area, first.refused) == (Slip.NOBODYS_ID, Area.IDENTITY, False)
    assert found.score.practise[0] is Practise.IDENTITY
    assert "P-010" not in say_mistake(first)
    assert "P-001 came, and was not tested." in [say_mistake(each) for each in found.score.mistakes]


def test_a_cartridge_under_a_wrong_id_that_is_given_up_is_a_slip_put_right(
    tmp_path: Path,
) -> None:
    """Whoever sees it and begins anew has done what there was to do."""
    file = tmp_path / "day.toml"
    file.write_text(HEAD + person("P-001", bands=FAINT), "utf-8")
    sitting = Sitting(file, tmp_path / "first.journal")
    sitting.give(Steered(Steer.SPEED), Scanned("L-100"), Pressed(Key.START), Scanned("P-010"))
    sitting.at(30_000, Pressed(Key.START))
    sitting.at(60_000, Pressed(Key.START))
    sitting.at(90_000, Pressed(Key.VOID), Scanned("C01"), Pressed(Key.DOWN))
    sitting.at(95_000, Pressed(Key.VOID))
    sitting.leave()
    (found,) = score_attempts([sitting.journal], [file])

    assert found.score.lanes[0].voided is not None
    assert codes(found.score) == [Slip.NOT_TESTED]


def test_a_line_taken_early_that_was_not_there_counts_against_the_pass_rule(
    play: Callable[[str], Score],
) -> None:
    """Somebody would have been told that they are positive: no rule may pass over that."""
    story = Story().on_the_well("C1").look("08:00").read("17:30", test="faint").text()
    score = play(story + LINE.format('test = { from = "10:00" }') + LEFT)
    asked = PassRule(least_strips=0, readings_right=95)

    assert codes(score) == [Slip.EARLY_FALSE_POSITIVE]
    assert (score.looks.taken, score.looks.wrong) == (0, 1)
    assert (score.readings.early.right, score.readings.early.of) == (0, 1)
    assert (score.readings.right.right, score.readings.right.of) == (1, 1)
    assert Lacks.READINGS in [each.what for each in lacking([score], asked)]
    assert rights(score) == [
        (
            "Right: the control line was there, and there was no line at T (SARS-CoV-2 antigen). Enter "
            "nothing early, and read it from 09:17:00 to 09:22:00. The line came 10:00 after the drops."
        )
    ]


def test_a_line_taken_early_without_a_control_line_is_told_as_that(
    play: Callable[[str], Score],
) -> None:
    """The line was there; what was wrong is that nothing vouched for it yet."""
    story = Story().on_the_well("C1").look("05:00").read("17:30", test="clear").text()
    score = play(
        story + LINE.format('control = "8:00"\ntest = { from = "2:00", strength = "clear" }') + LEFT
    )

    assert codes(score) == [Slip.EARLY_NO_CONTROL]
    assert score.practise == (Practise.CONTROL_LINE,)
    assert rights(score) == [
        (
            "Right: there was no control line at C yet, so nothing counted. Enter nothing early, and "
            "read it from 09:17:00 to 09:22:00."
        )
    ]


def test_two_looks_of_which_one_was_right_are_counted_as_looks(
    play: Callable[[str], Score],
) -> None:
    """Looks and lines are two things: one wrong look at two lines takes nothing from a right one."""
    story = Story().on_the_well("C1").look("08:00").look("12:00").read("17:30", test="faint").text()
    score = play(story + LINE.format('test = { from = "9:00", strength = "faint" }') + LEFT)

    assert (score.looks.taken, score.looks.wrong) == (1, 1)


def test_a_swap_that_nobody_could_see_is_held_against_nobody(
    play: Callable[[str], Score],
) -> None:
    """The other device was never begun: its own name stands on this one, and its own strip."""
    story = Story().on_the_well("C1").act("17:30", "read", "C1").text()
    score = play(story + LINE.format('test = { from = "5:00" }') + SWAPPED + LEFT)

    assert codes(score) == []
    assert score.flawed == 0
    assert score.lanes[0].read is not None


def test_a_result_read_before_the_labels_were_swapped_is_right(
    play: Callable[[str], Score],
) -> None:
    """What a colleague does afterwards makes no mistake of what was done before."""
    story = Story().on_the_well("C1").act("17:30", "read", "C1")
    story.on_the_well("C2", applied="20:00", person="P-002").act("37:00", "read", "C2")
    found = play(story.text() + SWAPPED)

    assert [each.cartridge for each in found.mistakes if each.code == Slip.SWAP_READ] == ["C2"]


def test_an_early_positive_off_a_bad_device_is_a_result_taken_from_it(
    play: Callable[[str], Score],
) -> None:
    """It stands when the window closes unread, and it cannot be voided any more."""
    story = Story().on_the_well("C1").look("08:00").text()
    flaw = '[[flaw]]\ncartridge = "C1"\nkind = "out-of-date"\nexpires = 2026-01-31\n'
    score = play(story + LINE.format('test = { from = "5:00" }') + flaw + LEFT)

    assert codes(score) == [Slip.BAD_DEVICE_READ, Slip.WINDOW_LOST]


def test_a_sound_device_that_is_given_up_is_told_and_one_that_waited_too_long_is_not(
    play: Callable[[str], Score],
) -> None:
    """Whoever is swabbed again for nothing was wronged; whoever is for a reason was not."""
    again = Story().in_buffer("C1").act("00:30", "void", "C1", reason="dropped")
    again.on_the_well("C2", applied="05:00").read("20:30", "C2")
    late = Story().in_buffer("C1").act("03:30", "void", "C1", reason="dropped")
    late.on_the_well("C2", applied="08:00").read("23:30", "C2")
    sound, waited = play(again.text() + LEFT), play(late.text() + LEFT)

    assert codes(sound) == [Slip.SOUND_GIVEN_UP]
    assert codes(waited) == []


def test_after_a_second_invalid_nobody_is_owed_a_third_test(
    play: Callable[[str], Score],
) -> None:
    """Common practice: stop, run control samples on the lot, and refer."""
    story = Story().on_the_well("C1").read("17:30", control=False)
    story.on_the_well("C2", applied="21:00").read("36:30", "C2", control=False)
    no_line = LINE.format('control = "never"')
    once = Story().on_the_well("C1").read("17:30", control=False)

    assert codes(play(story.text() + no_line + no_line.replace("C1", "C2") + LEFT)) == []
    assert codes(play(once.text() + no_line + LEFT)) == [Slip.NOT_REPEATED]


def test_a_window_that_opened_and_closed_under_a_shut_lid_is_nobodys_mistake(
    play: Callable[[str], Score],
) -> None:
    """It is lost and told, and no pass rule holds it against whoever sat there."""
    story = Story().on_the_well("C1").on_the_well("C2", applied="34:00").read("49:30", "C2")
    lid = '[[lid]]\nshut = "{0}"\nopen = "24:00"\n'
    slept = play(story.text() + lid.format("16:00") + LEFT)
    awake = play(story.text() + lid.format("18:00") + LEFT)

    assert codes(slept) == [Slip.SLEPT_THROUGH]
    assert (slept.windows_lost, slept.practise) == (0, ())
    assert (slept.windows.right, slept.windows.of) == (1, 2)
    assert codes(awake) == [Slip.WINDOW_LOST]


def test_an_attempt_that_was_left_before_somebody_came_says_so(tmp_path: Path) -> None:
    """Half of those who were to come is no whole attempt, however well it went with them."""
    file = tmp_path / "day.toml"
    file.write_text(HEAD + person("P-001") + person("P-002", "1:00:00"), "utf-8")
    sitting = Sitting(file, tmp_path / "first.journal")
    sitting.give(Steered(Steer.SPEED), Scanned("L-100"))
    sitting.leave()
    (found,) = score_attempts([sitting.journal], [file])

    assert (found.score.people, found.score.unfinished) == (2, Unfinished(to_come=1, untested=1))
    words = "It was left before its end: 1 person was still to come, 1 person waited untested."
    assert words in " ".join(debrief_lines(found.score, FACE)).replace("   ", " ")
    report = debrief_report(found.score)
    assert (report["left_early"], report["still_to_come"]) == (True, 1)
    assert report["unfinished"] == {"untested": 1, "running": 0, "repeats": 0, "interruptions": 0}


def test_waits_are_called_what_the_bench_calls_them(play: Callable[[str], Score]) -> None:
    """Keys of the assay file are nobody's words."""
    lines = debrief_lines(play(Story().on_the_well("C1").read("17:30").text() + LEFT), FACE)

    assert "    in buffer                 1:30 to 1:30" in lines
    assert "    reading after the drops   15:30 to 15:30" in lines


def test_every_mistake_of_time_says_when_it_would_have_been_right(
    play: Callable[[str], Score],
) -> None:
    """By the clock of that day, and by the words that stand on the screen."""
    story = Story().in_buffer("C1", extract="00:00").step("00:40", "withdraw")
    story.step("01:00", "withdraw").step("01:10", "withdraw").step("01:20", "apply")
    story.look("02:00").look("06:20", test="absent").read("10:00")
    score = play(story.text() + LEFT)

    assert [(each.code, each.refused) for each in score.mistakes] == [
        (RefusalCode.WAIT_NOT_OVER, True),
        (RefusalCode.OUT_OF_ORDER, True),
        (RefusalCode.TOO_EARLY, True),
        (RefusalCode.EARLY_NEGATIVE, True),
        (RefusalCode.TOO_EARLY, True),
        (Slip.WINDOW_LOST, False),
        (Slip.NOT_REPEATED, False),
    ]
    assert rights(score)[:-1] == [
        (
            'Right: "Squeeze and withdraw the swab" from 09:01:00 to 09:03:00. This was 0:40 after '
            '"Swab into the buffer", and 1:00 is the least.'
        ),
        "Right: its next step was: Drops onto the well.",
        "Right: an early look from 09:03:20 until the window opens. This was 0:40 after the drops.",
        (
            "Right: read it from 09:16:20 to 09:21:20. This was 5:00 after the drops. Before that only "
            "a line beside a control line counts, and a line may still come."
        ),
        "Right: read it from 09:16:20 to 09:21:20. This was 8:40 after the drops.",
        (
            "Right: read it from 09:16:20 to 09:21:20. After that nothing counts: the person gives a "
            "new specimen."
        ),
    ]


@pytest.mark.parametrize(
    ("bands", "seen", "right"),
    [
        pytest.param(
            'test = { from = "5:00", strength = "very-faint" }',
            {"test": "absent"},
            "there was a very faint line at T (SARS-CoV-2 antigen), and however faint it is a line: "
            "positive.",
            id="a line that was missed",
        ),
        pytest.param(
            "",
            {"test": "faint"},
            "the control line was there, and there was no line at T (SARS-CoV-2 antigen): negative.",
            id="a line that was not there",
        ),
        pytest.param(
            'control = "never"',
            {"test": "absent"},
            "there was no control line at C: the strip counted for nothing, whatever it shows.",
            id="no control line",
        ),
        pytest.param(
            'unreadable = "smear"',
            {"test": "clear"},
            "the strip could not be read (smear): invalid, whatever it shows.",
            id="a smear",
        ),
    ],
)
def test_every_strip_that_was_read_wrongly_is_told_as_it_was(
    play: Callable[[str], Score], bands: str, seen: dict[str, str], right: str
) -> None:
    """What the strip showed, and what that comes to: the rule itself, at the case at hand."""
    story = Story().on_the_well("C1").read("17:30", **seen).text()
    said = rights(play(story + LINE.format(bands) + LEFT))

    assert any(each is not None and each.endswith(right) for each in said)


def test_a_reading_refused_for_the_doubt_of_stated_drops_says_so(
    play: Callable[[str], Score],
) -> None:
    """15:10 after the drops and yet too early: without the reason that teaches nobody anything."""
    story = Story().in_buffer("C1", extract="00:00").step("01:30", "withdraw")
    story.step("04:00", "apply", done_at="02:00", give_or_take=20).read("17:10").read("17:30")
    score = play(story.text() + LEFT)

    assert codes(score) == [RefusalCode.TOO_EARLY]
    assert rights(score) == [
        (
            "Right: read it from 09:17:20 to 09:21:40. The drops were stated and not timed, so their "
            "doubt narrows the window."
        )
    ]


def test_what_was_right_in_place_of_several_in_a_row_is_told_once(tmp_path: Path) -> None:
    """Six people left untested are six lines, and not six times the same advice."""
    file = tmp_path / "day.toml"
    file.write_text(HEAD + person("P-001") + person("P-002") + person("P-003"), "utf-8")
    sitting = Sitting(file, tmp_path / "first.journal")
    sitting.give(Steered(Steer.SPEED), Scanned("L-100"))
    sitting.leave()
    (found,) = score_attempts([sitting.journal], [file])
    lines = debrief_lines(found.score, FACE)

    assert sum("came, and was not tested." in each for each in lines) == 3
    assert sum("Right: begin everybody who waits" in each for each in lines) == 1


def test_a_question_that_was_answered_wrongly_is_told_with_its_right_answer(
    play: Callable[[str], Score],
) -> None:
    """That interruption 1 was answered wrongly teaches nobody what to say the next time."""
    story = Story().on_the_well("C1").read("17:30").text()
    asked = '[[interruption]]\nat = "1:00"\nkind = "question"\nsays = "Is a faint line one?"\nanswer = "yes"\n'

    assert rights(play(story + LEFT + asked)) == ['Right: "yes" to "Is a faint line one?"']
