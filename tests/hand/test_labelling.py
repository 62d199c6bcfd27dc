"""A device gets its label: the one that is offered, one of its own, and never somebody's ID."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.core.board.which_box import WhichBox
from readbell.core.cartridge.events import How
from readbell.hand.doing import (
    Labelling,
)
from readbell.hand.given import Key, Pressed, Scanned

if TYPE_CHECKING:
    from hand.conftest import Hands


async def test_a_known_person_without_a_cartridge_gets_one_labelled(hands: Hands) -> None:
    """Their ID was read back by scanning it; only now is a pouch opened."""
    await hands.scan("P-001")

    assert isinstance(hands.hand.doing, Labelling)
    assert "L-100" in hands.words


async def test_a_device_without_a_barcode_gets_the_label_that_is_offered(hands: Hands) -> None:
    """Short, free, and written on the plastic by hand."""
    await hands.scan("P-001")
    await hands.press(Key.START)

    assert hands.cartridge("C01").labelled.lot == "L-100"


async def test_another_persons_id_is_not_taken_for_a_label_at_once(hands: Hands) -> None:
    """The next in the car holds out their card, and no device of that name exists."""
    await hands.scan("P-001", "P-003")

    assert hands.fine is False
    assert "looks like another person's ID" in hands.words
    assert len(hands.work.bay.board.running) == 0
    await hands.scan("P-003")
    assert len(hands.work.bay.board.running) == 0, "scanned twice is not meant twice"
    await hands.press(Key.START)
    assert hands.cartridge("P-003").labelled.subject == "key-P-001"


async def test_where_labels_look_like_ids_no_label_is_doubted_any_more(hands: Hands) -> None:
    """Else everybody learns to scan twice without looking."""
    await hands.scan("P-001", "P-003")
    await hands.press(Key.START)
    await hands.scan("P-002", "P-004")

    assert hands.cartridge("P-004").labelled.subject == "key-P-002"


async def test_one_id_that_was_taken_for_a_label_lets_no_other_through(hands: Hands) -> None:
    """A slip is no custom: the next card that is held out is doubted as the first one was."""
    await hands.scan("P-001", "C01", "P-002", "P-003")
    await hands.press(Key.START)
    await hands.press(Key.START)
    await hands.scan("P-101")
    await hands.press(Key.START)
    await hands.scan("P-909")

    assert "looks like another person's ID" in hands.words
    assert [each.label for each in hands.scene.in_order()] == ["C01", "P-003"]


async def test_the_key_never_records_another_label_than_stands_on_the_device(hands: Hands) -> None:
    """C01 was written with a pen; another station used that label before the key was pressed."""
    await hands.scan("P-001")
    assert "write C01 on it" in hands.words
    await hands.work.must(hands.work.label("C01", "P-002"))
    await hands.press(Key.START)

    assert hands.fine is False
    assert "C01 is not free any more. Write C02 on the cartridge" in hands.words
    assert [each.label for each in hands.scene.in_order()] == ["C01"]

    await hands.give(Pressed(Key.START))  # the same key struck twice with a glove
    assert [each.label for each in hands.scene.in_order()] == ["C01"]
    await hands.press(Key.START)
    assert hands.cartridge("C02").labelled.subject == "key-P-001"


async def test_a_label_that_was_offered_is_kept_while_it_is_free(hands: Hands) -> None:
    """Another station labelled by a barcode of its own: what was written here still holds."""
    await hands.scan("P-001")
    await hands.work.must(hands.work.label("X-77", "P-002"))
    await hands.press(Key.START)

    assert hands.cartridge("C01").labelled.subject == "key-P-001"


@pytest.mark.parametrize("label", [None, "C09"])
async def test_a_person_who_was_begun_elsewhere_meanwhile_is_asked_for_again(
    hands: Hands, label: str | None
) -> None:
    """Two carers have them on their lists: no second pouch without a word."""
    await hands.scan("P-001")
    await hands.work.must(hands.work.label("C01", "P-001"))
    await (hands.press(Key.START) if label is None else hands.scan(label))

    assert hands.words == "P-001: C01 was begun by somebody else meanwhile. F2 begins another."
    assert [each.label for each in hands.scene.in_order()] == ["C01"]
    await hands.press(Key.START, Key.START)
    assert [each.label for each in hands.scene.in_order()] == ["C01", "C02"]


async def test_the_same_id_once_more_lets_a_doubted_label_go(hands: Hands) -> None:
    """The key then records what was said last, and that is the short label."""
    await hands.scan("P-001", "P-003", "P-001")
    await hands.press(Key.START)

    assert hands.cartridge("C01").labelled.subject == "key-P-001"


async def test_a_label_in_use_is_refused_and_the_turn_stays(hands: Hands) -> None:
    """The pouch is open in the hand; another label is written."""
    await hands.scan("P-001", "C01", "P-002", "C01")

    assert hands.fine is False
    assert isinstance(hands.hand.doing, Labelling)
    await hands.scan("C02")
    assert hands.cartridge("C02").labelled.subject == "key-P-002"


async def test_a_person_with_a_running_cartridge_is_asked_for_it(hands: Hands) -> None:
    """No second pouch by a second scan of the same person."""
    await hands.scan("P-001", "C01", "P-001")

    assert "C01 running" in hands.words
    await hands.scan("C09")
    assert len(hands.work.bay.board.running) == 1
    await hands.press(Key.START)
    await hands.scan("C09")
    assert len(hands.work.bay.board.running) == 2


async def test_without_an_open_box_no_device_is_labelled(hands: Hands) -> None:
    """The lot is carried by the form, so it must have been scanned once."""
    await hands.press(Key.ROOMS)
    await hands.scan("L-100")
    await hands.press(Key.VOID, Key.BACK)
    await hands.scan("P-001", "C01")

    assert "No box is open" in hands.words


async def test_the_bench_place_of_a_cartridge_may_be_named(hands: Hands) -> None:
    """The eye goes from the row to the plastic."""
    await hands.scan("P-001")
    await hands.press(Key.SECOND)
    await hands.type("tray 2")
    await hands.scan("C01")

    place = hands.cartridge("C01").labelled.place
    assert place is not None
    assert place.value == "tray 2"


async def test_another_person_does_not_take_over_a_turn(hands: Hands) -> None:
    """The pouch of the first may be open in the hand."""
    await hands.scan("P-001", "P-002")

    assert "it is the turn of P-001" in hands.words
    assert hands.hand.doing == Labelling(
        person="P-001", person_by=How.SCANNED, offered="C01", box=WhichBox("L-100")
    )


@pytest.mark.parametrize("how", [How.SCANNED, How.TYPED])
async def test_how_a_new_person_and_a_doubted_label_were_given_is_kept(
    hands: Hands, how: How
) -> None:
    """The program claims no scan where somebody typed."""
    await hands.press(Key.START)
    await hands.give(Scanned("P-101", how))
    await hands.press(Key.START)
    await hands.give(Scanned("P-909", how))
    await hands.press(Key.START)

    labelled = hands.cartridge("P-909").labelled
    assert labelled.identified.person is how
    assert labelled.identified.cartridge is how
