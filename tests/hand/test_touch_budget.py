"""How many scans and keys a plain negative costs: what is dear with dirty gloves is not pressed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How, StepDone
from readbell.core.reading.interpretation import Outcome
from readbell.hand.given import Key

if TYPE_CHECKING:
    from hand.conftest import Hands

MOST_SCANS = 7
MOST_KEYS = 6


async def test_from_label_to_a_plain_negative_takes_seven_scans_and_six_keys(hands: Hands) -> None:
    """The bay's own acceptance test: at forty cars an hour everything beyond is put off."""
    await hands.scan("P-001", "C01")  # whose turn, and the label on the device
    await hands.scan("C01")
    await hands.press(Key.DONE)  # buffer, swab, swab into buffer: together
    hands.wait("1:00")
    await hands.scan("C01")
    await hands.press(Key.DONE)  # squeezed out
    await hands.scan("C01")
    await hands.press(Key.DONE)  # the drops
    hands.wait("16:00")
    await hands.scan("C01", "P-001")  # its reading, and the ID read back
    await hands.press(Key.UP, Key.DOWN, Key.READ)  # control line there, test line absent, saved

    assert hands.cartridge("C01").outcome is Outcome.NEGATIVE, hands.words
    assert hands.scans <= MOST_SCANS
    assert hands.keys <= MOST_KEYS


async def test_steps_confirmed_in_one_act_are_marked_together(hands: Hands) -> None:
    """Only what carries a clock has an instant of its own."""
    await hands.scan("P-001", "C01", "C01")
    await hands.press(Key.DONE)

    done = [each for each in await hands.stored() if isinstance(each, StepDone)]
    assert [each.step for each in done] == ["buffer", "collect", "extract"]
    assert all(each.together for each in done)
    assert len({each.done.said for each in done}) == 1


async def test_a_second_scan_of_the_same_cartridge_confirms_without_a_key(hands: Hands) -> None:
    """Both hands may be full of swab, and the scanner stands on the bench."""
    await hands.scan("P-001", "C01", "C01", "C01")

    assert hands.cartridge("C01").last_mark.step == "extract"
    assert hands.keys == 0


async def test_a_forgotten_step_is_entered_in_three_keys(hands: Hands) -> None:
    """`applied two minutes ago`: F6, 2, F3."""
    await hands.scan("P-001", "C01", "C01", "C01")
    hands.wait("1:00")
    await hands.scan("C01", "C01")
    hands.wait("2:30")
    await hands.scan("C01")
    await hands.press(Key.SECOND)
    await hands.type("2")
    await hands.press(Key.DONE)

    applied = hands.cartridge("C01").applied
    assert applied is not None, hands.words
    assert applied.stated
    assert "tated, not timed" in hands.words


async def test_how_the_cartridge_was_made_sure_of_is_kept(hands: Hands) -> None:
    """Picked from a list is weaker than scanned, and the record says which it was."""
    await hands.scan("P-001", "C01")
    await hands.press(Key.HOME, Key.DONE, Key.DONE)

    (done, *_) = [each for each in await hands.stored() if isinstance(each, StepDone)]
    assert done.identified.cartridge is How.PICKED
