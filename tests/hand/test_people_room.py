"""The rooms of people and of review: roles, clearances, leaving, releases and withdrawals."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from hand.conftest import visit
from readbell.core.review.events import ReadingReleased, ResultWithdrawn
from readbell.core.review.reasons import WithdrawReason
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.events import (
    CompetenceStated,
    OperatorRetired,
    OperatorUnlocked,
    RecordOpened,
    RolesGiven,
)
from readbell.core.staff.roles import Role
from readbell.hand.doing import Filling, Paper, Room, Visiting, Watching
from readbell.hand.given import Key

if TYPE_CHECKING:
    from hand.conftest import Hands


async def read_under_a_name(hands: Hands) -> None:
    """Have C01 read under a typed name, and op-2 act."""
    await hands.to_window("C01", "P-001")
    from dataclasses import replace

    hands.hand = replace(hands.hand, operator=None)
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.DOWN, Key.READ)
    await hands.type("A. Name")
    await hands.press(Key.READ)
    assert hands.cartridge("C01").held, hands.words
    await hands.scan("op-2")


async def test_roles_are_answered_one_by_one(hands: Hands) -> None:
    """None is filled in: what somebody may do is for a person to say."""
    await visit(hands, Room.PEOPLE)
    await hands.choose("thing", "op-2")
    await hands.press(Key.READ, Key.START)
    assert "Still open" in hands.words
    for role, answer in (("tester", "yes"), ("reader", "no"), ("supervisor", "no")):
        await hands.choose(role, answer)
    await hands.press(Key.START)
    (given,) = [each for each in await hands.stored() if isinstance(each, RolesGiven)]
    assert given.roles == (Role.TESTER,)
    assert hands.in_hand() == Visiting(room=Room.PEOPLE, cursor=1)  # whose roles they are


async def test_somebody_is_cleared_from_the_assay_they_are_cleared_for(hands: Hands) -> None:
    """With the day on which their eyes were looked at, or a dash."""
    await visit(hands, Room.ASSAYS)
    await hands.press(Key.DONE)
    assert isinstance(hands.in_hand(), Filling)
    await hands.choose("operator", "op-2")
    await hands.press(Key.RIGHT)
    await hands.type("31.12.2027")
    assert "is no day" in hands.words
    await hands.type("2027-12-31", "soon")
    assert "is no day" in hands.words
    await hands.type("2026-03-01")
    await hands.press(Key.START)
    (stated,) = [each for each in await hands.stored() if isinstance(each, CompetenceStated)]
    assert (stated.until, stated.vision_checked) == (date(2027, 12, 31), date(2026, 3, 1))
    await visit(hands, Room.ASSAYS)
    await hands.press(Key.DONE)
    await hands.choose("operator", "op-2")
    await hands.press(Key.RIGHT)
    await hands.type("2027-12-31", "-")
    await hands.press(Key.START)
    stated = [each for each in await hands.stored() if isinstance(each, CompetenceStated)][-1]
    assert stated.vision_checked is None


async def test_nobody_is_cleared_for_an_assay_that_is_not_adopted(hands: Hands) -> None:
    """It is adopted first."""
    await visit(hands, Room.ASSAYS)
    await hands.press(Key.DOWN, Key.DONE)
    assert "not adopted" in hands.words


async def test_whoever_leaves_is_named_by_their_badge(hands: Hands) -> None:
    """A row picked with an arrow is not enough; and that badge is an answer, not a switch."""
    await visit(hands, Room.PEOPLE)
    await hands.press(Key.VOID)
    await hands.type("op-9")
    assert "No operator op-9" in hands.words
    await hands.scan("op-2")
    assert hands.hand.operator == "op-1"
    await hands.press(Key.START)
    (gone,) = [each for each in await hands.stored() if isinstance(each, OperatorRetired)]
    assert hands.work.bay.board.name(gone.operator) == "op-2"
    assert list(hands.work.bay.board.operators) == ["op-1"]


async def test_somebody_locked_out_is_unlocked_by_the_key_that_signs_others_out(
    hands: Hands,
) -> None:
    """The room shows who is."""
    from builders import at
    from readbell.core.board.events import ActRefused
    from readbell.core.refusal import RefusalCode

    key = hands.work.bay.board.operators["op-2"]
    wrong = ActRefused(
        at=at("0:00"),
        by=key,
        act="sign-in",
        code=RefusalCode.WRONG_PIN,
        cartridge=None,
        entered=None,
        bands=None,
    )
    await hands.work.bay._recorder.record([wrong] * 5)
    await visit(hands, Room.PEOPLE)
    await hands.choose("thing", "op-2")
    await hands.press(Key.SECOND)
    assert [each for each in await hands.stored() if isinstance(each, OperatorUnlocked)]
    assert "may sign in again" in hands.words


@pytest.mark.parametrize("key", [Key.LOOK, Key.READ, Key.SECOND, Key.VOID])
async def test_nobody_changes_anything_about_anybody_before_they_say_who_they_are(
    hands: Hands, key: Key
) -> None:
    """Nor in the room of review."""
    from dataclasses import replace

    hands.hand = replace(hands.hand, operator=None)
    await visit(hands, Room.PEOPLE)
    await hands.press(key)
    assert "Scan your badge" in hands.words
    await visit(hands, Room.REVIEW)
    await hands.press(Key.VOID)
    assert "Scan your badge" in hands.words
    await visit(hands, Room.ASSAYS)
    await hands.press(Key.DONE)
    assert "Scan your badge" in hands.words


async def test_what_is_held_is_released_with_a_reason(hands: Hands) -> None:
    """Then the room is empty."""
    await read_under_a_name(hands)
    await visit(hands, Room.REVIEW)
    await hands.press(Key.START)
    assert "F3 releases" in hands.words
    await hands.press(Key.DONE, Key.START)
    assert "Still open" in hands.words
    await hands.type("looked at the strip")
    await hands.press(Key.START)
    (released,) = [each for each in await hands.stored() if isinstance(each, ReadingReleased)]
    assert released.words.value == "looked at the strip"
    assert hands.in_hand() == Visiting(room=Room.REVIEW)
    await hands.press(Key.DONE)
    assert "F3 releases" in hands.words


async def test_a_release_that_is_refused_names_the_cartridge_and_keeps_the_form(
    hands: Hands,
) -> None:
    """Whoever read it cannot release it."""
    await hands.to_window("C01", "P-001")
    from builders import at
    from readbell.core.review.events import ReadingHeld
    from readbell.core.review.reasons import HoldReason

    held = ReadingHeld(
        at=at("0:00"),
        by=None,
        cartridge=hands.cartridge("C01").id,
        reasons=(HoldReason.NOT_SIGNED_IN,),
    )
    await hands.work.bay._recorder.record([held])
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.DOWN, Key.READ)
    await visit(hands, Room.REVIEW)
    await hands.press(Key.DONE)
    await hands.type("fine")
    await hands.press(Key.START)
    assert "You read C01 yourself" in hands.words
    assert isinstance(hands.in_hand(), Filling)


async def test_a_result_is_taken_back_by_its_label_a_reason_and_words(hands: Hands) -> None:
    """Not by an arrow: the very label is scanned or typed."""
    await read_under_a_name(hands)
    await visit(hands, Room.REVIEW)
    await hands.press(Key.VOID)
    assert hands.in_hand() == Filling(paper=Paper.WITHDRAW)
    await hands.scan("C09")
    assert "is no cartridge here" in hands.words
    await hands.scan("C01")
    await hands.choose("reason", WithdrawReason.ANOTHER_PERSON)
    await hands.press(Key.RIGHT)
    await hands.type("-")
    await hands.type("-")
    await hands.type("labels were swapped")
    await hands.press(Key.START)
    (withdrawn,) = [each for each in await hands.stored() if isinstance(each, ResultWithdrawn)]
    assert withdrawn.reason is WithdrawReason.ANOTHER_PERSON
    assert "WITHDRAWN" in hands.words
    await hands.press(Key.ROOMS)
    await hands.scan("C01")
    assert "WITHDRAWN" in hands.words
    await hands.press(Key.BACK)
    await hands.scan("P-001")
    assert "taken back" in hands.words


async def test_a_record_is_opened_by_scanning_the_person_and_that_is_recorded(
    hands: Hands,
) -> None:
    """In the room of results; a tester sees no other day."""
    await hands.to_well("C01", "P-001")
    await visit(hands, Room.TODAY)
    await hands.scan("P-001")
    assert hands.in_hand() == Visiting(room=Room.TODAY, person="P-001")
    (opened,) = [each for each in await hands.stored() if isinstance(each, RecordOpened)]
    assert hands.work.bay.board.name(opened.person) == "P-001"
    await hands.work.bay.do(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    hands.work.clock.advance("48:00:00")
    await hands.scan("op-2")
    await visit(hands, Room.TODAY)
    await hands.scan("P-001")
    assert hands.fine is False
    assert "supervisor" in hands.words
    from dataclasses import replace

    hands.hand = replace(hands.hand, operator=None)
    await visit(hands, Room.TODAY)
    await hands.scan("P-001")
    assert "Scan your badge" in hands.words
    await hands.press(Key.ROOMS)
    assert hands.in_hand() == Watching()


async def test_both_rooms_are_read_out_in_plain_lines(hands: Hands) -> None:
    """Whoever sees no table hears the same."""
    from readbell.hand.aloud import said_aloud

    await read_under_a_name(hands)
    await visit(hands, Room.PEOPLE)
    told = "\n".join(said_aloud(hands.hand, hands.scene))
    assert "op-1; tester, reader, supervisor" in told
    await visit(hands, Room.REVIEW)
    told = "\n".join(said_aloud(hands.hand, hands.scene))
    assert "C01  HELD for review: read under a name that nobody made sure of." in told


async def test_a_pin_and_a_lock_are_asked_for_in_plain_lines(hands: Hands) -> None:
    """What to type, and what it will be taken for."""
    from dataclasses import replace

    from readbell.hand.aloud import said_aloud
    from readbell.hand.doing import ChoosingPin, Proving

    for doing, words in (
        (Proving(operator="op-1", before=Watching()), "PIN of op-1: type it by itself"),
        (ChoosingPin(operator="op-1", before=Watching()), "New PIN of op-1: type it."),
        (ChoosingPin(operator="op-1", before=Watching(), first="1"), "type it once more"),
    ):
        told = "\n".join(said_aloud(hands.hand.now_doing(doing), hands.scene))
        assert words in told
    locked = replace(hands.hand, locked=True)
    assert list(said_aloud(locked, hands.scene)) == ["Locked. Scan your badge, or type your ID."]
