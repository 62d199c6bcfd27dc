"""The forms of the small register: each answer is held against what it must be, and nothing is lost."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, THREE_LINES
from readbell.hand.doing import Filling, Helping, Paper, Room, Visiting, Watching
from readbell.hand.given import Chose, Key

if TYPE_CHECKING:
    from hand.conftest import Hands


async def at_paper(hands: Hands, paper: Paper) -> None:
    """Go to a form by keys."""
    await hands.press(Key.ROOMS)
    if paper is not Paper.LOT:
        await hands.press(Key.RIGHT)
    if paper is Paper.ASSAY:
        await hands.press(Key.RIGHT, Key.DOWN)
    await hands.press(Key.START)


async def test_a_box_is_taken_in_line_by_line(hands: Hands) -> None:
    """With one assay adopted there is nothing to choose."""
    await at_paper(hands, Paper.LOT)
    await hands.scan("L-200")
    await hands.type("2027-12-31", "40")
    await hands.press(Key.START)

    lot = hands.work.bay.board.lots["L-200"]
    assert (lot.units, lot.expires) == (40, date(2027, 12, 31)), hands.words
    assert hands.in_hand() == Visiting(room=Room.LOTS, cursor=1)  # the box that came in


@pytest.mark.parametrize(
    ("cursor", "text", "words"),
    [
        (0, "L-100", "was received already"),
        (0, "op-1L-999", "two labels at once"),
        (2, "31.12.2027", "is no day. For that day type 2027-12-31."),
        (2, "2027-12", "good through the last day of that month: type 2027-12-31."),
        (3, "many", "is no number of units"),
        (3, "-3", "is no number of units"),
        (1, "L-200", "Choose with Up and Down"),
    ],
)
async def test_a_wrong_answer_is_refused_in_words(
    hands: Hands, cursor: int, text: str, words: str
) -> None:
    """And the line stays as it was."""
    await at_paper(hands, Paper.LOT)
    doing = hands.in_hand()
    assert isinstance(doing, Filling)
    hands.hand = hands.hand.now_doing(replace(doing, cursor=cursor))
    await hands.type(text)

    assert words in hands.words
    assert hands.fine is False
    assert hands.in_hand() == replace(doing, cursor=cursor)


async def test_a_form_that_is_not_saved_goes_to_the_first_line_that_is_open(hands: Hands) -> None:
    """Who reads what is open types it next: on a line of choices that would be taken for nothing."""
    await at_paper(hands, Paper.LOT)
    await hands.scan("L-200")
    await hands.press(Key.LEFT, Key.LEFT)
    await hands.press(Key.START)

    doing = hands.in_hand()
    assert isinstance(doing, Filling)
    assert doing.cursor == 2
    await hands.type("2027-12-31", "40")
    await hands.press(Key.START)
    assert "L-200" in hands.work.bay.board.lots, hands.words


async def test_a_form_with_open_lines_names_them(hands: Hands) -> None:
    """Nothing is saved by halves."""
    await at_paper(hands, Paper.LOT)
    await hands.press(Key.START)

    assert "Lot number: scan the box; Good to the end of" in hands.words
    assert "L-200" not in hands.work.bay.board.lots


async def test_an_operator_is_registered(hands: Hands) -> None:
    """By their badge."""
    await at_paper(hands, Paper.OPERATOR)
    await hands.scan("op-1")
    assert "registered already" in hands.words
    await hands.scan("op-3")
    await hands.press(Key.START)

    assert "op-3" in hands.work.bay.board.operators, hands.words
    assert hands.hand.operator == "op-1"


async def test_an_assay_is_adopted_only_when_every_figure_agrees(hands: Hands) -> None:
    """`not yet` saves nothing."""
    await at_paper(hands, Paper.ASSAY)
    await hands.type("version 3")
    await hands.choose("checked", "no")
    await hands.press(Key.START)
    assert "Check every figure" in hands.words
    await hands.press(Key.DOWN, Key.START)

    assert THREE_LINES.id in {each.assay.id for each in hands.work.bay.board.assays.values()}


async def test_with_two_assays_adopted_a_box_asks_which(hands: Hands) -> None:
    """Nothing is chosen beforehand."""
    await at_paper(hands, Paper.ASSAY)
    await hands.type("version 3")
    await hands.choose("checked", "yes")
    await hands.press(Key.START, Key.ROOMS)
    await at_paper(hands, Paper.LOT)

    assert hands.in_hand() == Filling(paper=Paper.LOT)


async def test_no_answer_comes_from_elsewhere(hands: Hands) -> None:
    """A stale click, or a word for another line, changes nothing."""
    await at_paper(hands, Paper.LOT)
    before = hands.in_hand()
    for question, answer in (("units", "abc"), ("assay", "no such assay"), ("nothing", "yes")):
        await hands.give(Chose(question, answer))
    assert hands.in_hand() == before
    await hands.give(Chose("assay", NASAL.id))
    assert isinstance(hands.in_hand(), Filling)


async def test_a_badge_scanned_into_a_form_says_who_acts(hands: Hands) -> None:
    """It is no lot number."""
    hands.hand = replace(hands.hand, operator=None)
    await at_paper(hands, Paper.LOT)
    await hands.scan("L-200")
    await hands.type("2027-12-31", "40")
    await hands.press(Key.START)
    assert "Nobody is signed on" in hands.words
    await hands.scan("op-2")
    await hands.press(Key.START)

    assert "L-200" in hands.work.bay.board.lots, hands.words
    assert hands.hand.operator == "op-2"


async def test_a_bay_that_refuses_keeps_the_form(hands: Hands) -> None:
    """What was typed is not typed twice."""
    answers = (("number", "L-100"), ("assay", NASAL.id), ("expires", "2027-12-31"), ("units", "5"))
    doing = Filling(paper=Paper.LOT, answers=answers, cursor=0)
    hands.hand = hands.hand.now_doing(doing)
    await hands.press(Key.START)

    assert hands.fine is False
    assert hands.in_hand() == doing


async def test_left_and_right_go_through_the_lines_and_stop_at_the_ends(hands: Hands) -> None:
    """An arrow loses nothing, and other keys do nothing."""
    await at_paper(hands, Paper.LOT)
    await hands.press(Key.LEFT, *([Key.RIGHT] * 9), Key.LEFT, Key.UP, Key.VOID)

    doing = hands.in_hand()
    assert isinstance(doing, Filling)
    assert doing.cursor == 2


async def test_esc_goes_back_by_the_room(hands: Hands) -> None:
    """Where it was begun; help lies over it."""
    await at_paper(hands, Paper.OPERATOR)
    await hands.press(Key.HELP)
    assert isinstance(hands.in_hand(), Helping)
    await hands.press(Key.BACK, Key.BACK)
    assert hands.in_hand() == Visiting(room=Room.PEOPLE)
    assert hands.words == "Nothing saved."
    await hands.press(Key.BACK)
    assert hands.in_hand() == Watching()
