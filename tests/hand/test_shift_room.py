"""The shift, by keys alone: opened in under two minutes, closed, and signed for."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest_asyncio

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from core.board.shift_bench import WELL
from hand.conftest import Hands, find, visit
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.shifts import Shifts
from readbell.core.shift.checks import CheckState
from readbell.hand.aloud import said_aloud
from readbell.hand.doing import Filling, Paper, Room, Visiting, Watching
from readbell.hand.given import Key
from readbell.hand.shift_room import IS_OPEN, NOT_OPEN
from readbell.phrases.shift_words import NOT_ALLOWED

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from bay.conftest import Place
    from readbell.core.shift.book import ShiftBook

MOST_ACTS = 20
"""Two minutes at six seconds for each key or scan, with what it asks one to look at (our own)."""
ON = SitePolicy(shifts=Shifts.ON, temperature_hours=4)


@pytest_asyncio.fixture
async def at_work(hands: Hands, place: Place) -> AsyncIterator[Hands]:  # noqa: F811  # the fixture
    """Hands at a bay that works in shifts, before the first one."""
    await hands.work.die()
    work = await place.take_up(hands.work.clock, policy=ON)
    desk = Desk(identifiers=RandomIdentifiers(), find_assay=find, look_about=lambda _: WELL)
    yield Hands(work=work, desk=desk)
    await work.die()


def book(hands: Hands) -> ShiftBook:
    """What is known of shifts."""
    return hands.work.bay.board.shift_book


async def test_all_checks_are_done_and_the_shift_opened_within_two_minutes(at_work: Hands) -> None:
    """Alarm, temperature, box, light, and F2: every line that a person can do is fine then."""
    walks = 5
    await visit(at_work, Room.SOUND)
    await at_work.press(Key.HEARD)
    await visit(at_work, Room.TEMPERATURE)
    await at_work.press(Key.START, Key.UP, Key.RIGHT)
    await at_work.type("21.5")
    await at_work.press(Key.START)
    await visit(at_work, Room.LOTS)
    await at_work.scan("L-100")
    await at_work.press(Key.DONE)
    await visit(at_work, Room.SHIFT)
    await at_work.press(Key.DONE, Key.START)

    running = book(at_work).running
    assert running is not None
    not_fine = [
        each.item
        for each in running.opened.checks
        if each.state in (CheckState.DUE, CheckState.FAULT)
    ]
    assert not_fine == []
    assert at_work.keys + at_work.scans + walks <= MOST_ACTS


async def test_where_no_shifts_are_worked_no_key_offers_to_open_one(hands: Hands) -> None:
    """What was offered would be refused."""
    await visit(hands, Room.SHIFT)
    for key in (Key.SECOND, Key.READ, Key.VOID):
        await hands.press(key)
        assert "nothing to sign" not in hands.words
        assert "F2" not in hands.words
    assert hands.words == NOT_ALLOWED["shifts off"]


async def test_a_shift_is_opened_closed_and_signed_in_its_room(at_work: Hands) -> None:
    """Each by one key, and the answer says what came of it."""
    await visit(at_work, Room.SHIFT)
    await at_work.press(Key.READ)
    assert at_work.words == NOT_OPEN
    await at_work.press(Key.START)
    assert "Shift 1 is open." in at_work.words
    await at_work.press(Key.START)
    assert at_work.words == IS_OPEN
    await at_work.press(Key.SECOND)
    assert "Shift 1 closed" in at_work.words
    await at_work.press(Key.READ)
    assert "Day sheet of shift 1 signed by op-1" in at_work.words
    assert book(at_work).unsigned == ()


async def test_the_light_is_said_and_taken_back(at_work: Hands) -> None:
    """A slip of the key is mended by the same key; nothing is recorded before the opening."""
    await visit(at_work, Room.SHIFT)
    await at_work.press(Key.DONE)
    assert at_work.in_hand() == Visiting(room=Room.SHIFT, light=True)
    await at_work.press(Key.DONE)
    assert at_work.in_hand() == Visiting(room=Room.SHIFT)
    assert at_work.words == "Taken back."


async def test_what_one_said_of_the_light_is_not_said_for_the_next_shift(at_work: Hands) -> None:
    """It may be another hour and another lamp; a shift that was not opened keeps what was said."""
    await visit(at_work, Room.SHIFT)
    at_work.hand = replace(at_work.hand, operator="op-9")
    await at_work.press(Key.DONE, Key.START)
    assert at_work.in_hand() == Visiting(room=Room.SHIFT, light=True)
    at_work.hand = replace(at_work.hand, operator="op-1")
    await at_work.press(Key.START)
    assert at_work.in_hand() == Visiting(room=Room.SHIFT)


async def test_closing_over_what_runs_asks_why_in_a_form(at_work: Hands) -> None:
    """And goes on only with words of somebody's own."""
    await visit(at_work, Room.SHIFT)
    await at_work.press(Key.START)
    await visit(at_work, Room.LOTS)
    await at_work.scan("L-100")
    await at_work.press(Key.DONE)
    at_work.hand = at_work.hand.now_doing(Watching())
    await at_work.scan("P-001", "C01")
    assert at_work.work.bay.board.running
    await visit(at_work, Room.SHIFT)
    await at_work.press(Key.SECOND)
    assert at_work.in_hand() == Filling(paper=Paper.CLOSING)
    await at_work.press(Key.START)
    assert book(at_work).running is not None
    await at_work.type("the next shift reads it")
    await at_work.press(Key.START)

    assert book(at_work).running is None
    assert "still running: C01" in at_work.words


async def test_nobody_signed_on_opens_nothing(at_work: Hands) -> None:
    """Somebody answers for it."""
    await visit(at_work, Room.SHIFT)
    at_work.hand = replace(at_work.hand, operator=None)
    await at_work.press(Key.START)
    assert "Nobody is signed on" in at_work.words
    assert book(at_work).running is None


async def test_the_room_is_read_out_line_by_line(at_work: Hands) -> None:
    """For whoever cannot see it."""
    await visit(at_work, Room.SHIFT)
    before = "\n".join(said_aloud(at_work.hand, at_work.scene))
    await at_work.press(Key.START)
    await visit(at_work, Room.SHIFT)
    after = "\n".join(said_aloud(at_work.hand, at_work.scene))

    assert "! alarm heard DUE." in before
    assert "temperature due or out of range: bay" in after
