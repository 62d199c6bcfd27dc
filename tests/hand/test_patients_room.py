"""The room of those who are tested: who is here, and one thing noted about one of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from readbell.core.board.patients import file_of
from readbell.core.people.events import ConsentRefused, SymptomsNoted
from readbell.hand.aloud import said_aloud
from readbell.hand.doing import Filling, Room, Visiting
from readbell.hand.given import Key
from readbell.hand.patients_room import things
from readbell.scenarios.line import PartyLine

if TYPE_CHECKING:
    from hand.conftest import Hands

PATIENTS = Visiting(room=Room.PATIENTS)


async def in_room(hands: Hands, *steps: Key) -> None:
    """Into the room, with a party of two that waits."""
    line = PartyLine(do="register-party", by="op-1", id="car 12", persons=("P-7", "P-8"))
    await hands.desk.serve(hands.work.bay, line)
    hands.hand = hands.hand.now_doing(PATIENTS)
    await hands.press(*steps)


async def test_who_waits_stands_first_and_who_was_begun_after_them(hands: Hands) -> None:
    """In the order of their turns."""
    await hands.scan("P-002", "C1")
    await in_room(hands)
    assert [each.value for each in things(hands.scene)] == ["P-7", "P-8", "P-002"]
    told = "\n".join(said_aloud(hands.hand, hands.scene))
    assert "P-7 waits." in told
    assert "P-002: C1 labelled." in told


@pytest.mark.parametrize(
    ("what", "said"), [("name", "Ada [Q]"), ("birth-date", "1980-02-03"), ("contact", "0123")]
)
async def test_one_thing_is_noted_about_the_chosen_person(
    hands: Hands, what: str, said: str
) -> None:
    """And the room is there again."""
    await in_room(hands, Key.DOWN, Key.START)
    await hands.choose("what", what)
    await hands.press(Key.RIGHT)
    await hands.type(said)
    await hands.press(Key.START)
    assert hands.in_hand() == PATIENTS
    known = file_of(hands.work.bay.board, hands.work.bay.board.persons["P-8"])
    assert said in (known.name, known.born, known.contact)


async def test_symptoms_have_a_first_day_or_are_none(hands: Hands) -> None:
    """A day that is none is said at once."""
    await in_room(hands, Key.START)
    await hands.choose("what", "symptoms")
    await hands.press(Key.RIGHT)
    await hands.type("yesterday")
    assert "is no day" in hands.words
    await hands.type("2026-03-27")
    await hands.press(Key.START)
    await hands.press(Key.START)
    await hands.choose("what", "no-symptoms")
    await hands.press(Key.START)
    noted = [each for each in await hands.stored() if isinstance(each, SymptomsNoted)]
    assert [each.present for each in noted] == [True, False]


async def test_consent_is_refused_in_the_room_too(hands: Hands) -> None:
    """Then they wait no more."""
    await in_room(hands, Key.DONE)
    await hands.choose("giver", "no: guardian-declined")
    await hands.press(Key.START)
    assert hands.in_hand() == PATIENTS
    assert any(isinstance(each, ConsentRefused) for each in await hands.stored())
    assert [each.value for each in things(hands.scene)] == ["P-8"]


async def test_the_form_is_left_without_a_trace_and_other_keys_say_what_there_is(
    hands: Hands,
) -> None:
    """Nothing is begun from a list: an ID is read back on the board."""
    await in_room(hands, Key.READ)
    assert "on the board" in hands.words
    await hands.press(Key.START)
    assert isinstance(hands.in_hand(), Filling)
    await hands.press(Key.BACK)
    assert hands.in_hand() == PATIENTS
    hands.hand = hands.hand.now_doing(PATIENTS)
    hands.hand = replace(hands.hand, operator=None)
    await hands.press(Key.START)
    assert "Nobody is signed on" in hands.words


async def test_an_empty_room_says_where_to_begin(hands: Hands) -> None:
    """It is the first thing somebody new looks at."""
    hands.hand = hands.hand.now_doing(PATIENTS)
    await hands.press(Key.START)
    assert "F2 on the board" in hands.words
