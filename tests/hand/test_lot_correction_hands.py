"""A lot that was entered wrongly is corrected by scans and keys, and never by a slip of them."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from builders import NASAL, THREE_LINES
from hand.conftest import visit
from hand.test_stock_hands import GTIN, deed
from readbell.core.stock.events import LotCorrected
from readbell.hand.aloud import said_aloud
from readbell.hand.asked_now import asked_now
from readbell.hand.doing import Filling, Room, Visiting
from readbell.hand.given import Key
from readbell.scenarios.line import AdoptionLine
from readbell.scenarios.stock_lines import LONGEST_CODE

if TYPE_CHECKING:
    from hand.conftest import Hands

CORRECT = "correct-lot"


def answers(hands: Hands) -> dict[str, str]:
    """What the form in hand has been told."""
    doing = hands.in_hand()
    assert isinstance(doing, Filling), hands.words
    return dict(doing.answers)


def asks(hands: Hands) -> str:
    """What the form asks, read out."""
    return " ".join(said_aloud(hands.hand, hands.scene))


def keys(hands: Hands) -> list[str]:
    """What the form asks, by its keys."""
    return [each.key for each in asked_now(hands.in_hand(), hands.scene)]


def code(day: str = "271231", lot: str = "L-100") -> str:
    """The code of a box."""
    return f"01{GTIN}17{day}10{lot}"


async def corrected(hands: Hands) -> LotCorrected:
    """Return the one correction that is on record."""
    (found,) = [each for each in await hands.stored() if isinstance(each, LotCorrected)]
    return found


async def test_a_last_day_that_was_typed_wrongly_is_put_right_in_the_form(hands: Hands) -> None:
    """Which lot, the day off the box, and why; both days stay on record."""
    before = hands.work.bay.board.lots["L-100"].expires
    await deed(hands, CORRECT)
    await hands.type("L-200")
    assert "L-200 is not L-100" in hands.words
    await hands.type("L-100", before.isoformat())
    assert "on record already" in hands.words
    await hands.type("2028-06-31")
    assert "is no day" in hands.words
    await hands.type("2028-06-30", "June, not December")
    await hands.press(Key.START)

    assert hands.in_hand() == Visiting(room=Room.LOTS), hands.words
    found = await corrected(hands)
    assert (found.expires, found.expires_before) == (date(2028, 6, 30), before)
    assert found.words.value == "June, not December"
    assert f"corrected by op-1: good to 2028-06-30, not to {before}." in hands.words


async def test_a_day_that_is_past_is_asked_about_and_not_filled_in(hands: Hands) -> None:
    """Whoever types it says that it is meant; what was begun since waits."""
    await hands.to_well("C1", "P-001")
    await deed(hands, CORRECT)
    await hands.type("L-100", "2020-01-31")
    assert "2020-01-31 is past" in asks(hands)
    await hands.press(Key.RIGHT)
    await hands.type("a year misread")
    await hands.press(Key.START)
    assert "Still open: 2020-01-31 is past" in hands.words
    await hands.choose("past", "yes")
    await hands.press(Key.START)

    assert "Begun after it: C1. Their results wait for a supervisor." in hands.words
    assert hands.cartridge("C1").held


async def test_the_code_of_the_box_fills_the_form_in(hands: Hands) -> None:
    """It is no other lot's, and what it says nobody types otherwise."""
    await deed(hands, CORRECT)
    await hands.scan(code(lot="L-777"))
    assert "That code is of lot L-777. Scan the code of a box of L-100." in hands.words
    await hands.scan(f"01{GTIN}17271231")
    assert "That code names no lot." in hands.words
    await hands.scan(code())
    assert "Box of lot L-100: good to 2027-12-31 by its code." in hands.words
    await hands.press(Key.RIGHT)
    await hands.type("2027-12-30")
    assert "The code of the box says 2027-12-31, not 2027-12-30." in hands.words
    await hands.press(Key.RIGHT)
    await hands.type("a slip")
    await hands.press(Key.START)

    found = await corrected(hands)
    assert (found.expires, found.is_scanned) == (date(2027, 12, 31), True), hands.words
    assert hands.work.bay.board.stock_room.gtins == {GTIN: NASAL.id}


async def test_over_what_was_read_off_a_code_nothing_is_typed(hands: Hands) -> None:
    """That is said before anything is typed, and again when it is."""
    await hands.scan(code(lot="L-777"))
    await hands.type("5")
    await hands.press(Key.START)
    assert hands.work.bay.board.lots["L-777"].is_scanned, hands.words
    await hands.press(Key.SECOND)
    await hands.choose("deed", CORRECT)
    assert "was read off its code: scan the code of the box of L-777" in asks(hands)
    await hands.press(Key.RIGHT)
    await hands.type("L-777", "2028-06-30")
    assert "nothing is typed over that. Scan the code of the box." in hands.words
    await hands.scan(code(lot="L-777"))
    assert "The code says what the record says: lot L-777 is good to 2027-12-31." in hands.words
    assert hands.fine is False
    await hands.scan(code("280630", "L-777"))
    await hands.press(Key.RIGHT, Key.RIGHT)
    await hands.type("that was another box")
    await hands.press(Key.START)

    assert hands.work.bay.board.lots["L-777"].expires == date(2028, 6, 30), hands.words


async def test_what_was_typed_over_a_code_is_not_what_the_code_says(hands: Hands) -> None:
    """So it may be typed otherwise again."""
    await hands.scan(code(lot="L-777"))
    await hands.press(Key.LEFT)
    await hands.type("2028-06-30", "5")
    await hands.press(Key.START)
    lot = hands.work.bay.board.lots["L-777"]

    assert (lot.expires, lot.is_scanned) == (date(2028, 6, 30), False), hands.words


async def test_a_code_that_is_too_long_to_be_kept_counts_as_typed(hands: Hands) -> None:
    """No box bears one; it is not taken for the word of a box."""
    more = "\x1d91" + "A" * 90
    assert len(code() + more) > LONGEST_CODE
    await hands.scan(code(lot="L-777") + more)
    await hands.type("5")
    await hands.press(Key.START)
    assert not hands.work.bay.board.lots["L-777"].is_scanned, hands.words
    await deed(hands, CORRECT)
    await hands.scan(code() + more)
    assert "code" not in answers(hands)
    await hands.press(Key.RIGHT, Key.RIGHT)
    await hands.type("a slip")
    await hands.press(Key.START)
    found = await corrected(hands)

    assert (found.expires, found.is_scanned) == (date(2027, 12, 31), False), hands.words


async def test_a_wrong_assay_is_put_right_before_anything_was_begun(hands: Hands) -> None:
    """Afterwards it is not even asked."""
    line = AdoptionLine(do="adopt-assay", by="op-1", assay=THREE_LINES.id, instructions="v1")
    await hands.desk.serve(hands.work.bay, line)
    await deed(hands, CORRECT)
    await hands.scan(f"01{GTIN}10L-100")
    assert "Box of lot L-100." in hands.words
    await hands.choose("wrong", "assay")
    assert [each for each in ("expires", "assay") if each in keys(hands)] == ["assay"]
    await hands.choose("assay", THREE_LINES.id)
    await hands.press(Key.RIGHT)
    await hands.type("the pile beside it")
    await hands.press(Key.START)
    board = hands.work.bay.board
    assert board.assays[board.lots["L-100"].assay].assay.id == THREE_LINES.id, hands.words
    assert board.stock_room.gtins == {GTIN: THREE_LINES.id}
    assert f"for {THREE_LINES.id}, not for {NASAL.id}" in hands.words
    assert board.open_lot is None

    await visit(hands, Room.LOTS)
    await hands.press(Key.SECOND)
    await hands.choose("deed", CORRECT)
    assert "wrong" in keys(hands)
    await hands.choose("wrong", "day")
    assert "expires" in keys(hands)


async def test_after_a_start_its_assay_is_asked_no_more(hands: Hands) -> None:
    """It could only be refused."""
    line = AdoptionLine(do="adopt-assay", by="op-1", assay=THREE_LINES.id, instructions="v1")
    await hands.desk.serve(hands.work.bay, line)
    await hands.to_well("C1", "P-001")
    await deed(hands, CORRECT)

    assert "wrong" not in keys(hands)
    assert "expires" in keys(hands)


async def test_whoever_meets_two_last_days_hears_how_the_record_is_put_right(hands: Hands) -> None:
    """The box may be right, and the record wrong."""
    await hands.scan(code("270630"))

    assert "If the record is wrong: F9, Lots, F6 corrects it." in hands.words
