"""Who acts: badges and PINs at the board, a locked station, and a reading under a typed name."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest_asyncio

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from builders import NASAL
from hand.conftest import Hands, find
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.core.board.acts import OpenLot
from readbell.core.board.events import ActRefused, AlertHeard
from readbell.core.cartridge.events import AlertKind, CartridgeRead, How
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import OutsideCompetence, SignInBy
from readbell.core.refusal import RefusalCode
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.acts import GiveRoles, SetPin, SignIn, StateCompetence
from readbell.core.staff.events import SignedIn, SignedOut, StartSupervised, StationLocked
from readbell.core.staff.roles import Role
from readbell.hand.doing import (
    ChoosingPin,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Proving,
    Room,
    Visiting,
    Watching,
)
from readbell.hand.given import Idle, Key, Pressed, Scanned
from readbell.journal.pin_file import PinFile, pins_beside

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Awaitable, Callable

    from bay.conftest import Place
    from readbell.core.board.event import Event

    Make = Callable[[SitePolicy], Awaitable[Hands]]

BADGE = SitePolicy(sign_in=SignInBy.BADGE)
PIN = SitePolicy(sign_in=SignInBy.PIN, pin_attempts=3)
PINS = {"op-1": "4071", "op-2": "9037"}


@pytest_asyncio.fixture
async def under(place: Place) -> AsyncIterator[Make]:  # noqa: F811  # the fixture
    """Makes hands at a bay under a policy, where both operators have a PIN and nobody is in."""
    made: list[Hands] = []

    async def make(policy: SitePolicy) -> Hands:
        first = await place.take_up()
        await first.prepare(units=20)
        file = PinFile(pins_beside(place.path))
        for who, pin in PINS.items():
            if policy.sign_in is SignInBy.PIN:
                file.put(first.bay.board.operators[who], pin)
                await first.bay.do(SetPin(by="op-1", operator=who))
        await first.bay.do(OpenLot(by="op-1", lot="L-100", today=date(2026, 3, 29)))
        await first.close()
        work = await place.take_up(first.clock, policy=policy)
        desk = Desk(identifiers=RandomIdentifiers(), find_assay=find, pins=file)
        hands = Hands(work=work, desk=desk)
        hands.hand = replace(hands.hand, operator=None, locked=policy.sign_in is not SignInBy.NONE)
        made.append(hands)
        return hands

    yield make
    for hands in made:
        await hands.work.die()


async def events_of(hands: Hands, kind: type[Event]) -> list[Event]:
    """Every event of a kind in the journal."""
    return [each for each in await hands.stored() if isinstance(each, kind)]


async def test_a_badge_signs_in_and_switches_in_one_act(under: Make) -> None:
    """And again when it is scanned later: nothing more is asked."""
    hands = await under(BADGE)
    for who in ("op-1", "op-2", "op-1"):
        await hands.scan(who)
        assert hands.hand.operator == who
        assert hands.fine is True
    assert not hands.hand.locked
    assert len(await events_of(hands, SignedIn)) == 2


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


async def test_a_locked_station_shows_nobody_and_does_nothing_but_hear(under: Make) -> None:
    """Countdowns and alarms go on; F8 rests a sound; every other key says what to do."""
    hands = await under(replace(BADGE, idle_lock_minutes=10))
    await hands.scan("op-1")
    await hands.to_window("C01", "P-001")
    assert await hands.work.ring()
    await hands.scan("C01")
    assert isinstance(hands.in_hand(), Judging)
    await hands.give(Idle())
    assert (hands.hand.operator, hands.hand.locked) == (None, True)
    assert hands.in_hand() == Watching()
    assert await events_of(hands, StationLocked)
    asked = hands.asked
    for key in (Key.START, Key.ROOMS, Key.VOID, Key.DONE, Key.LOOK, Key.SECOND, Key.RIGHT):
        await hands.press(key)
        assert "Locked" in hands.words
        assert hands.in_hand() == Watching()
    await hands.scan("P-001")
    assert "Locked" in hands.words
    assert hands.asked == asked
    await hands.press(Key.HEARD)
    (heard,) = await events_of(hands, AlertHeard)
    assert isinstance(heard, AlertHeard)
    assert (heard.by, heard.alert) == (None, AlertKind.READ_NOW)
    await hands.press(Key.HEARD)
    assert "Nothing is ringing" in hands.words
    await hands.press(Key.DOWN)
    await hands.press(Key.HELP)
    assert isinstance(hands.in_hand(), Helping)
    await hands.press(Key.BACK)
    await hands.scan("op-2")
    assert (hands.hand.operator, hands.hand.locked) == ("op-2", False)


async def test_a_station_that_asks_for_no_badge_is_unlocked_by_saying_who_one_is(
    under: Make,
) -> None:
    """Nobody signs in there, so nothing is recorded either."""
    hands = await under(SitePolicy(idle_lock_minutes=10))
    await hands.scan("op-1")
    await hands.give(Idle())
    assert hands.hand.locked
    assert not await events_of(hands, StationLocked)
    await hands.scan("op-1")
    assert (hands.hand.operator, hands.hand.locked) == ("op-1", False)


async def test_a_strip_is_read_under_a_typed_name_when_nobody_can_sign_in(under: Make) -> None:
    """The window does not wait; a supervisor looks at it afterwards."""
    hands = await under(PIN)
    await hands.scan("op-1")
    await hands.type("4071")
    await hands.to_window("C01", "P-001")
    await hands.give(Idle())
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.DOWN, Key.READ)
    assert "type your name" in hands.words
    assert hands.cartridge("C01").reading is None
    await hands.scan("P-002")
    assert hands.cartridge("C01").reading is None
    await hands.scan("P-001", "C01")
    await hands.press(Key.UP, Key.DOWN, Key.READ)
    await hands.type("Nobody Known")
    assert "held for review" in hands.words
    await hands.press(Key.READ)
    (read,) = await events_of(hands, CartridgeRead)
    (held,) = await events_of(hands, ReadingHeld)
    assert isinstance(read, CartridgeRead)
    assert isinstance(held, ReadingHeld)
    assert held.reasons == (HoldReason.UNVERIFIED,)
    assert hands.work.bay.board.name(read.by) == "Nobody Known"
    assert hands.in_hand() == Watching()


async def test_whoever_is_locked_out_types_their_name_even_if_it_is_their_id(under: Make) -> None:
    """And whoever is not signs in by it instead."""
    hands = await under(replace(PIN, pin_attempts=1))
    await hands.scan("op-1")
    await hands.type("4071")
    await hands.to_window("C01", "P-001")
    await hands.give(Idle())
    await hands.scan("op-2")
    await hands.type("5550")
    await hands.press(Key.BACK)
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.DOWN, Key.READ)
    await hands.type("op-1")
    assert isinstance(hands.in_hand(), Proving)
    await hands.press(Key.BACK)
    await hands.type("op-2")
    doing = hands.in_hand()
    assert isinstance(doing, Judging)
    assert doing.name == "op-2"


async def test_a_sign_in_in_the_middle_of_a_reading_keeps_what_was_seen(under: Make) -> None:
    """The badge and the PIN, and then the very same key saves it."""
    hands = await under(PIN)
    await hands.scan("op-1")
    await hands.type("4071")
    await hands.to_window("C01", "P-001")
    await hands.give(Idle())
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.DOWN, Key.READ)
    await hands.scan("op-2")
    await hands.type("9037")
    await hands.press(Key.READ)
    reading = hands.cartridge("C01").reading
    assert reading is not None
    assert hands.work.bay.board.name(reading.by) == "op-2"
    assert not hands.cartridge("C01").held


async def test_a_start_outside_ones_competence_asks_for_the_badge_of_who_stands_by(
    under: Make,
) -> None:
    """That badge changes nobody who acts."""
    hands = await under(SitePolicy(outside_competence=OutsideCompetence.SUPERVISED))
    await hands.work.bay.do(
        StateCompetence(by="op-2", operator="op-1", assay=NASAL.id, until=date(2026, 1, 1))
    )
    await hands.scan("op-1", "P-001", "C01")
    assert "who stands by" in hands.words
    await hands.scan("op-2")
    assert hands.hand.operator == "op-1"
    doing = hands.in_hand()
    assert isinstance(doing, Labelling)
    assert doing.witness == "op-2"
    await hands.scan("C01")
    (event,) = await events_of(hands, StartSupervised)
    assert isinstance(event, StartSupervised)
    assert hands.work.bay.board.name(event.witness) == "op-2"


async def test_without_a_badge_of_who_stands_by_the_start_is_asked_again(under: Make) -> None:
    """Scanning the label once more does not get round it."""
    hands = await under(SitePolicy(outside_competence=OutsideCompetence.SUPERVISED))
    await hands.scan("op-1", "P-001", "C01", "C01")
    assert "who stands by" in hands.words
    assert not hands.work.bay.board.labels


async def test_the_last_to_sign_out_locks_the_station(under: Make) -> None:
    """One of two only steps aside."""
    hands = await under(BADGE)
    await hands.scan("op-1", "op-2")
    await hands.press(Key.ROOMS)
    await hands.choose("room", Room.PEOPLE)
    await hands.choose("thing", "op-1")
    await hands.press(Key.SECOND)
    assert (hands.hand.operator, hands.hand.locked) == ("op-2", False)
    await hands.press(Key.SECOND)
    assert "not signed in" in hands.words
    await hands.choose("thing", "op-2")
    await hands.press(Key.SECOND)
    assert (hands.hand.operator, hands.hand.locked) == (None, True)
    assert len(await events_of(hands, SignedOut)) == 2


async def test_where_nobody_has_to_sign_in_signing_out_locks_nothing(under: Make) -> None:
    """Somebody may have signed in all the same, by a line."""
    hands = await under(SitePolicy())
    await hands.work.bay.do(SignIn(by="op-1"))
    await hands.scan("op-1")
    await hands.press(Key.ROOMS)
    await hands.choose("room", Room.PEOPLE)
    await hands.press(Key.SECOND)
    assert (hands.hand.operator, hands.hand.locked) == (None, False)


async def test_what_the_bay_refuses_changes_nobody_who_acts(under: Make) -> None:
    """Somebody may have been retired a moment ago."""
    hands = await under(BADGE)
    scene = hands.scene
    from readbell.core.staff.acts import RetireOperator
    from readbell.hand.signing import sign_out, take_over

    for turn in (take_over(hands.hand, "op-2", scene), sign_out(hands.hand, "op-2")):
        await hands.work.bay.do(SignIn(by="op-1"))
        await hands.work.bay.do(RetireOperator(by="op-1", operator="op-2"))
        assert turn.ask is not None
        answer = await hands.desk.serve(hands.work.bay, turn.ask.request)
        after = turn.ask.then(hands.hand, answer, hands.scene)
        assert after.operator is None
        assert after.said is not None
        assert after.said.fine is False


async def test_a_pin_typed_before_a_key_is_taken_once(under: Make) -> None:
    """Whoever types it and presses F2 instead of Enter is understood too."""
    hands = await under(PIN)
    await hands.scan("op-1")
    await hands.give(Pressed(Key.START, typed="4071"))
    assert hands.hand.operator == "op-1"
    assert hands.in_hand() == Watching()


async def test_typed_ids_sign_in_as_badges_do(under: Make) -> None:
    """A badge that cannot be read must not keep anybody out."""
    hands = await under(BADGE)
    await hands.give(Scanned("op-1", How.TYPED))
    assert hands.hand.operator == "op-1"
