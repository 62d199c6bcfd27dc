"""A supervisor amends, takes back what was mixed up, and somebody else reads a strip again."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import at
from hand.conftest import visit
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.cartridge.events import ReadingKind, ResultAmended
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.reading.interpretation import Outcome
from readbell.core.review.events import MixUpFound, ResultWithdrawn
from readbell.core.review.reasons import AmendReason, HoldReason, WithdrawReason
from readbell.hand.doing import Filling, Judging, Paper, Purpose, Room, Visiting
from readbell.hand.given import Key
from readbell.hand.review_papers import ANOTHER

if TYPE_CHECKING:
    from hand.conftest import Hands


async def read(hands: Hands, label: str = "C01", person: str = "P-001") -> None:
    """Read the strip in the window: control line present, test line absent."""
    await hands.scan(label, person)
    await hands.press(Key.UP, Key.DOWN, Key.READ)


async def ask_for_second_readers(hands: Hands) -> None:
    """Let the site ask for a second reader of every strip."""
    policy = SitePolicy(second_reader=(SecondReaderRule(when=SecondReader.ALL),))
    await hands.work.bay._recorder.record([PolicySet(at=at("0:00"), policy=policy)])


async def read_faint(hands: Hands) -> None:
    """Read C01 as faint; its form is open, and the person was read back."""
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.UP, Key.READ)


async def test_a_supervisor_amends_what_somebody_else_has_read(hands: Hands) -> None:
    """By the label, each line answered anew, a reason and words."""
    await hands.to_window("C01", "P-001")
    await read(hands)
    await hands.scan("op-2")
    await visit(hands, Room.REVIEW)
    await hands.press(Key.SECOND)
    assert hands.in_hand() == Filling(paper=Paper.AMEND)
    await hands.scan("C09")
    assert "is no cartridge here" in hands.words
    await hands.scan("C01")
    await hands.choose("control", "present")
    await hands.press(Key.START)
    assert "Still open" in hands.words
    await hands.choose("line sars-cov-2", "faint")
    await hands.choose("reason", AmendReason.WRONGLY_SEEN)
    await hands.press(Key.RIGHT)
    await hands.type("a faint line beside the letter")
    await hands.press(Key.START)

    (event,) = [each for each in await hands.stored() if isinstance(each, ResultAmended)]
    assert (event.outcome, event.reason) == (Outcome.POSITIVE, AmendReason.WRONGLY_SEEN)
    assert event.words.value == "a faint line beside the letter"
    assert "AMENDED" in hands.words
    assert hands.in_hand() == Visiting(room=Room.REVIEW)


async def test_a_strip_that_cannot_be_read_asks_for_no_lines(hands: Hands) -> None:
    """Beside a smear no line can be vouched for."""
    await hands.to_window("C01", "P-001")
    await read(hands)
    await hands.scan("op-2")
    await visit(hands, Room.REVIEW)
    await hands.press(Key.SECOND)
    await hands.scan("C01")
    await hands.choose("control", "smear")
    await hands.choose("reason", AmendReason.WRONGLY_SEEN)
    await hands.press(Key.RIGHT)
    await hands.type("smeared")
    await hands.press(Key.START)
    assert hands.cartridge("C01").outcome is Outcome.INVALID, hands.words


async def test_what_was_never_read_is_not_amended(hands: Hands) -> None:
    """The form says so before anything else is asked."""
    await hands.to_window("C01", "P-001")
    await visit(hands, Room.REVIEW)
    await hands.press(Key.SECOND)
    await hands.scan("C01")
    assert "no reading that could be amended" in hands.words


async def test_whoever_read_it_is_told_to_ask_somebody_else(hands: Hands) -> None:
    """And the form stays as it was filled in."""
    await hands.to_window("C01", "P-001")
    await read(hands)
    await visit(hands, Room.REVIEW)
    await hands.press(Key.SECOND)
    await hands.scan("C01")
    await hands.choose("control", "absent")
    await hands.choose("line sars-cov-2", "absent")
    await hands.choose("reason", AmendReason.OTHER)
    await hands.press(Key.RIGHT)
    await hands.type("none")
    await hands.press(Key.START)
    assert "You read C01 yourself" in hands.words
    assert isinstance(hands.in_hand(), Filling)


async def test_what_was_mixed_up_is_taken_back_with_it_and_both_people_are_named(
    hands: Hands,
) -> None:
    """In one act; no result is moved."""
    await hands.to_window("C01", "P-001")
    await read(hands)
    await hands.to_window("C02", "P-002")
    await read(hands, "C02", "P-002")
    await hands.scan("op-2")
    await visit(hands, Room.REVIEW)
    await hands.press(Key.VOID)
    await hands.scan("C01")
    await hands.choose("reason", WithdrawReason.ANOTHER_CARTRIDGE)
    await hands.press(Key.RIGHT)
    await hands.type("C02 C77")
    assert "C77 is no cartridge here" in hands.words
    await hands.type(" ".join(["C02"] * 21))
    assert "So many cannot be named at once: up to 20." in hands.words
    await hands.type("C02")
    await hands.type("P-404")
    assert "P-404 is nobody who is registered here" in hands.words
    await hands.type("-")
    await hands.type("two labels swapped")
    await hands.press(Key.START)

    stored = await hands.stored()
    assert len([each for each in stored if isinstance(each, ResultWithdrawn)]) == 2
    (found,) = [each for each in stored if isinstance(each, MixUpFound)]
    assert [hands.work.bay.board.name(each) for each in found.persons] == ["P-001", "P-002"]
    assert "take a new specimen: P-001, P-002" in hands.words
    from readbell.hand.aloud import said_aloud

    told = "\n".join(said_aloud(hands.hand, hands.scene))
    assert "Mixed up: to be told, and to give a new specimen: P-001, P-002." in told


async def test_a_reason_that_concerns_nobody_else_asks_about_nobody_else(hands: Hands) -> None:
    """A faulty kit is a faulty kit."""
    await hands.to_window("C01", "P-001")
    await read(hands)
    await hands.scan("op-2")
    await visit(hands, Room.REVIEW)
    await hands.press(Key.VOID)
    await hands.scan("C01")
    await hands.choose("reason", WithdrawReason.KIT_FAULT)
    await hands.press(Key.RIGHT)
    await hands.type("pouch was torn")
    await hands.press(Key.START)
    assert [each for each in await hands.stored() if isinstance(each, ResultWithdrawn)]
    assert not [each for each in await hands.stored() if isinstance(each, MixUpFound)]


async def test_the_first_reader_is_sent_away_before_a_form_opens(hands: Hands) -> None:
    """Somebody else scans their badge, and is told nothing of what was seen."""
    await hands.to_window("C01", "P-001")
    await ask_for_second_readers(hands)
    await read_faint(hands)
    assert "A second reader is asked for" in hands.words
    assert "POSITIVE" not in hands.words
    await hands.scan("C01")
    assert "You read C01 already" in hands.words
    assert not isinstance(hands.in_hand(), Judging)
    await hands.press(Key.READ)
    assert "You read C01 already" in hands.words
    await hands.press(Key.SECOND)
    assert hands.in_hand() == Judging(purpose=Purpose.CORRECT, cartridge=hands.cartridge("C01").id)
    await hands.press(Key.BACK)
    await hands.scan("op-2", "C01")
    assert "You read it second" in hands.words
    assert "POSITIVE" not in hands.words
    await hands.scan("P-001")
    await hands.press(Key.UP, Key.UP, Key.READ)
    cartridge = hands.cartridge("C01")
    assert cartridge.outcome is Outcome.POSITIVE, hands.words
    assert cartridge.second is not None
    assert cartridge.second.kind is ReadingKind.SECOND
    assert "second reader" in hands.words


async def test_nobody_signed_on_reads_second_under_a_typed_name(hands: Hands) -> None:
    """A window closes whoever is locked out."""
    await hands.to_window("C01", "P-001")
    await ask_for_second_readers(hands)
    await read_faint(hands)
    hands.hand = replace(hands.hand, operator=None)
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.UP, Key.READ)
    await hands.type("A. Name")
    await hands.press(Key.READ)
    assert hands.cartridge("C01").held == (HoldReason.UNVERIFIED,), hands.words


async def test_another_result_is_amended_while_something_is_held(hands: Hands) -> None:
    """What waits for somebody else keeps nobody from putting right what was told wrong."""
    await hands.to_window("C02", "P-002")
    await read(hands, "C02", "P-002")
    await hands.to_window("C01", "P-001")
    await ask_for_second_readers(hands)
    await read_faint(hands)
    await hands.scan("op-2")
    await read(hands)
    assert hands.cartridge("C01").held, hands.words
    await visit(hands, Room.REVIEW)
    await hands.press(Key.SECOND)
    await hands.press(Key.LEFT)
    await hands.choose("cartridge", ANOTHER)
    await hands.press(Key.START)
    assert "Still open" in hands.words
    await hands.scan("C09")
    assert "is no cartridge here" in hands.words
    await hands.scan("C02")
    await hands.choose("control", "present")
    await hands.choose("line sars-cov-2", "clear")
    await hands.choose("reason", AmendReason.WRONGLY_SEEN)
    await hands.press(Key.RIGHT)
    await hands.type("looked again in good light")
    await hands.press(Key.START)
    assert hands.cartridge("C02").outcome is Outcome.POSITIVE, hands.words
    assert hands.cartridge("C01").outcome is Outcome.WITHHELD


async def test_two_who_disagree_are_decided_between_by_a_third_from_the_list(
    hands: Hands,
) -> None:
    """The room shows what each of them saw."""
    from builders import private
    from readbell.core.board.acts import RegisterOperator
    from readbell.hand.aloud import said_aloud

    await hands.work.bay.do(RegisterOperator(by="op-1", operator=private("op-3")))
    await hands.to_window("C01", "P-001")
    await ask_for_second_readers(hands)
    await read_faint(hands)
    await hands.scan("op-2")
    await read(hands)
    assert "The two readers disagree" in hands.words
    await hands.scan("op-3")
    await visit(hands, Room.REVIEW)
    told = "\n".join(said_aloud(hands.hand, hands.scene))
    assert "First, op-1 at" in told
    assert "C present, T faint" in told
    assert "C present, T absent" in told
    await hands.press(Key.SECOND)
    await hands.choose("control", "present")
    await hands.choose("line sars-cov-2", "faint")
    await hands.choose("reason", AmendReason.READERS_DISAGREED)
    await hands.press(Key.RIGHT)
    await hands.type("looked at it with both")
    await hands.press(Key.START)
    cartridge = hands.cartridge("C01")
    assert (cartridge.outcome, cartridge.held) == (Outcome.POSITIVE, ()), hands.words
