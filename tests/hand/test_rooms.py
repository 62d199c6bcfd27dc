"""The rooms beside the board: by keys, by clicks and by scans, and nothing happens by accident."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from hand.conftest import visit
from readbell.core.board.events import AlarmTested, SoundMuted
from readbell.hand.asked_now import asked_now
from readbell.hand.doing import Filling, Room, Visiting, Watching
from readbell.hand.given import Chose, Key, PointedAt, Pressed
from readbell.hand.handle import handle
from readbell.hand.visiting import rooms_of

if TYPE_CHECKING:
    from hand.conftest import Hands


async def test_right_and_left_go_round_all_rooms(hands: Hands) -> None:
    """No room is out of reach."""
    await hands.press(Key.ROOMS)
    seen = []
    rooms = rooms_of(hands.scene)
    for _ in rooms:
        doing = hands.in_hand()
        assert isinstance(doing, Visiting)
        seen.append(doing.room)
        await hands.press(Key.RIGHT)
    assert seen == list(rooms)
    await hands.press(Key.LEFT, Key.ROOMS)
    assert hands.in_hand() == Watching()


async def test_a_room_that_is_none_and_a_thing_that_is_not_there_are_nothing(hands: Hands) -> None:
    """A stale click."""
    await visit(hands, Room.LOTS)
    before = hands.hand
    for given in (Chose("room", "cellar"), Chose("thing", "L-9"), Chose("reason", "none")):
        await hands.give(given)
    await hands.give(PointedAt("gone"))

    assert hands.in_hand() == before.doing


async def test_a_lot_is_chosen_by_a_click_and_opened(hands: Hands) -> None:
    """It is open already; the bay says so and nothing breaks."""
    await visit(hands, Room.LOTS)
    await hands.choose("thing", "L-100")
    await hands.press(Key.DONE)

    assert hands.words


async def test_a_lot_is_held_only_after_its_box_was_scanned(hands: Hands) -> None:
    """Moving away from it forgets the scan."""
    await visit(hands, Room.LOTS)
    await hands.press(Key.VOID)
    assert "Scan the box of L-100 itself" in hands.words
    await hands.scan("L-100")
    await hands.press(Key.DOWN, Key.VOID)
    assert not hands.work.bay.board.lots["L-100"].on_hold
    await hands.scan("L-100")
    await hands.press(Key.VOID)
    assert hands.work.bay.board.lots["L-100"].on_hold


async def test_something_else_scanned_among_the_lots_is_what_it_is(hands: Hands) -> None:
    """No scan is lost because a room was open."""
    await visit(hands, Room.LOTS)
    await hands.scan("P-001")

    assert "L-100" in hands.words


@pytest.mark.parametrize("room", [Room.LOTS, Room.SOUND])
async def test_nobody_signed_on_is_told(hands: Hands, room: Room) -> None:
    """And how to sign on."""
    hands.hand = replace(hands.hand, operator=None)
    await visit(hands, room)
    await hands.press(Key.DONE)

    assert "Scan your badge" in hands.words


async def test_another_operator_is_let_act(hands: Hands) -> None:
    """Chosen from the list."""
    await visit(hands, Room.PEOPLE)
    await hands.press(Key.UP, Key.DOWN, Key.DOWN, Key.DONE)
    assert hands.hand.operator == "op-2"
    await hands.press(Key.HOME)
    assert "F2 registers" in hands.words


async def test_keys_without_a_meaning_say_what_the_room_is_for(hands: Hands) -> None:
    """Nobody presses into the dark."""
    for room, words in (
        (Room.ASSAYS, "F2 adopts"),
        (Room.TODAY, "there to be read"),
        (Room.FIGURES, "there to be read"),
        (Room.LOTS, "Nothing is chosen."),
    ):
        await visit(hands, room)
        await hands.press(Key.LOOK)
        assert words in hands.words
    await visit(hands, Room.SOUND)
    await hands.press(Key.LOOK)
    assert hands.in_hand() == Visiting(room=Room.SOUND)


async def test_the_alarm_is_rung_heard_and_not_heard(hands: Hands) -> None:
    """Whether it was heard is for people to say."""
    await visit(hands, Room.SOUND)
    await hands.press(Key.DONE, Key.HEARD, Key.SECOND)

    assert hands.rang == 1
    tests = [each.heard for each in await hands.stored() if isinstance(each, AlarmTested)]
    assert tests == [True, False]


async def test_a_mute_needs_its_reason_and_the_same_key_ends_it(hands: Hands) -> None:
    """It ends by itself all the same."""
    await visit(hands, Room.SOUND)
    await hands.press(Key.START)
    assert "Choose why" in hands.words
    await hands.press(Key.DOWN)
    await hands.choose("reason", "false-alarm")
    await hands.press(Key.START)
    muted = [each for each in await hands.stored() if isinstance(each, SoundMuted)]
    assert [each.reason for each in muted] == ["false-alarm"], hands.words
    await hands.press(Key.DOWN)
    assert hands.words == "The sound rests already. F2 lets it sound again."
    await hands.press(Key.START)
    assert hands.work.bay.board.muted_until is None


@pytest.mark.parametrize(
    ("room", "scanned", "words"),
    [
        (Room.PEOPLE, "P-001", "P-001 is a known person, and not the badge of an operator."),
        (Room.PEOPLE, "L-100", "L-100 is a known lot, and not the badge of an operator."),
        (Room.LOTS, "P-001", "P-001 is a known person, and not the number of a box."),
        (Room.LOTS, "C01", "C01 is a known cartridge, and not the number of a box."),
    ],
)
async def test_what_is_known_as_something_else_is_neither_an_operator_nor_a_box(
    hands: Hands, room: Room, scanned: str, words: str
) -> None:
    """A patient's wristband under the scanner would be a supervisor, or a lot that no recall names."""
    await hands.scan("P-001", "C01")
    await hands.press(Key.BACK)
    await visit(hands, room)
    await hands.press(Key.START)
    await hands.scan(scanned)

    assert hands.words == f"{words} Nothing was taken. Scan or type another."
    doing = hands.in_hand()
    assert isinstance(doing, Filling)
    assert scanned not in dict(doing.answers).values()


async def test_an_empty_room_asks_nothing(hands: Hands) -> None:
    """Nothing to choose, nothing to go wrong."""
    scene = hands.scene
    assert asked_now(Visiting(room=Room.TODAY), scene) == ()
    bare = replace(scene, shelf=())
    hand = hands.hand.now_doing(Visiting(room=Room.ASSAYS))
    for key in (Key.UP, Key.DOWN, Key.START, Key.DONE):
        assert handle(hand, Pressed(key), bare).ask is None
