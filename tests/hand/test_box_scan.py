"""The code of a box is scanned on the board: it fills the form of a new one, or names a known lot."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from builders import NASAL
from hand.conftest import visit
from hand.test_stock_hands import CODE, GS, GTIN
from readbell.hand.doing import Filling, Labelling, Room, Visiting, Watching
from readbell.hand.given import Key
from readbell.scenarios.stock_lines import ReceiveBoxLine

if TYPE_CHECKING:
    from hand.conftest import Hands


async def test_one_scan_of_a_new_box_fills_its_form(hands: Hands) -> None:
    """Lot, last day and, with one assay adopted, the assay; the units are asked for."""
    await hands.scan(CODE)
    doing = hands.in_hand()
    assert isinstance(doing, Filling)
    assert dict(doing.answers) == {
        "number": "L-777",
        "expires": "2027-12-31",
        "gtin": GTIN,
        "assay": NASAL.id,
        "code": CODE,
        "coded": "L-777 2027-12-31",
    }
    assert "A new box, lot L-777, good to 2027-12-31." in hands.words
    await hands.type("40")
    await hands.press(Key.START)

    lot = hands.work.bay.board.lots["L-777"]
    assert (lot.units, lot.expires) == (40, date(2027, 12, 31)), hands.words
    assert hands.work.bay.board.stock_room.gtins == {GTIN: NASAL.id}


async def test_a_scan_in_the_form_keeps_what_was_answered(hands: Hands) -> None:
    """The order of scan and keys does not matter."""
    await visit(hands, Room.LOTS)
    await hands.press(Key.START)
    doing = hands.in_hand()
    assert isinstance(doing, Filling)
    await hands.press(Key.RIGHT, Key.RIGHT, Key.RIGHT)
    await hands.type("25")
    await hands.scan(f"01{GTIN}10L-777")
    await hands.scan(f"01{GTIN}17271231")
    doing = hands.in_hand()
    assert isinstance(doing, Filling)

    assert dict(doing.answers)["units"] == "25"
    assert dict(doing.answers)["number"] == "L-777"
    assert dict(doing.answers)["expires"] == "2027-12-31"
    assert doing.cursor == 3


async def test_a_box_past_its_last_day_is_told_as_it_is_scanned(hands: Hands) -> None:
    """Not once its units were counted and all of it was typed."""
    await hands.scan(f"01{GTIN}1720123110L-778")

    assert hands.words == (
        "Lot L-778 was good to 2020-12-31: it is past its last day. Nothing was taken in. "
        "Put this box away."
    )
    assert hands.fine is False
    assert not isinstance(hands.in_hand(), Filling)


async def test_the_code_of_a_known_box_stands_for_its_lot(hands: Hands) -> None:
    """On the board it opens the box, as its number would."""
    line = ReceiveBoxLine(
        do="receive-box",
        by="op-1",
        number="L-777",
        expires=date(2099, 12, 31),
        assay=NASAL.id,
        units=5,
    )
    await hands.desk.serve(hands.work.bay, line)
    await hands.scan("10L-777" + GS + "21S1")
    assert hands.work.bay.board.open_lot == "L-777", hands.words
    await visit(hands, Room.LOTS)
    await hands.scan(f"01{GTIN}10L-777")
    assert "L-777: F3 opens it" in hands.words


async def test_a_known_lot_with_another_day_is_refused(hands: Hands) -> None:
    """One number, two days: a person looks at the box."""
    await hands.scan(f"01{GTIN}1727123110L-100")

    assert "a lot has one last day" in hands.words
    assert hands.fine is False
    assert hands.in_hand() == Watching()


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (f"0138425876095079{CODE[16:]}", "check digit"),
        (f"01{GTIN}1727023110L-777", "is no day"),
        (f"01{GTIN}10L-777{{GS}}17271231", "writes its separator out"),
        (f"01{GTIN}10L7771727123199", "ran together"),
        (f"01{GTIN}17271", "cannot be read"),
    ],
)
async def test_a_bad_code_is_refused_in_words_and_nothing_begins(
    hands: Hands, code: str, words: str
) -> None:
    """Scan again, or type it."""
    before = hands.in_hand()
    await hands.scan(code)

    assert words in hands.words
    assert hands.fine is False
    assert hands.in_hand() == before


async def test_a_new_box_scanned_amid_other_work_begins_nothing(hands: Hands) -> None:
    """The pouch in the hand goes first."""
    await hands.scan("P-001")
    assert isinstance(hands.in_hand(), Labelling)
    await hands.scan(CODE)
    assert "was never received here. Label from the box that is open" in hands.words
    await hands.scan("C1", "C1")
    await hands.scan(CODE)
    assert "Finish this first" in hands.words


async def test_somebodys_id_is_never_taken_for_a_box(hands: Hands) -> None:
    """Whatever form it has."""
    await hands.press(Key.START)
    await hands.scan(f"01{GTIN}")
    await hands.press(Key.BACK)

    assert f"01{GTIN}" not in hands.work.bay.board.lots


async def test_after_a_form_the_thing_it_was_about_is_the_chosen_one(hands: Hands) -> None:
    """Whoever took a box in goes on with that box."""
    await hands.scan(CODE)
    await hands.type("40")
    await hands.press(Key.START)
    assert hands.in_hand() == Visiting(room=Room.LOTS, cursor=1)
