"""PINs at the board: asked for, typed by hand, chosen by their owners, and kept nowhere."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from hand.conftest import PIN, Hands, events_of, find
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.core.board.events import ActRefused
from readbell.core.policy.policy import SitePolicy
from readbell.core.refusal import RefusalCode
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import Role
from readbell.hand.doing import ChoosingPin, Gathering, Proving, Room, Visiting, Watching
from readbell.hand.given import Key, Pressed
from readbell.journal.pin_file import PinFile, pins_beside

if TYPE_CHECKING:
    from bay.conftest import Place
    from hand.conftest import Make


async def test_a_pin_is_asked_for_once_a_sign_in_and_what_was_in_hand_stays(under: Make) -> None:
    """In the middle of a list of people, for one."""
    hands = await under(PIN)
    await hands.scan("op-1")
    assert hands.in_hand() == Proving(operator="op-1", before=Watching())
    await hands.type("4071")
    assert hands.hand.operator == "op-1"
    await hands.press(Key.START)
    await hands.scan("P-008")
    await hands.scan("op-2")
    await hands.type("9037")
    assert isinstance(hands.in_hand(), Gathering)
    assert hands.hand.operator == "op-2"


async def test_no_scanner_types_a_pin_and_no_key_gets_past_it(under: Make) -> None:
    """Whatever is on the code, it is not looked at."""
    hands = await under(PIN)
    await hands.scan("op-1", "4071")
    assert isinstance(hands.in_hand(), Proving)
    assert "typed by hand" in hands.words
    await hands.press(Key.START, Key.DONE, Key.READ, Key.ROOMS)
    assert isinstance(hands.in_hand(), Proving)
    assert hands.asked == 0
    await hands.scan("op-2")
    assert hands.in_hand() == Proving(operator="op-2", before=Watching())
    await hands.press(Key.BACK)
    assert hands.in_hand() == Watching()
    assert "Nobody signed in" in hands.words


async def test_a_pin_is_kept_nowhere_in_the_hand(under: Make) -> None:
    """Neither as what was scanned last, nor in what was said."""
    hands = await under(PIN)
    await hands.scan("op-1")
    await hands.type("5555")
    assert hands.hand.scanned is None
    assert "5555" not in hands.words
    assert "5555" not in repr(hands.hand)
    near_misses = await events_of(hands, ActRefused)
    assert [each.code for each in near_misses if isinstance(each, ActRefused)] == [
        RefusalCode.WRONG_PIN
    ]


async def test_too_many_wrong_pins_lead_back_to_the_board(under: Make) -> None:
    """There is nothing to be typed any more."""
    hands = await under(PIN)
    await hands.scan("op-1")
    for pause in ("0:02", "0:04", "0:08"):
        await hands.type("5550")
        assert isinstance(hands.in_hand(), Proving)
        hands.wait(pause)
    await hands.type("4071")
    assert hands.in_hand() == Watching()
    assert "locked out" in hands.words


async def test_where_nobody_has_a_pin_yet_the_first_one_chooses_theirs(place: Place) -> None:  # noqa: F811
    """Twice the same; then it is asked for like any other."""
    first = await place.take_up()
    await first.prepare()
    await first.close()
    work = await place.take_up(first.clock, policy=PIN)
    file = PinFile(pins_beside(place.path))
    hands = Hands(work=work, desk=Desk(identifiers=RandomIdentifiers(), find_assay=find, pins=file))
    hands.hand = replace(hands.hand, operator=None, locked=True)
    await hands.scan("op-1")
    assert hands.in_hand() == ChoosingPin(operator="op-1", before=Watching())
    await hands.scan("4071")
    assert "typed by hand" in hands.words
    for typed, says in (
        ("12", "4 to 12 digits"),
        ("1234", "Everybody tries that one first"),
        ("4071", "Once more"),
        ("4070", "not the same"),
        ("4071", "Once more"),
    ):
        await hands.type(typed)
        assert says in hands.words
    assert "4071" not in repr(hands.hand)
    await hands.type("4071")
    assert "has a new PIN" in hands.words
    assert hands.in_hand() == Watching()
    assert hands.hand.scanned is None
    await hands.scan("op-1")
    await hands.type("4071")
    assert hands.hand.operator == "op-1"
    await work.die()


async def test_choosing_a_pin_can_be_left(under: Make) -> None:
    """And then there is none."""
    hands = await under(SitePolicy())
    await hands.scan("op-1")
    await hands.press(Key.ROOMS)
    await hands.choose("room", Room.PEOPLE)
    await hands.press(Key.LOOK)
    assert isinstance(hands.in_hand(), ChoosingPin)
    await hands.press(Key.ROOMS)
    await hands.press(Key.BACK)
    assert hands.in_hand() == Visiting(room=Room.PEOPLE)
    assert "No PIN was set" in hands.words


async def test_a_pin_that_may_not_be_set_is_told_and_asked_anew(under: Make) -> None:
    """A tester sets nobody's but their own."""
    hands = await under(SitePolicy())
    await hands.work.bay.do(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    await hands.scan("op-2")
    await hands.press(Key.ROOMS)
    await hands.choose("room", Room.PEOPLE)
    await hands.press(Key.LOOK)
    await hands.type("4071", "4071")
    assert hands.fine is False
    doing = hands.in_hand()
    assert isinstance(doing, ChoosingPin)
    assert doing.first is None


async def test_a_pin_typed_before_a_key_is_taken_once(under: Make) -> None:
    """Whoever types it and presses F2 instead of Enter is understood too."""
    hands = await under(PIN)
    await hands.scan("op-1")
    await hands.give(Pressed(Key.START, typed="4071"))
    assert hands.hand.operator == "op-1"
    assert hands.in_hand() == Watching()
