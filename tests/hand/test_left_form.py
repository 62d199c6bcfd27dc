"""Whoever waits and has left is taken off the queue where people are looked up, and at their turn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from hand.test_patients_room import PATIENTS, in_room
from readbell.core.board.to_start import to_start
from readbell.core.cartridge.events import How
from readbell.core.people.events import ConsentRefused, PersonLeft
from readbell.core.people.particulars import LeaveReason
from readbell.hand.aloud import in_words, said_aloud, understood
from readbell.hand.asked_now import asked_now
from readbell.hand.doing import Filling, Labelling, Paper, Visiting, Watching
from readbell.hand.given import Key
from readbell.hand.idle_keys import idle_keys
from readbell.hand.patients_room import things

if TYPE_CHECKING:
    from hand.conftest import Hands

SECOND_ROW, FREE = 1, frozenset((Key.VOID,))


def queue(hands: Hands) -> list[str | None]:
    """Who is still to be begun, by their ids."""
    return [hands.scene.board.name(each) for each in to_start(hands.scene.board)]


async def leavings(hands: Hands) -> list[tuple[str | None, LeaveReason]]:
    """Who left by the record, and why."""
    board = hands.scene.board
    found = [each for each in await hands.stored() if isinstance(each, PersonLeft)]
    return [(board.name(each.person), each.reason) for each in found]


async def test_one_of_a_party_has_left_and_the_other_still_waits(hands: Hands) -> None:
    """Three keys and a reason; nothing is said of consent."""
    await in_room(hands, Key.VOID)
    assert [each.key for each in asked_now(hands.in_hand(), hands.scene)] == ["who", "reason"]
    await hands.press(Key.START)
    assert "Still open: Who has left; Why" in hands.words
    await hands.press(Key.DOWN, Key.RIGHT, Key.DOWN, Key.START)

    assert await leavings(hands) == [("P-7", LeaveReason.WITHOUT_A_WORD)]
    assert queue(hands) == ["P-8"]
    assert hands.words.startswith("P-7 has LEFT before anything was begun: gone, or driven off")
    assert not [each for each in await hands.stored() if isinstance(each, ConsentRefused)]
    # They are the chosen one still, now behind the others.
    assert [each.value for each in things(hands.scene)] == ["P-8", "P-7"]
    assert hands.in_hand() == Visiting(room=PATIENTS.room, cursor=SECOND_ROW)


async def test_a_party_leaves_in_one_act_and_is_told_of_in_one_line(hands: Hands) -> None:
    """With whatever words there are about it."""
    await in_room(hands, Key.VOID)
    await hands.choose("who", "party")
    await hands.choose("reason", LeaveReason.OTHER)
    await hands.press(Key.RIGHT)
    await hands.type("the dog was ill")
    await hands.press(Key.START)

    assert await leavings(hands) == [("P-7", LeaveReason.OTHER), ("P-8", LeaveReason.OTHER)]
    assert queue(hands) == []
    assert hands.words == (
        "2 people have LEFT before anything was begun: for a reason of its own. "
        "Nobody waits for them; no repeat is due. Whoever comes back is entered again."
    )


async def test_whoever_is_back_is_taken_back_in_with_those_who_left_with_them(
    hands: Hands,
) -> None:
    """By one key, to where they waited; a slip of F12 is undone by it."""
    await in_room(hands, Key.START)
    await hands.choose("what", "lane")
    await hands.press(Key.RIGHT)
    await hands.type("lane 2")
    await hands.press(Key.START, Key.VOID)
    await hands.choose("who", "party")
    await hands.choose("reason", LeaveReason.COULD_NOT_WAIT)
    await hands.press(Key.START)
    assert queue(hands) == []
    await hands.press(Key.SECOND)

    assert queue(hands) == ["P-7", "P-8"]
    assert hands.words == "Back in, and waiting: P-7, P-8."
    party = hands.scene.board.party_of(hands.scene.board.persons["P-7"])
    assert party is not None
    assert party.lane == "lane 2"
    assert not hands.scene.board.gone


async def test_each_key_of_the_room_is_offered_to_whom_it_is_for(hands: Hands) -> None:
    """F12 for whoever waits, F6 for whoever has left; else they say why they do nothing."""
    await hands.scan("P-002", "C1")
    await in_room(hands)
    assert {Key.SECOND, Key.VOID} & idle_keys(hands.in_hand(), hands.scene) == {Key.SECOND}
    await hands.press(Key.SECOND)
    assert hands.words == "P-7 has not left. F12 is for whoever waits and has gone."
    await hands.press(Key.DOWN, Key.DOWN)
    assert {Key.SECOND, Key.VOID} <= idle_keys(hands.in_hand(), hands.scene)
    await hands.press(Key.VOID)
    assert hands.words == (
        "P-002 does not wait: C1 runs for them. Scan it on the board; F12 there gives it up."
    )
    assert hands.fine is False
    await hands.press(Key.UP, Key.VOID)
    await hands.choose("who", "one")
    await hands.choose("reason", LeaveReason.COMES_AGAIN)
    await hands.press(Key.START)
    assert things(hands.scene)[-1].value == "P-8"
    assert {Key.SECOND, Key.VOID} & idle_keys(hands.in_hand(), hands.scene) == {Key.VOID}
    await hands.press(Key.VOID)
    assert hands.words == "P-8 has left already. F6 takes them back in."


async def test_of_whoever_was_read_nothing_is_left_to_be_noted(hands: Hands) -> None:
    """They had their test, and went home with it."""
    await hands.to_window("C1", "P-001")
    await hands.scan("C1", "P-001")
    await hands.press(Key.UP, Key.DOWN, Key.READ)
    hands.hand = hands.hand.now_doing(PATIENTS)
    await hands.press(Key.VOID)

    assert hands.words == "P-001 does not wait: nothing is to be begun for them."


async def test_at_their_turn_one_key_says_that_they_have_gone(hands: Hands) -> None:
    """Their ID is on the list at the window; nobody answers when it is called."""
    await in_room(hands, Key.ROOMS)
    await hands.type("P-8")
    assert isinstance(hands.in_hand(), Labelling)
    assert "Has P-8 gone? Say .left." in list(said_aloud(hands.hand, hands.scene))
    await hands.press(Key.VOID)
    await hands.press(Key.BACK)
    turn = hands.in_hand()
    assert isinstance(turn, Labelling)
    assert (turn.person, turn.person_by) == ("P-8", How.TYPED)
    await hands.press(Key.VOID)
    form = hands.in_hand()
    assert isinstance(form, Filling)
    assert form.paper is Paper.LEFT
    await hands.choose("who", "one")
    await hands.choose("reason", LeaveReason.SENT_ELSEWHERE)
    await hands.press(Key.START)

    assert await leavings(hands) == [("P-8", LeaveReason.SENT_ELSEWHERE)]
    assert hands.in_hand() == Watching()


async def test_somebody_entered_alone_may_leave_from_their_turn(hands: Hands) -> None:
    """One who came by themselves is asked about alone."""
    await hands.press(Key.START)
    await hands.scan("P-101")
    await hands.press(Key.START)
    assert isinstance(hands.in_hand(), Labelling)
    await hands.press(Key.VOID)
    assert [each.key for each in asked_now(hands.in_hand(), hands.scene)] == ["reason"]
    await hands.press(Key.DOWN, Key.START)

    assert await leavings(hands) == [("P-101", LeaveReason.WITHOUT_A_WORD)]


async def test_a_turn_of_somebody_who_had_a_test_offers_no_leaving(hands: Hands) -> None:
    """Nothing of theirs waits; Esc lets the turn go."""
    await hands.scan("P-001", "C1", "P-001")
    await hands.press(Key.START)
    assert isinstance(hands.in_hand(), Labelling)
    assert Key.VOID in idle_keys(hands.in_hand(), hands.scene)
    await hands.press(Key.VOID)

    assert isinstance(hands.in_hand(), Labelling)
    assert hands.words == "P-001 does not wait: C1 runs for them. Esc lets this turn go."


async def test_the_board_says_where_somebody_who_has_left_is_noted(hands: Hands) -> None:
    """As a party is entered, and where F12 finds no cartridge to be about."""
    await hands.press(Key.START)
    await hands.scan("P-8", "P-9")
    await hands.press(Key.START)
    assert hands.words.endswith("Whoever leaves before it: F9, Patients, F12.")
    await hands.press(Key.VOID)

    assert hands.words == (
        "No cartridge is chosen. Scan one, or choose a row with the arrows. "
        "Whoever waits and has left: F9, Patients, F12."
    )


async def test_nobody_leaves_while_nobody_says_who_acts(hands: Hands) -> None:
    """Who said so is a part of what is recorded."""
    hands.hand = type(hands.hand)(doing=PATIENTS)
    await in_room(hands, Key.VOID)
    assert "Nobody is signed on" in hands.words
    await hands.press(Key.SECOND)
    assert hands.in_hand() == PATIENTS


@pytest.mark.parametrize(("word", "key"), [("left", Key.VOID), ("back-in", Key.SECOND)])
async def test_in_plain_lines_both_have_a_word(hands: Hands, word: str, key: Key) -> None:
    """The same keys, called by what they do there."""
    await in_room(hands)
    given = understood(f".{word}", hands.hand, hands.scene)
    assert getattr(given, "key", None) is key
    told = "\n".join(said_aloud(hands.hand, hands.scene))
    assert ".left" in told
    await hands.press(Key.VOID)
    await hands.choose("who", "party")
    await hands.choose("reason", LeaveReason.COULD_NOT_WAIT)
    await hands.press(Key.START)
    assert "P-7 has left: they could not wait." in "\n".join(said_aloud(hands.hand, hands.scene))
    assert "F12" not in in_words(hands.words)
