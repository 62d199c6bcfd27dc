"""One strip is judged: countdown, questions and outcome in sight on any screen, nothing preselected."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import FAINT, NASAL, THREE_LINES, Bench, at
from readbell.hand.doing import Judging, Purpose
from readbell.phrases.of_bands import FAINT_SHORT
from readbell.ui.ink import Token
from readbell.ui.wrapped import PROSE
from ui.pages import SIZES, SMALL_SIZES, one_strip, painted, present, row_with, text

if TYPE_CHECKING:
    from readbell.core.instant import Instant

OPEN = at("18:30")
EARLY = at("9:00")
LATE = at("22:40")
LINES = tuple((key, "absent") for key in THREE_LINES.line_keys)
ONE = one_strip()
THREE = one_strip(THREE_LINES)


def judging(purpose: Purpose = Purpose.READ, **answers: object) -> Judging:
    """Somebody looks at C07."""
    return Judging(purpose=purpose, cartridge="id-C07", **answers)  # type: ignore[arg-type]


def shown(
    doing: Judging, size: tuple[int, int] = (80, 24), *, bench: Bench = ONE, now: Instant = OPEN
) -> str:
    """The page as text."""
    return text(painted(present(bench.board, doing, now=now), *size))


NEGATIVE = judging(control=True, lines=LINES, cursor=4, person="P-001")


@pytest.mark.parametrize("size", [*SIZES, (60, 16)])
def test_a_whole_form_of_three_lines_is_on_the_screen_with_its_outcome(
    size: tuple[int, int],
) -> None:
    """Time left, each line's answer, the ID read back, the outcome and its reason: all at once."""
    page = " ".join(shown(NEGATIVE, size, bench=THREE).split())

    assert "closes in" in page
    for mark in ("Control line C absent [present]", "Test line A [absent]", "Test line T [absent]"):
        assert mark in page
    assert "A negative does not exclude infection. (by op-1)" in page
    assert "F5 Save C07 P-001 - NEGATIVE" in page


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES])
def test_the_time_left_and_the_question_in_hand_are_there_on_any_screen(
    size: tuple[int, int],
) -> None:
    """Nobody may read without seeing for how long."""
    page = shown(judging(control=True, cursor=1), size, bench=THREE)

    assert "4:00" in page or "█" in page
    assert "> Test line A" in page or "absent" in page
    assert " Scan " in page
    assert " F5 Save" in page


def test_at_120_by_40_the_strip_is_drawn_and_the_window_has_its_own_axis() -> None:
    """What was answered is seen as it would look on the device."""
    page = shown(judging(control=True, lines=(("sars-cov-2", "faint"),), cursor=2), (120, 40))

    assert "drops" in page
    assert "░░░" in page
    assert "│■" in page
    assert "opens  01:10:50" in page
    assert "closes 01:15:50" in page


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_what_the_strip_tests_for_is_in_sight_while_it_is_judged(size: tuple[int, int]) -> None:
    """Of two kinds of kit on one bench the lines stand in the same places, and mean another thing."""
    assert NASAL.title in shown(judging(), size)
    assert THREE_LINES.title in shown(judging(), (120, 40), bench=THREE)


def test_where_only_a_strip_too_many_rows_high_would_fit_the_form_comes_first() -> None:
    """The picture helps; the answers count."""
    page = shown(judging(Purpose.CORRECT, cursor=0), bench=THREE)

    assert "drops" not in page
    assert "something else" in page
    assert "Patient ID" in page


def test_a_list_answered_makes_room_for_the_strip() -> None:
    """What had gone wrong is one row once it is said."""
    page = shown(judging(Purpose.CORRECT, slip="other", cursor=1), bench=THREE)

    assert "drops" in page
    assert "What had gone wrong          something else" in page


def test_on_a_wide_screen_no_sentence_runs_over_its_whole_width() -> None:
    """A line of two hundred letters is hard to follow back, with a strip in hand."""
    page = shown(NEGATIVE, (200, 60), bench=THREE).splitlines()
    said = [each.rstrip() for each in page if "A faint line" in each or "exclude infection" in each]

    assert said
    assert all(len(each) <= PROSE + 4 for each in said)


def test_no_patient_is_named_before_the_id_was_read_back() -> None:
    """The program never fills in what a person is to check."""
    for size in SIZES:
        assert "P-001" not in shown(judging(control=True), size)
    assert "P-001" in shown(judging(person="P-001"))


def test_no_line_is_answered_when_the_form_opens() -> None:
    """No band is preselected, on the form and on the strip."""
    page = painted(present(ONE.board, judging(), now=OPEN), 80, 24)

    assert "[" not in text(page).split("Scan │")[0]
    assert not [p for each in page.lines[2:] for p in each.pieces if p.token is Token.EYES_FILL]
    assert "POSITIVE" not in text(page)


@pytest.mark.parametrize(
    ("now", "token", "words"),
    [
        (OPEN, Token.EYES, "closes in"),
        (at("21:40"), Token.SHORT, "closes in"),
        (LATE, Token.LOST, "closed since"),
    ],
    ids=["open", "closing", "closed"],
)
def test_the_digits_say_how_pressing_it_is(now: Instant, token: Token, words: str) -> None:
    """By their word first, then by their colour."""
    page = painted(present(ONE.board, judging(control=True), now=now), 120, 40)
    row = row_with(page, words)

    assert any(p.token is token and p.text.strip() for p in page.lines[row].pieces)


def test_a_window_that_closed_under_the_form_says_what_saving_still_does() -> None:
    """What was seen is kept, and it is no result."""
    page = " ".join(shown(NEGATIVE, bench=THREE, now=LATE).split())

    assert "Saving keeps what was seen as a late look, not a result." in page
    assert "- NEGATIVE A control" not in page


@pytest.mark.parametrize("size", [*SIZES, (60, 16)])
def test_the_key_that_keeps_a_late_look_names_no_outcome(size: tuple[int, int]) -> None:
    """It is the last thing that is read before it is pressed, and it would be taken for a result."""
    page = " ".join(shown(NEGATIVE, size, bench=THREE, now=LATE).split())

    assert "F5 Save C07 P-001 as a late look" in page
    assert "NEGATIVE" not in page


def test_after_the_close_nothing_is_put_right_any_more() -> None:
    """A slip is mended at once, or by a supervisor."""
    bench = one_strip()
    bench.must(bench.read_act(FAINT, "C07"), "18:00")
    doing = judging(Purpose.CORRECT, slip="other", cursor=1)

    assert "nothing is put right" not in shown(doing, bench=bench)
    late = shown(doing, bench=bench, now=LATE)
    assert "nothing is put right" in late
    assert "late look" not in late


def test_an_early_look_asks_first_and_counts_to_the_opening() -> None:
    """There may be nothing to see yet."""
    page = shown(judging(Purpose.LOOK), now=EARLY)

    assert "Early look at" in page
    assert "opens in" in page
    assert "Background clear, flow at the control line?   no    yes   not answered" in page
    assert "drops" not in page


def test_an_early_look_that_shows_nothing_says_what_that_means() -> None:
    """It is not a negative."""
    doing = judging(Purpose.LOOK, ready=True, control=True, lines=(("sars-cov-2", "absent"),))

    assert "A negative counts only in the window." in shown(doing, now=EARLY)
    assert "by op-1" not in shown(doing, now=EARLY)


def test_what_cannot_be_read_asks_why_and_draws_no_strip() -> None:
    """There is no line to be shown."""
    page = shown(judging(cannot_be_read=True, unreadable="smear"))

    assert "[smear]" in page
    assert "drops" not in page
    assert "x INVALID  The strip cannot be read: smear. Repeat.  (by op-1)" in page


@pytest.mark.parametrize("size", SIZES)
def test_guidance_is_whole_or_not_there(size: tuple[int, int]) -> None:
    """Half a caution is none."""
    page = " ".join(shown(judging(), size).split())

    assert FAINT_SHORT.split(" counts")[0] in page
    assert page.count("its marked place") in (1, 2)
    assert "counts. Look in good light" not in page or "instructions come first." in page


def test_on_the_least_screen_label_time_and_question_are_there() -> None:
    """20 by 8, and something was just said."""
    page = shown(judging(control=True, cursor=1), (20, 8))

    assert "C07" in page
    assert "4:00" in page


def test_without_a_cartridge_the_page_is_empty_and_stands() -> None:
    """It may have gone between two paints."""
    doing = Judging(purpose=Purpose.READ, cartridge="gone")
    page = painted(present(ONE.board, doing, now=OPEN), 80, 24)

    assert " Scan " in text(page)


@pytest.mark.parametrize(
    ("size", "words"),
    [
        ((80, 24), "Influenza A antigen positive, Influenza B antigen negative, SARS-CoV-2"),
        ((120, 40), "Influenza A antigen positive, Influenza B antigen negative, SARS-CoV-2"),
        ((60, 16), "+ POSITIVE A positive, B negative, T positive."),
    ],
)
def test_before_it_is_saved_each_analyte_has_its_outcome(size: tuple[int, int], words: str) -> None:
    """By its name, or by its letter where only that has room."""
    lines = (("influenza-a", "faint"), ("influenza-b", "absent"), ("sars-cov-2", "clear"))
    doing = judging(control=True, lines=lines, cursor=4, person="P-001")

    assert words in " ".join(shown(doing, size, bench=THREE).split())


def test_a_single_line_is_not_named_twice() -> None:
    """The outcome is its own."""
    doing = judging(control=True, lines=(("sars-cov-2", "clear"),), cursor=2, person="P-001")

    assert "antigen positive" not in shown(doing)
