"""Who acts: badges at the board, a locked station, and a reading under a typed name."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from builders import NASAL
from hand.conftest import PIN, events_of
from readbell.core.board.events import AlertHeard
from readbell.core.cartridge.events import AlertKind, CartridgeRead, How
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import OutsideCompetence, SignInBy
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.acts import SignIn, StateCompetence
from readbell.core.staff.events import SignedIn, SignedOut, StartSupervised, StationLocked
from readbell.hand.doing import Helping, Judging, Labelling, Proving, Room, Watching
from readbell.hand.given import Idle, Key, Scanned

if TYPE_CHECKING:
    from hand.conftest import Make

BADGE = SitePolicy(sign_in=SignInBy.BADGE)


async def test_a_badge_signs_in_and_switches_in_one_act(under: Make) -> None:
    """And again when it is scanned later: nothing more is asked."""
    hands = await under(BADGE)
    for who in ("op-1", "op-2", "op-1"):
        await hands.scan(who)
        assert hands.hand.operator == who
        assert hands.fine is True
    assert not hands.hand.locked
    assert len(await events_of(hands, SignedIn)) == 2


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


async def test_typed_ids_sign_in_as_badges_do(under: Make) -> None:
    """A badge that cannot be read must not keep anybody out."""
    hands = await under(BADGE)
    await hands.give(Scanned("op-1", How.TYPED))
    assert hands.hand.operator == "op-1"
