"""The room of what is to be told: whom, how, and only after an ID was read back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from readbell.core.cartridge.events import How
from readbell.core.policy.notices import NoticeRule
from readbell.core.policy.policy import SitePolicy
from readbell.core.results.telling import Channel, Hearer, ResultTold
from readbell.hand.aloud import said_aloud
from readbell.hand.asked_now import asked_now
from readbell.hand.doing import Filling, Room, Visiting
from readbell.hand.given import Key
from readbell.hand.telling_room import things
from readbell.phrases.telling_words import NOTHING_TO_TELL
from readbell.scenarios.line import read_line

if TYPE_CHECKING:
    from bay.conftest import Place
    from hand.conftest import Hands

TELLING = Visiting(room=Room.TELLING)
NOTIFIES = SitePolicy(
    notices=(NoticeRule(assay="respiratory-antigen-nasal", office="health office", hours=1),)
)


async def read(hands: Hands, test: str = "faint") -> None:
    """C1 of P-001 is read, and the room is entered."""
    await hands.to_window("C1", "P-001")
    await hands.scan("C1", "P-001")
    await hands.choose("control", "present")
    await hands.choose("sars-cov-2", test)
    await hands.press(Key.READ)
    assert hands.cartridge("C1").reading is not None, hands.words
    hands.hand = hands.hand.now_doing(TELLING)


async def told(hands: Hands) -> list[ResultTold]:
    """What the record says was told."""
    return [each for each in await hands.stored() if isinstance(each, ResultTold)]


async def test_a_result_is_told_in_three_answers(hands: Hands) -> None:
    """Whom, how, and the ID as they read it back; then it leaves the list."""
    await read(hands)
    assert [each.words for each in things(hands.scene)] == ["C1"]

    await hands.press(Key.DONE)
    assert isinstance(hands.in_hand(), Filling)
    await hands.choose("to", "person")
    await hands.press(Key.RIGHT)
    await hands.choose("how", "phone")
    await hands.press(Key.RIGHT)
    await hands.scan("P-001")
    await hands.press(Key.START)

    (event,) = await told(hands)
    assert (event.to, event.how) == (Hearer.PERSON, Channel.PHONE)
    assert event.made_sure is How.SCANNED
    assert hands.in_hand() == TELLING
    assert "told by phone" in hands.words
    assert not things(hands.scene)


async def test_nobody_is_told_before_each_line_is_answered(hands: Hands) -> None:
    """Nothing is answered beforehand, not even where there is one answer."""
    await read(hands)
    await hands.press(Key.DONE, Key.START)

    assert "Still open" in hands.words
    assert all(each.is_open for each in asked_now(hands.in_hand(), hands.scene))
    assert not await told(hands)


async def test_another_persons_id_is_refused_and_the_form_stays(hands: Hands) -> None:
    """The wrong person must not hear it; it is kept as a near miss."""
    await read(hands)
    await hands.press(Key.DONE)
    await hands.choose("to", "person")
    await hands.choose("how", "spoken")
    await hands.press(Key.RIGHT, Key.RIGHT)
    await hands.type("P-002")
    await hands.press(Key.START)

    assert "is not this person's" in hands.words
    assert not await told(hands)
    assert isinstance(hands.in_hand(), Filling)


async def test_a_result_that_changed_meanwhile_is_not_told(hands: Hands) -> None:
    """Between opening the form and saving it somebody else told them, or took it back."""
    await read(hands)
    await hands.press(Key.DONE)
    await hands.choose("to", "person")
    await hands.choose("how", "spoken")
    await hands.press(Key.RIGHT, Key.RIGHT)
    await hands.type("P-001")
    line = read_line(
        '{"do": "withdraw-result", "by": "op-2", "cartridge": "C1", "reason": "other", "why": "x"}'
    )
    await hands.desk.serve(hands.work.bay, line)  # type: ignore[arg-type]  # no question
    await hands.press(Key.START)

    assert "Look at it again" in hands.words
    assert not await told(hands)


async def test_the_room_says_aloud_what_is_to_be_told(hands: Hands) -> None:
    """For a screen reader."""
    hands.hand = hands.hand.now_doing(TELLING)
    assert NOTHING_TO_TELL in "\n".join(said_aloud(hands.hand, hands.scene))
    await hands.press(Key.DONE)
    assert hands.words == NOTHING_TO_TELL
    await read(hands)

    said = "\n".join(said_aloud(hands.hand, hands.scene))

    assert "POSITIVE" in said
    assert "It may be told to the person." in said
    await hands.press(Key.START)
    assert "F3" in hands.words


async def test_whoever_did_not_sign_on_tells_nobody(hands: Hands) -> None:
    """The record names who told."""
    await read(hands)
    hands.hand = replace(hands.hand, operator=None)
    await hands.press(Key.DONE)

    assert "Nobody is signed on" in hands.words


async def test_an_office_is_notified_and_no_id_is_read_back(
    place: Place,  # noqa: F811  # the fixture
    hands: Hands,
) -> None:
    """It is a line of its own beside the person's."""
    await hands.work.die()
    hands.work = await place.take_up(hands.work.clock, policy=NOTIFIES)
    await read(hands)
    assert [each.value.split()[-1] for each in things(hands.scene)][1] == "office"
    await hands.press(Key.DOWN, Key.DONE)
    await hands.choose("to", "office")
    await hands.choose("how", "message")
    await hands.press(Key.START)

    (event,) = await told(hands)
    assert (event.to, event.made_sure) == (Hearer.OFFICE, None)
    assert "health office notified by message" in hands.words
    assert len(things(hands.scene)) == 1
