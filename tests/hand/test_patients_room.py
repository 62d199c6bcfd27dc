"""The room of those who are tested: who is here, and one thing noted about one of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from readbell.core.board.patients import file_of
from readbell.core.people.events import ConsentRefused, SymptomsNoted
from readbell.core.policy.policy import SitePolicy
from readbell.hand.aloud import said_aloud
from readbell.hand.asked_now import asked_now
from readbell.hand.doing import Filling, Room, Visiting
from readbell.hand.given import Key
from readbell.hand.idle_keys import idle_keys
from readbell.hand.labelling import next_label
from readbell.hand.patients_room import things
from readbell.scenarios.line import PartyLine

if TYPE_CHECKING:
    from bay.conftest import Place
    from hand.conftest import Hands
    from readbell.core.people.party import Party

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
    # And they are still the one who is chosen.
    assert hands.in_hand() == replace(PATIENTS, cursor=1)
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


async def noted_of_party(hands: Hands, what: str, said: str) -> Party:
    """One thing is noted of the party of the chosen person."""
    await in_room(hands, Key.START)
    await hands.choose("what", what)
    await hands.press(Key.RIGHT)
    await hands.type(said)
    await hands.press(Key.START)
    assert hands.in_hand() == PATIENTS, hands.words
    found = hands.work.bay.board.party_of(hands.work.bay.board.persons["P-7"])
    assert found is not None
    return found


async def test_where_a_party_waits_and_what_is_to_be_known_of_it_is_noted(hands: Hands) -> None:
    """Of the party, whoever of them was chosen."""
    assert (await noted_of_party(hands, "lane", "lane 2")).lane == "lane 2"
    assert (await noted_of_party(hands, "note", "dog on the back seat")).note is not None


async def test_who_came_alone_has_no_party_to_note_anything_of(hands: Hands) -> None:
    """It is not offered."""
    await hands.scan("P-002", "C1")
    await in_room(hands, Key.DOWN, Key.DOWN, Key.START)
    (question,) = asked_now(hands.in_hand(), hands.scene)
    assert {"lane", "note"}.isdisjoint(each.value for each in question.options)


async def allowed_ahead(hands: Hands, place: Place) -> None:  # noqa: F811  # the fixture
    """The site wants devices labelled before their turn."""
    await hands.work.die()
    policy = SitePolicy(label_ahead=True)
    hands.work = await place.take_up(hands.work.clock, policy=policy)


async def test_a_device_is_labelled_ahead_for_the_chosen_person(
    hands: Hands,
    place: Place,  # noqa: F811  # the fixture
) -> None:
    """Its pouch stays shut; the next free label is another one then."""
    await allowed_ahead(hands, place)
    await in_room(hands, Key.DOWN, Key.LOOK)
    await hands.type("C01")
    await hands.press(Key.START)
    assert hands.in_hand() == replace(PATIENTS, cursor=1), hands.words
    ahead = hands.work.bay.board.ahead["C01"]
    assert ahead.person == hands.work.bay.board.persons["P-8"]
    assert next_label(hands.work.bay.board) == "C02"


async def test_what_is_no_label_is_not_written_ahead(
    hands: Hands,
    place: Place,  # noqa: F811  # the fixture
) -> None:
    """A person's ID least of all."""
    await allowed_ahead(hands, place)
    await in_room(hands, Key.LOOK)
    await hands.scan("P-002")
    assert "is a known person, and no label" in hands.words
    await hands.press(Key.START)
    assert "Still open" in hands.words


async def test_a_site_that_labels_at_the_turn_is_not_offered_it(
    hands: Hands,
    place: Place,  # noqa: F811  # the fixture
) -> None:
    """The key is not on the line, and says what would have to be set."""
    await in_room(hands)
    assert Key.LOOK in idle_keys(PATIENTS, hands.scene)
    await hands.press(Key.LOOK)
    assert "label_ahead" in hands.words
    assert hands.in_hand() == PATIENTS
    await allowed_ahead(hands, place)
    assert Key.LOOK not in idle_keys(PATIENTS, hands.scene)
    await hands.press(Key.READ)
    assert "F4 labels a device ahead" in hands.words
