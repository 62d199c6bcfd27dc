"""Each mistake that is made on purpose is found, and nothing is found where none was made."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from readbell.core.cartridge.events import How
from readbell.core.plan.hands_on import READING
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.practise import Practise
from readbell.core.rehearsal.scenario import Difficulty
from readbell.core.rehearsal.score_marks import Area, Kept, Slip
from readbell.core.rehearsal.virtual_cartridge import Shade
from rehearsal.scored import scored, scored_file
from rehearsal.story import Story

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.core.rehearsal.score import Score

DEMOS = Path(__file__).parents[2] / "demo_scenarios"

STEADY = """title = "Steady"
starts = 2026-11-03T09:00:00+00:00
timezone = "UTC"
assay = "respiratory-antigen-nasal"
operator = [{ id = "op-1" }]
lot = [{ number = "L-100", expires = 2027-02-28 }]
"""


@pytest.fixture
def play(tmp_path: Path) -> Callable[[str], Score]:
    """Return what plays a text and scores it."""
    return lambda text: scored(text, tmp_path)


@pytest.fixture
def demo(tmp_path: Path) -> Callable[[str], Score]:
    """Return what plays a demo scenario and scores it."""
    return lambda name: scored_file(DEMOS / f"{name}.toml", tmp_path)


def codes(score: Score) -> list[tuple[str, bool]]:
    """Return each mistake by its code, and whether it was refused."""
    return [(each.code, each.refused) for each in score.mistakes]


LEFT = '[[interruption]]\nat = "0:01"\nkind = "car-leaves"\nsays = "Go."\npersons = ["P-002"]\n'
"""The second person of a story, who is not tested in it."""


@pytest.mark.parametrize(
    "name", ["first_cartridge", "quiet_morning", "drive_through_hour", "smear", "bad_devices"]
)
def test_steady_hands_make_no_mistake(demo: Callable[[str], Score], name: str) -> None:
    """A score that finds fault with right work is worth nothing."""
    score = demo(name)

    assert score.mistakes == ()
    assert score.windows.right == score.windows.of > 0
    assert score.waits.right == score.waits.of > 0
    assert score.readings.right.right == score.readings.right.of > 0
    assert score.practise == ()


def test_the_household_read_by_hand_has_its_one_slip_and_its_early_look(
    demo: Callable[[str], Score],
) -> None:
    """An early look at a bare strip is refused; the one at a line is rightly used."""
    score = demo("household_of_six")

    assert codes(score) == [(RefusalCode.EARLY_NEGATIVE, True)]
    assert (score.looks.taken, score.looks.refused, score.looks.could) == (1, 1, 2)
    assert score.practise == (Practise.NEGATIVES_EARLY,)


def test_a_very_faint_line_that_was_missed_is_a_false_negative(
    demo: Callable[[str], Score],
) -> None:
    """The mistake that harms most is named by cartridge and line."""
    score = demo("interrupted_reader")
    (missed,) = [each for each in score.mistakes if each.area is Area.READING]

    assert (missed.code, missed.cartridge, missed.line) == (
        Slip.FALSE_NEGATIVE,
        "C1",
        "sars-cov-2",
    )
    assert (score.readings.faint.right, score.readings.faint.of) == (0, 1)
    assert score.readings.of_shades(Shade.VERY_FAINT).of == 1
    assert score.readings.table() == ((0, 1, 0), (0, 1, 0), (0, 0, 0))


def test_the_cartridge_that_was_taken_for_another_is_a_mistake_of_identity_that_was_stopped(
    demo: Callable[[str], Score],
) -> None:
    """A bay without a scanner would have saved it."""
    score = demo("interrupted_reader")

    assert [each.code for each in score.of_area(Area.IDENTITY, refused=True)] == [
        RefusalCode.WRONG_CARTRIDGE
    ]
    assert score.of_area(Area.IDENTITY, refused=False) == ()
    assert set(score.practise) == {Practise.FAINT_LINES, Practise.IDENTITY}


def test_a_question_that_was_answered_rightly_is_told_with_how_long_it_took(
    demo: Callable[[str], Score],
) -> None:
    """Case and blanks do not matter."""
    (asked,) = demo("interrupted_reader").asked

    assert asked.is_right
    assert asked.took == 10_000


def test_two_of_one_surname_are_two_mistakes_that_were_stopped(
    demo: Callable[[str], Score],
) -> None:
    """A name said for the wrong ID, and a reading entered for the other person."""
    score = demo("one_surname")

    assert codes(score) == [(RefusalCode.WRONG_PERSON, True), (RefusalCode.WRONG_PERSON, True)]
    assert score.readings.right.right == 2


def test_gloves_without_time_to_change_them_are_seen(demo: Callable[[str], Score]) -> None:
    """Five seconds from one person's specimen to the other's."""
    (mistake,) = demo("gloves").mistakes

    assert (mistake.code, mistake.area, mistake.cartridge) == (
        Slip.NO_TIME_FOR_GLOVES,
        Area.SAFETY,
        "C1",
    )
    assert (mistake.span, mistake.limit) == (5_000, 20_000)


def test_how_each_cartridge_was_made_sure_of_is_counted(demo: Callable[[str], Score]) -> None:
    """Scanned is surest, picked from a list the weakest of the three."""
    steady, script = demo("quiet_morning"), demo("gloves")

    assert steady.made_sure == ((How.SCANNED, 18), (How.TYPED, 0), (How.PICKED, 0))
    assert script.made_sure == ((How.SCANNED, 4), (How.TYPED, 8), (How.PICKED, 0))


def test_what_was_stated_afterwards_is_counted_and_left_out_of_times(
    demo: Callable[[str], Score],
) -> None:
    """Nobody can tell whether a wait was kept whose end was not timed."""
    score = demo("forgot_to_press")
    kept = {(each.cartridge, each.reads): each.kept for each in score.times}

    assert score.stated == 1
    assert kept["C1", True] is Kept.STATED
    assert kept["C2", True] is Kept.KEPT
    assert (score.windows.right, score.windows.of) == (2, 2)
    assert codes(score) == [(RefusalCode.TOO_EARLY, True)]
    assert Practise.PRESSING in score.practise


def test_a_shadow_taken_for_a_line_is_an_early_false_positive(
    demo: Callable[[str], Score],
) -> None:
    """And giving up what stands as positive is stopped."""
    score = demo("told_then_withheld")

    assert codes(score) == [
        (Slip.EARLY_FALSE_POSITIVE, False),
        (RefusalCode.NOT_ALLOWED, True),
    ]
    assert (score.looks.taken, score.looks.could) == (0, 0)
    assert score.practise[0] is Practise.NO_LINE


def test_a_lost_window_a_long_wait_and_a_late_look_are_all_found(
    demo: Callable[[str], Score],
) -> None:
    """The wait is a deviation, the late look a near miss, the window is gone."""
    score = demo("missed_window")

    assert [each.code for each in score.mistakes] == [
        Slip.WAIT_LONG,
        Slip.WINDOW_LOST,
        RefusalCode.WINDOW_CLOSED,
    ]
    assert (score.windows.right, score.windows.of) == (1, 2)
    assert (score.waits.right, score.waits.of) == (1, 2)
    assert score.windows_lost == 1
    assert score.lanes[0].lapsed is not None


def test_bad_devices_are_given_up_by_steady_hands(demo: Callable[[str], Score]) -> None:
    """Out of date, of another assay, and two whose labels were mixed up."""
    score = demo("bad_devices")

    assert score.flawed == 4
    assert score.caught == ("C2", "C4", "C6", "C7")


def test_a_bad_device_that_was_read_went_through(play: Callable[[str], Score]) -> None:
    """No program can see a pouch."""
    story = Story().on_the_well("C1").read("17:30").text()
    flaw = '[[flaw]]\ncartridge = "C1"\nkind = "out-of-date"\nexpires = 2026-01-31\n'
    score = play(story + LEFT + flaw)

    assert codes(score) == [(Slip.BAD_DEVICE_READ, False)]
    assert score.of_area(Area.SAFETY, refused=False) != ()
    assert score.practise == (Practise.BAD_DEVICES,)


def test_strips_under_swapped_labels_show_each_other_and_are_mistakes_of_identity(
    play: Callable[[str], Score],
) -> None:
    """The positive of one becomes the positive of the other, and no scan can tell."""
    story = Story().on_the_well("C1").on_the_well("C2", applied="05:00", person="P-002")
    for label, at in (("C1", "17:30"), ("C2", "20:30")):
        story.act(at, "read", label)
    swapped = (
        '[[cartridge]]\nid = "C1"\n[cartridge.bands]\ntest = { from = "5:00" }\n'
        '[[flaw]]\ncartridge = "C1"\nkind = "label-swapped"\nother = "C2"\n'
    )
    score = play(story.text() + swapped)

    assert [each.said for each in score.readings.judged] == [Outcome.NEGATIVE, Outcome.POSITIVE]
    assert codes(score) == [(Slip.SWAP_READ, False), (Slip.SWAP_READ, False)]
    assert score.practise == (Practise.LABELS,)


@pytest.mark.parametrize(
    ("bands", "seen", "slip"),
    [
        pytest.param("", {"test": "faint"}, Slip.FALSE_POSITIVE, id="a line that is not there"),
        pytest.param(
            'test = { from = "5:00" }', {"test": "absent"}, Slip.FALSE_NEGATIVE, id="one that is"
        ),
        pytest.param(
            'control = "never"', {"test": "absent"}, Slip.INVALID_TAKEN, id="no control line"
        ),
        pytest.param('unreadable = "smear"', {"test": "clear"}, Slip.INVALID_TAKEN, id="a smear"),
        pytest.param("", {"control": False}, Slip.RESULT_GIVEN_UP, id="a strip that counts"),
    ],
)
def test_every_way_to_read_a_strip_wrongly_has_its_name(
    play: Callable[[str], Score], bands: str, seen: dict[str, Any], slip: Slip
) -> None:
    """Positive, negative, invalid: three that may each be taken for another."""
    story = Story().on_the_well("C1").read("17:30", **seen).text()
    score = play(f'{story}[[cartridge]]\nid = "C1"\n[cartridge.bands]\n{bands}\n')

    assert slip in [each.code for each in score.mistakes]
    assert score.readings.right.right == 0


def test_a_smear_that_is_called_one_is_right(play: Callable[[str], Score]) -> None:
    """What cannot be read is invalid, whatever the line under it."""
    story = Story().on_the_well("C1").act("17:30", "read", "C1").text()
    smeared = '[[cartridge]]\nid = "C1"\n[cartridge.bands]\ntest = { from = "5:00" }\n'
    score = play(f'{story}{smeared}unreadable = {{ from = "2:00", reason = "smear" }}\n')

    assert score.readings.right.right == 1
    assert score.readings.validity.of == 1
    assert [each.code for each in score.mistakes] == [Slip.NOT_TESTED, Slip.NOT_REPEATED]


def test_somebody_who_is_begun_after_they_have_left_is_a_mistake(
    play: Callable[[str], Score],
) -> None:
    """And a person who left untested is none."""
    story = Story().on_the_well("C1", applied="04:00").read("19:30").text()
    left = '[[interruption]]\nat = "1:00"\nkind = "car-leaves"\nsays = "They go."\n'
    score = play(f'{story}{left}persons = ["P-001", "P-002"]\n')

    assert codes(score) == [(Slip.BEGUN_AFTER_LEAVING, False)]
    assert score.practise == (Practise.INTERRUPTIONS,)


def test_whoever_is_called_away_may_finish_what_is_in_hand_and_no_more(
    play: Callable[[str], Score],
) -> None:
    """A step is recorded as it ends: it was begun before the call, or after it."""
    away = (
        '[[interruption]]\nat = "2:05"\nkind = "called-away"\nsays = "Come."\noperator = "op-1"\n'
    )
    story = Story().on_the_well("C1", applied="02:10").read("17:30").text()
    finished = play(f'{story}{LEFT}{away}until = "4:00"\n')
    went_on = play(
        Story().on_the_well("C1", applied="03:30").read("18:40").text()
        + LEFT
        + away
        + 'until = "4:00"\n'
    )

    assert finished.mistakes == ()
    assert {each.code for each in went_on.mistakes} == {Slip.ACTED_WHILE_AWAY}


def test_a_question_that_nobody_answers_and_one_that_is_answered_wrongly_are_told_apart(
    play: Callable[[str], Score],
) -> None:
    """Both are to be practised."""
    story = Story().on_the_well("C1").read("17:30").text()
    asked = '[[interruption]]\nat = "{at}"\nkind = "question"\nsays = "Well?"\nanswer = "yes"\n'
    answer = '[[act]]\nat = "18:00"\nby = "op-1"\ndo = "answer"\ninterruption = 1\nwords = "no"\n'
    score = play(story + answer + LEFT + asked.format(at="1:00"))
    wrong = play(story + answer.replace("= 1", "= 2") + LEFT + asked.format(at="1:00"))

    assert codes(score) == [(Slip.NO_ANSWER, False)]
    assert codes(wrong) == [(Slip.WRONG_ANSWER, False)]


def test_the_plan_says_who_should_have_done_what(demo: Callable[[str], Score]) -> None:
    """For each person who stays, from the first piece to the reading."""
    pace = demo("household_of_six").pace

    assert pace.best is not None
    assert pace.bound is not None
    assert pace.bound <= pace.best <= pace.took
    assert {each.person for each in pace.should} == {f"HQ-041{n}" for n in range(2, 8)}
    assert sum(each.parts == (READING,) for each in pace.should) == 6
    assert pace.idle > 0
    assert pace.best_idle is not None
    assert pace.longer == pace.took - pace.best


def test_two_assays_have_no_plan(play: Callable[[str], Score]) -> None:
    """A batch plan is for one."""
    more = 'lot = [{ number = "L-100", expires = 2027-02-28 }, { number = "L-200", '
    more += 'expires = 2027-02-28, assay = "respiratory-antigen-three-lines" }]\n'
    text = STEADY.replace('lot = [{ number = "L-100", expires = 2027-02-28 }]\n', more)
    score = play(text + 'person = [{ id = "P-001" }]\n')

    assert (score.pace.best, score.pace.best_idle, score.pace.longer) == (None, None, None)


def test_nobody_to_test_is_an_empty_score(play: Callable[[str], Score]) -> None:
    """Nothing is divided by nothing."""
    score = play(STEADY)

    assert (score.windows.of, score.readings.right.of, score.pace.took) == (0, 0, 0)
    assert score.mistakes == ()


def test_kappa_is_shown_from_twenty_strips_on(tmp_path: Path) -> None:
    """Below that its interval says little, and a set of twenty is soon read."""
    people = ", ".join(
        f'{{ id = "P-{n:03}", arrives = "{4 * n}:00"'
        + (', bands = { test = { from = "5:00" } }' if n % 3 == 0 else "")
        + " }"
        for n in range(20)
    )
    nineteen = STEADY + f"person = [{people.rsplit(', { id', 1)[0]}]\n"
    twenty = STEADY + f"person = [{people}]\n"
    (tmp_path / "few").mkdir()
    few, many = scored(nineteen, tmp_path / "few"), scored(twenty, tmp_path)

    assert few.readings.strips == 19
    assert few.readings.agreement is None
    assert many.readings.agreement is not None
    assert many.readings.agreement.kappa == 1


def test_the_same_file_and_the_same_acts_give_the_same_score(tmp_path: Path) -> None:
    """Two people who score one record must not come to two ends."""
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    file = DEMOS / "the_worst_hour.toml"

    assert scored_file(file, tmp_path / "one") == scored_file(file, tmp_path / "two")


def test_the_worst_hour_is_survived_by_steady_hands(demo: Callable[[str], Score]) -> None:
    """No window lost and nobody mistaken; only the wait of whoever was called away was long."""
    score = demo("the_worst_hour")

    assert score.difficulty is Difficulty.WORST
    assert codes(score) == [(Slip.WAIT_LONG, False)]
    assert score.windows.right == score.windows.of == 15
    assert score.caught == ("C5",)
    assert [each.is_right for each in score.asked] == [True, True]


def test_a_second_reader_is_judged_as_the_first_one_is(play: Callable[[str], Score]) -> None:
    """Two pairs of eyes, two judgements of one strip."""
    story = Story().on_the_well("C1").read("17:30", test="faint")
    story.act("18:00", "read", "C1", by="op-2", control=True, test="absent")
    asked = '[[policy.second_reader]]\nwhen = "all"\n'
    score = play(story.text() + LEFT + asked)

    assert [(each.by, each.is_right) for each in score.readings.judged] == [
        ("op-1", False),
        ("op-2", True),
    ]
    assert score.readings.strips == 1
