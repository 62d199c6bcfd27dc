"""Steps are offered, perhaps stated afterwards, and recorded by one act on the very cartridge."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from readbell.core.board.events import ActRefused
from readbell.core.refusal import RefusalCode
from readbell.hand.doing import Gathering, Labelling, Stepping, Watching
from readbell.hand.given import Key, Pressed

if TYPE_CHECKING:
    from hand.conftest import Hands


async def test_arrows_and_clicks_say_how_far_it_went(hands: Hands) -> None:
    """All of the row in one act, or only its beginning."""
    await hands.scan("P-001", "C01", "C01")
    await hands.press(Key.UP, Key.UP, Key.UP, Key.DOWN)
    doing = hands.in_hand()
    assert isinstance(doing, Stepping)
    assert doing.until == "collect"
    await hands.choose("until", "buffer")
    await hands.choose("until", "nothing-such")
    await hands.press(Key.DONE)

    assert hands.cartridge("C01").last_mark.step == "buffer"


@pytest.mark.parametrize("text", ["soon", "121", "3:00:00"])
async def test_what_is_no_time_is_asked_again(hands: Hands, text: str) -> None:
    """A slip of the keys must not move a window by hours."""
    await hands.scan("P-001", "C01", "C01")
    await hands.press(Key.SECOND)
    await hands.type(text)

    assert hands.fine is False
    doing = hands.in_hand()
    assert isinstance(doing, Stepping)
    assert doing.ago is None


async def test_the_person_may_be_read_back_at_a_step(hands: Hands) -> None:
    """The right one changes nothing, the wrong one is a near miss that is kept."""
    await hands.scan("P-001", "C01", "C01", "P-001")
    assert "Same person as on C01" in hands.words
    await hands.scan("P-002")

    assert hands.fine is False
    codes = [each.code for each in await hands.stored() if isinstance(each, ActRefused)]
    assert codes == [RefusalCode.WRONG_PERSON]


async def test_an_unknown_scan_at_a_step_records_nothing(hands: Hands) -> None:
    """Nor does anything else that is not the cartridge."""
    await hands.scan("P-001", "C01", "C01", "L-100", "X-9")

    assert "nothing we know" in hands.words
    assert hands.cartridge("C01").last_mark.step == "label"


async def test_a_step_without_a_choice_or_a_cartridge_is_told(hands: Hands) -> None:
    """F3 on nothing."""
    await hands.press(Key.DONE)
    assert "No cartridge is chosen" in hands.words
    await hands.press(Key.UP, Key.RIGHT, Key.LEFT)
    assert hands.in_hand() == Watching()


async def test_a_cartridge_that_was_read_or_given_up_says_what_is_left(hands: Hands) -> None:
    """And nothing is begun on it."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.DOWN, Key.READ)
    await hands.scan("C01")
    assert "C01 was read" in hands.words
    await hands.scan("P-002", "C02")
    await hands.press(Key.VOID)
    await hands.scan("c02", "op-2")
    assert hands.hand.operator == "op-2"
    await hands.press(Key.DOWN, Key.VOID)
    await hands.scan("C02")
    assert "has ended" in hands.words


async def test_nobody_is_labelled_without_operator_or_box(hands: Hands) -> None:
    """Each refusal says what comes first, and the turn stays."""
    await hands.scan("P-001")
    hands.hand = replace(hands.hand, operator=None)
    await hands.press(Key.START)
    assert "Nobody is signed on" in hands.words
    assert isinstance(hands.in_hand(), Labelling)
    await hands.scan("P-001", "LABELP-001")
    assert "two labels at once" in hands.words


async def test_a_list_of_nobody_cannot_be_entered_or_taken_back(hands: Hands) -> None:
    """Two in one are nobody."""
    await hands.press(Key.START, Key.SECOND)
    assert "Nobody is on the list yet" in hands.words
    await hands.press(Key.START)
    assert "Scan each person" in hands.words
    await hands.scan("P-101", "P-101XP-102")
    assert "two labels at once" in hands.words
    assert hands.in_hand() == Gathering(persons=("P-101",))


async def test_nothing_rings_nothing_is_heard(hands: Hands) -> None:
    """F8 on a quiet board, and on a ringing one with nobody signed on."""
    await hands.press(Key.HEARD)
    assert hands.words == "Nothing is ringing."
    await hands.give(Pressed(Key.HELP))
    await hands.press(Key.HEARD)
    assert hands.in_hand() == Watching()
