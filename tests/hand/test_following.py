"""The story of the chosen cartridge on the board: opened on purpose, recorded, and left again."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from bay.conftest import place  # noqa: F401  # fixtures
from hand.conftest import hands  # noqa: F401
from readbell.core.keeping.events import TraceOf, TraceOpened
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.events import Opened, RecordOpened
from readbell.core.staff.roles import Role
from readbell.hand.aloud import said_aloud, understood
from readbell.hand.doing import Following, Helping, Room, Visiting, Watching
from readbell.hand.following import closed_for
from readbell.hand.given import Key

if TYPE_CHECKING:
    from hand.conftest import Hands


async def opened(hands: Hands) -> None:  # noqa: F811
    """Bring a cartridge to the well and open its story."""
    await hands.to_well("C1", "P-001")
    await hands.press(Key.RIGHT, Key.RIGHT)


async def looks(hands: Hands) -> list[TraceOpened]:  # noqa: F811
    """Return who looked at a story, as it is on record."""
    return [each for each in await hands.stored() if isinstance(each, TraceOpened)]


async def test_right_opens_the_cartridge_and_right_again_its_story(hands: Hands) -> None:  # noqa: F811
    """That somebody looked is on record before the page stands."""
    await opened(hands)

    assert hands.in_hand() == Following(cartridge=hands.cartridge("C1").id)
    (looked,) = await looks(hands)
    assert (looked.of, looked.about) == (TraceOf.CARTRIDGE, hands.cartridge("C1").id)
    assert hands.words == "op-1 opened the trace of cartridge C1; that is recorded."


async def test_its_pages_are_turned_and_it_is_left_as_it_was_entered(hands: Hands) -> None:  # noqa: F811
    """Nothing in it can be changed."""
    await opened(hands)
    await hands.press(Key.DOWN, Key.PAGE_DOWN, Key.UP)
    assert hands.in_hand() == Following(cartridge=hands.cartridge("C1").id, page=1)
    await hands.press(Key.DONE, Key.READ, Key.VOID)
    assert isinstance(hands.in_hand(), Following)
    await hands.press(Key.LEFT)
    assert hands.in_hand() == Watching()
    assert hands.hand.opened


async def test_from_it_one_goes_on_to_help_to_the_rooms_or_to_work(hands: Hands) -> None:  # noqa: F811
    """A scan is never lost."""
    await opened(hands)
    await hands.press(Key.HELP)
    assert isinstance(hands.in_hand(), Helping)
    await hands.press(Key.BACK)
    await hands.press(Key.ROOMS)
    assert isinstance(hands.in_hand(), Visiting)
    await hands.press(Key.ROOMS, Key.RIGHT)
    await hands.scan("P-002")
    assert not isinstance(hands.in_hand(), Following)


async def test_nobody_in_particular_opens_no_story(hands: Hands) -> None:  # noqa: F811
    """Whoever looks has a name."""
    await hands.to_well("C1", "P-001")
    hands.hand = hands.hand.__class__(doing=Watching(), chosen=hands.hand.chosen, opened=True)
    await hands.press(Key.RIGHT)
    assert hands.in_hand() == Watching()
    assert hands.fine is False
    assert await looks(hands) == []


async def test_a_story_of_the_archive_is_refused_to_a_tester(hands: Hands) -> None:  # noqa: F811
    """A supervisor opens it."""
    await hands.to_well("C1", "P-001")
    roles = GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,))
    assert (await hands.work.bay.do(roles)).accepted
    hands.wait("48:00:00")
    await hands.scan("op-2")
    await hands.press(Key.RIGHT, Key.RIGHT)
    assert not isinstance(hands.in_hand(), Following)


async def test_it_is_read_out_in_plain_lines(hands: Hands) -> None:  # noqa: F811
    """Line for line what the page shows."""
    await hands.to_well("C1", "P-001")
    await hands.on_purpose(understood(".story", hands.hand, hands.scene))
    said = "\n".join(said_aloud(hands.hand, hands.scene))
    assert "C1  labelled for P-001 from lot L-100." in said
    assert "Drops onto the well: done." in said


async def story_in(hands: Hands, room: Visiting) -> Following:  # noqa: F811
    """Open the story of what is chosen in `room`."""
    hands.hand = replace(hands.hand, doing=room)
    await hands.press(Key.PAGE_DOWN)
    doing = hands.in_hand()
    assert isinstance(doing, Following)
    assert doing.before == room
    return doing


@pytest.mark.parametrize(
    ("room", "of", "called"),
    [
        pytest.param(Room.LOTS, TraceOf.LOT, "L-100", id="the chosen lot"),
        pytest.param(Room.PEOPLE, TraceOf.OPERATOR, "op-1", id="the chosen operator"),
        pytest.param(Room.TODAY, TraceOf.DAY, "Today", id="the running day"),
    ],
)
async def test_in_a_room_the_story_of_what_is_chosen_is_opened_and_recorded(
    hands: Hands,  # noqa: F811
    room: Room,
    of: TraceOf,
    called: str,
) -> None:
    """And whoever leaves it is back in that room."""
    await hands.to_well("C1", "P-001")
    story = await story_in(hands, Visiting(room=room))
    (looked,) = await looks(hands)
    assert looked.of == of
    assert story.of == called
    assert any("C1  labelled for P-001" in each for each in story.told)
    assert hands.words.endswith("that is recorded.")
    await hands.press(Key.PAGE_DOWN, Key.LEFT)
    assert hands.in_hand() == Visiting(room=room)


@pytest.mark.parametrize(
    "room",
    [
        pytest.param(Visiting(room=Room.PATIENTS), id="chosen among the patients"),
        pytest.param(Visiting(room=Room.TODAY, person="P-001"), id="with an open record"),
    ],
)
async def test_of_a_person_it_is_on_record_as_their_whole_story(
    hands: Hands,  # noqa: F811
    room: Visiting,
) -> None:
    """As `readbell trace --patient` records it."""
    await hands.to_well("C1", "P-001")
    story = await story_in(hands, room)
    opened = [each for each in await hands.stored() if isinstance(each, RecordOpened)]
    assert [each.what for each in opened] == [Opened.TRACE]
    assert story.of == "P-001"
    assert any("C1  labelled for P-001" in each for each in story.told)
    assert "P-001" not in repr(story)


async def test_in_a_room_nobody_and_nothing_opens_no_story(hands: Hands) -> None:  # noqa: F811
    """Whoever looks has a name, and what they look at is chosen."""
    room = Visiting(room=Room.PATIENTS)
    hands.hand = replace(hands.hand, doing=room)
    await hands.press(Key.PAGE_DOWN)
    assert (hands.in_hand(), hands.words) == (room, "Nothing is chosen.")
    hands.hand = replace(hands.hand, operator=None)
    await hands.press(Key.PAGE_DOWN)
    assert (hands.in_hand(), hands.fine) == (room, False)


async def test_what_a_colleague_did_is_refused_to_a_tester(hands: Hands) -> None:  # noqa: F811
    """It is for those who answer for it."""
    await hands.to_well("C1", "P-001")
    roles = GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,))
    assert (await hands.work.bay.do(roles)).accepted
    await hands.scan("op-2")
    room = Visiting(room=Room.PEOPLE)
    hands.hand = replace(hands.hand, doing=room)
    await hands.press(Key.PAGE_DOWN)
    assert (hands.in_hand(), hands.fine) == (room, False)
    assert await looks(hands) == []


async def test_whoever_takes_over_does_not_read_on_in_the_story_of_another(hands: Hands) -> None:  # noqa: F811
    """They may see less of it."""
    await hands.to_well("C1", "P-001")
    await story_in(hands, Visiting(room=Room.TODAY))
    await hands.scan("op-2")
    assert not isinstance(hands.in_hand(), Following)


async def test_in_plain_lines_a_word_opens_it_in_a_room(hands: Hands) -> None:  # noqa: F811
    """The same word as on the board."""
    await hands.to_well("C1", "P-001")
    hands.hand = replace(hands.hand, doing=Visiting(room=Room.TODAY))
    await hands.on_purpose(understood(".story", hands.hand, hands.scene))
    said = "\n".join(said_aloud(hands.hand, hands.scene))
    assert "C1  labelled for P-001 from lot L-100." in said


async def test_whoever_signs_in_by_badge_does_not_read_on_either(hands: Hands) -> None:  # noqa: F811
    """After a station was locked, or a badge was scanned, somebody else stands there."""
    await hands.to_well("C1", "P-001")
    story = await story_in(hands, Visiting(room=Room.TODAY))
    assert closed_for(hands.hand, "op-1").doing == story
    await hands.scan("op-1")
    assert hands.in_hand() == story
    assert closed_for(hands.hand, "op-2").doing == Watching()
