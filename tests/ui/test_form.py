"""A form on any screen: the question in hand and its answer are always in sight."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.hand.question import Option, Question
from readbell.ui.form import OPEN, paint_form
from readbell.ui.ink import Token

CONTROL = Question(
    key="control",
    asks="Control line C",
    options=(Option("absent", "absent"), Option("present", "present")),
)
PERSON = Question(key="person", asks="Patient ID: scan or type it")
REASONS = tuple(Option(f"why-{n}", f"r{n} and its reason") for n in range(9))
WHY = Question(key="why", asks="Why", options=REASONS, is_list=True)


def answered(question: Question, answer: str) -> Question:
    """The same question, answered."""
    return Question(
        key=question.key,
        asks=question.asks,
        options=question.options,
        answer=answer,
        is_list=question.is_list,
    )


def rows(*questions: Question, cursor: int = 0, width: int = 80, height: int | None = None) -> str:
    """The form as text."""
    painted = paint_form(questions, cursor, width, height)
    return "\n".join(each.text.rstrip() for each in painted.lines)


def test_answers_stand_below_one_another_and_the_picked_one_has_brackets() -> None:
    """Found by its place and by a sign, not by colour."""
    shown = rows(answered(CONTROL, "present"), PERSON, cursor=1)

    first, second = shown.splitlines()
    assert "[present]" in first
    assert first.index("absent") - 1 == second.index(OPEN)
    assert second.startswith(" > Patient ID")


def test_a_list_that_is_cut_says_how_much_of_it_is_in_sight() -> None:
    """The reason that fits may be the one below the edge."""
    whole = rows(PERSON, WHY, cursor=1, height=11).splitlines()
    cut = rows(PERSON, WHY, cursor=1, height=8).splitlines()
    further = rows(PERSON, answered(WHY, "why-8"), cursor=1, height=8).splitlines()
    narrow = rows(PERSON, WHY, cursor=1, width=20, height=8).splitlines()

    assert (whole[1], cut[1], further[1]) == (
        " > Why",
        " > Why   1 to 6 of 9",
        " > Why   4 to 9 of 9",
    )
    assert all(len(each) <= 20 for each in narrow)


def test_an_open_question_says_so_only_where_that_fits() -> None:
    """Half a word tells nothing."""
    assert OPEN in rows(CONTROL, width=80)
    assert "not" not in rows(CONTROL, width=40)


@given(width=st.integers(20, 120), cursor=st.integers(0, 2), height=st.integers(1, 12))
def test_each_spot_lies_on_the_words_it_picks(width: int, cursor: int, height: int) -> None:
    """A click picks what stands under it, on any screen."""
    asked = (answered(CONTROL, "absent"), PERSON, answered(WHY, "why-4"))
    painted = paint_form(asked, cursor, width, height)

    assert len(painted.lines) <= height
    words = {each.value: each.words for question in asked for each in question.options}
    for spot in painted.spots:
        under = painted.lines[spot.row].text[spot.begins : spot.ends]
        assert words[spot.answer].split()[0][:4] in under


@given(answer=st.integers(0, 8), width=st.integers(20, 120), height=st.integers(2, 12))
def test_the_chosen_reason_of_a_long_list_is_always_in_sight(
    answer: int, width: int, height: int
) -> None:
    """A void for a reason that nobody could see would be a void for no reason."""
    shown = rows(PERSON, answered(WHY, f"why-{answer}"), cursor=1, width=width, height=height)

    assert f"[r{answer}" in shown


def test_lists_that_are_not_in_hand_fold_where_there_is_no_room() -> None:
    """What is asked now comes before what was answered."""
    shown = rows(answered(WHY, "why-2"), CONTROL, PERSON, cursor=1, height=3)

    assert shown.splitlines()[0].split() == ["Why", "r2", "and", "its", "reason"]
    assert len(shown.splitlines()) == 3


@pytest.mark.parametrize("cursor", range(6))
@pytest.mark.parametrize("height", [1, 2, 3, 4])
def test_a_form_longer_than_the_screen_shows_the_question_in_hand(cursor: int, height: int) -> None:
    """Nobody answers what they cannot see."""
    asked = tuple(Question(key=f"q{n}", asks=f"Question {n}") for n in range(6))
    shown = rows(*asked, cursor=cursor, height=height)

    assert f"> Question {cursor}" in shown
    assert len(shown.splitlines()) == height


def test_answers_too_wide_for_their_row_stand_below_the_question() -> None:
    """At 20 columns a form can still be filled in."""
    painted = paint_form((CONTROL,), 0, 24)

    assert [each.text.strip() for each in painted.lines] == [
        "> Control line C",
        "absent",
        "present",
    ]
    assert [each.row for each in painted.spots] == [1, 2]


def test_nothing_is_filled_before_somebody_answers() -> None:
    """A preselected answer is one nobody gave."""
    painted = paint_form((CONTROL, PERSON, WHY), 0, 80)

    assert not [
        each for made in painted.lines for each in made.pieces if each.token is Token.EYES_FILL
    ]
    assert "[" not in rows(CONTROL, PERSON, WHY)


def test_a_form_without_a_question_in_hand_folds_and_marks_none() -> None:
    """The panel of a step says what would be recorded; the arrows change it."""
    shown = rows(answered(WHY, "why-2"), answered(PERSON, "P-001"), cursor=-1, height=2)

    assert [each.split() for each in shown.splitlines()] == [
        ["Why", "r2", "and", "its", "reason"],
        ["Patient", "ID:", "scan", "or", "type", "it", "P-001"],
    ]
    assert ">" not in shown


def test_in_a_long_form_all_of_a_short_list_in_hand_is_in_sight() -> None:
    """What cannot be seen cannot be chosen; what was answered already may scroll away."""
    few = tuple(Option(str(n), f"choice {n}") for n in range(2))
    asked = [
        *(Question(key=f"t{n}", asks=f"Typed {n}", answer="x", shown="x") for n in range(14)),
        Question(key="few", asks="One of two", options=few, is_list=True),
        *(Question(key=f"u{n}", asks=f"Open {n}") for n in range(5)),
    ]
    for height in (6, 10, 17):
        page = [each.text for each in paint_form(asked, 14, 80, height).lines]
        assert len(page) <= height
        assert sum("choice" in each for each in page) == 2, page
