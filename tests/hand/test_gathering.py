"""People are entered before anything is opened for them: one, a party, and nobody twice."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.hand.doing import (
    Gathering,
    Watching,
)
from readbell.hand.given import Key
from readbell.scenarios.line import MOST_NAMES

if TYPE_CHECKING:
    from hand.conftest import Hands


async def test_a_party_is_entered_once_and_nothing_is_opened_ahead(hands: Hands) -> None:
    """Six open pouches at the start are six chances to swap two."""
    await hands.press(Key.START)
    await hands.scan("P-101", "P-102", "P-103")
    await hands.press(Key.START)

    assert hands.hand.doing == Watching()
    assert "P-101" in hands.words
    assert len(hands.work.bay.board.running) == 0
    await hands.scan("P-101", "C01", "P-102", "C02")
    assert set(hands.work.bay.board.labels) == {"C01", "C02"}


async def test_one_new_person_goes_straight_on_to_the_label(hands: Hands) -> None:
    """They were scanned a moment ago, by the same hand."""
    await hands.press(Key.START)
    await hands.scan("P-101")
    await hands.press(Key.START)
    await hands.scan("C01")

    assert hands.cartridge("C01").label == "C01"


async def test_the_last_person_scanned_can_be_taken_back(hands: Hands) -> None:
    """Scanned the passenger twice, or the wrong form."""
    await hands.press(Key.START)
    await hands.scan("P-101", "P-102")
    await hands.press(Key.SECOND)

    assert hands.hand.doing == Gathering(persons=("P-101",))


@pytest.mark.parametrize("scanned", ["P-101", "op-1", "L-100", "P-101P-102"])
async def test_nobody_is_entered_twice_and_nothing_else_as_a_person(
    hands: Hands, scanned: str
) -> None:
    """Two scans that melted into one are not a third person."""
    await hands.press(Key.START)
    await hands.scan("P-101", "P-001", scanned)

    assert hands.fine is False
    assert hands.hand.doing == Gathering(persons=("P-101", "P-001"))


async def test_a_list_that_is_full_takes_nobody_more_and_loses_nobody(hands: Hands) -> None:
    """A coach with more people than one line to the bay may name is two parties."""
    await hands.press(Key.START)
    await hands.scan(*(f"P-9{number:03}" for number in range(MOST_NAMES)), "P-8000")

    assert hands.fine is False
    assert "P-8000 was not added" in hands.words
    await hands.press(Key.START)
    assert hands.words.startswith("Entered. First: P-9000.")
    assert "P-8000" not in hands.work.bay.board.persons
    assert "P-9099" in hands.work.bay.board.persons


async def test_leaving_a_list_of_people_says_that_none_was_entered(hands: Hands) -> None:
    """Esc never loses a list without saying so."""
    await hands.press(Key.START)
    await hands.scan("P-101", "P-102")
    await hands.press(Key.BACK)

    assert hands.words == "2 people were on the list; none was entered."


@pytest.mark.parametrize("scanned", ["3", "2026-11-25"], ids=["a letter", "a day off a box"])
async def test_what_is_surely_no_person_is_not_entered_as_one(hands: Hands, scanned: str) -> None:
    """It would be found on a slip later."""
    await hands.press(Key.START)
    await hands.scan(scanned)

    assert hands.hand.doing == Gathering()
    assert "Nobody was added" in hands.words
