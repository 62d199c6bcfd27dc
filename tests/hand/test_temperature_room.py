"""A temperature is noted with two answers, and a slip is told in one sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.core.climate.events import Where
from readbell.hand.doing import Filling, Paper, Room, Visiting
from readbell.hand.given import Key

if TYPE_CHECKING:
    from hand.conftest import Hands


async def at_form(hands: Hands) -> None:
    """Go there by keys."""
    await hands.press(Key.ROOMS)
    await hands.choose("room", Room.TEMPERATURE)
    await hands.press(Key.START)
    assert hands.in_hand() == Filling(paper=Paper.TEMPERATURE)


@pytest.mark.parametrize(("typed", "celsius"), [("21.5", 21.5), ("21,5", 21.5), ("-4", -4.0)])
async def test_a_temperature_is_noted(hands: Hands, typed: str, celsius: float) -> None:
    """As the thermometer shows it, with a point or a comma."""
    await at_form(hands)
    await hands.press(Key.DOWN, Key.RIGHT)
    await hands.type(typed)
    await hands.press(Key.START)

    noted = hands.work.bay.board.climate.at(Where.BAY)
    assert noted is not None, hands.words
    assert noted.celsius == celsius
    assert hands.in_hand() == Visiting(room=Room.TEMPERATURE)


@pytest.mark.parametrize("typed", ["warm", "21.555", "2 1", "99", "-41", "٢١"])
async def test_what_is_no_temperature_is_refused_and_nothing_is_lost(
    hands: Hands, typed: str
) -> None:
    """The form stays, and says what to type."""
    await at_form(hands)
    await hands.press(Key.DOWN, Key.RIGHT)
    await hands.type(typed)

    assert hands.fine is False
    assert typed in hands.words
    assert isinstance(hands.in_hand(), Filling)
    assert hands.work.bay.board.climate.at(Where.BAY) is None


async def test_any_other_key_says_what_the_room_is_for(hands: Hands) -> None:
    """Nothing happens by accident."""
    await hands.press(Key.ROOMS)
    await hands.choose("room", Room.TEMPERATURE)
    await hands.press(Key.DONE)
    assert hands.words == "F2 notes a temperature."
