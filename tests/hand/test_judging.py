"""A strip is judged: nothing is chosen beforehand, and no scan ever saves an outcome."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.core.board.events import ActRefused
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.events import CartridgeRead, How, ReadingCorrected
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.bands import Unreadable
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode
from readbell.hand.doing import Judging, Purpose, Watching
from readbell.hand.given import Key

if TYPE_CHECKING:
    from hand.conftest import Hands


async def refusals(hands: Hands) -> list[RefusalCode]:
    """The near misses of the journal."""
    return [each.code for each in await hands.stored() if isinstance(each, ActRefused)]


async def test_nothing_is_answered_when_the_form_opens(hands: Hands) -> None:
    """A preselected band is a reading nobody made."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01")
    doing = hands.hand.doing

    assert isinstance(doing, Judging)
    assert (doing.control, doing.lines, doing.person, doing.unreadable) == (None, (), None, None)


@pytest.mark.parametrize(
    ("keys", "outcome"),
    [
        ((Key.UP, Key.DOWN), Outcome.NEGATIVE),
        ((Key.UP, Key.UP), Outcome.POSITIVE),
        ((Key.UP, Key.UP, Key.UP), Outcome.POSITIVE),
        ((Key.DOWN, Key.DOWN), Outcome.INVALID),
        ((Key.DOWN, Key.UP), Outcome.INVALID),
    ],
    ids=["negative", "faint", "clear", "no control line", "no control line but a test line"],
)
async def test_arrows_answer_and_the_rules_give_the_outcome(
    hands: Hands, keys: tuple[Key, ...], outcome: Outcome
) -> None:
    """Scanners send no arrows, and gloves find them."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001")
    await hands.press(*keys, Key.READ)

    assert hands.cartridge("C01").outcome is outcome, hands.words
    assert hands.hand.doing == Watching()


async def test_a_smear_is_saved_with_its_reason(hands: Hands) -> None:
    """It cannot be read, and a missing reason would be argued about later."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001")
    await hands.press(Key.SECOND, Key.DOWN, Key.DOWN, Key.READ)

    reading = hands.cartridge("C01").reading
    assert reading is not None, hands.words
    assert reading.bands.unreadable is Unreadable.SMEAR
    assert reading.outcome is Outcome.INVALID


async def test_without_the_persons_id_nothing_is_saved(hands: Hands) -> None:
    """The program never fills in what a person is to check."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01")
    await hands.press(Key.UP, Key.DOWN, Key.READ)

    assert hands.fine is False
    assert "Patient ID" in hands.words
    assert not hands.cartridge("C01").has_ended


async def test_an_unanswered_line_is_named_and_nothing_is_saved(hands: Hands) -> None:
    """There is no `all negative`."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.READ)

    assert "Test line T" in hands.words
    assert not hands.cartridge("C01").has_ended


async def test_no_scan_saves_an_outcome(hands: Hands) -> None:
    """A scanner's own Enter must never press anything."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.DOWN)
    await hands.scan("P-001", "C01", "C01", "P-001")

    assert not hands.cartridge("C01").has_ended


async def test_the_wrong_cartridge_is_refused_and_kept_as_a_near_miss(hands: Hands) -> None:
    """Two strips lie side by side, and the form is of the other one."""
    await hands.to_window("C01", "P-001")
    await hands.to_well("C02", "P-002")
    await hands.scan("C01", "C02")

    assert hands.fine is False
    assert "C02" in hands.words
    assert await refusals(hands) == [RefusalCode.WRONG_CARTRIDGE]
    assert isinstance(hands.hand.doing, Judging)


@pytest.mark.parametrize("scanned", ["P-002", "P-999"], ids=["another person", "nobody known"])
async def test_the_wrong_person_is_refused_and_kept_as_a_near_miss(
    hands: Hands, scanned: str
) -> None:
    """Whether known here or not: it is not the cartridge's."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", scanned)

    assert await refusals(hands) == [RefusalCode.WRONG_PERSON]
    doing = hands.hand.doing
    assert isinstance(doing, Judging)
    assert doing.person is None


async def test_the_reader_may_change_while_the_form_is_open(hands: Hands) -> None:
    """A badge scan switches the operator, and the reading bears who saved it."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001", "op-2")
    await hands.press(Key.UP, Key.DOWN, Key.READ)

    reading = hands.cartridge("C01").reading
    assert reading is not None
    assert hands.work.bay.board.name(reading.by) == "op-2"


async def test_a_window_that_closes_under_the_form_keeps_a_late_look_and_no_result(
    hands: Hands,
) -> None:
    """What was seen is not lost, and it is no outcome."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.UP)
    hands.wait("5:00.001")
    await hands.press(Key.READ)

    assert await refusals(hands) == [RefusalCode.WINDOW_CLOSED]
    assert stage_at(hands.cartridge("C01"), hands.scene.now) is Stage.LAPSED
    assert "late look" in hands.words
    assert hands.hand.doing == Watching()


async def test_a_slip_is_offered_to_be_put_right_only_while_it_can_be(hands: Hands) -> None:
    """A whole form would be answered, and then be refused."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.UP, Key.READ)
    await hands.scan("C01")
    assert hands.words == "C01 was read: + POSITIVE. F6 puts an own slip right."

    hands.wait("5:00.001")
    await hands.scan("C01")
    assert hands.words == "C01 was read: + POSITIVE."
    await hands.press(Key.SECOND)
    assert hands.hand.doing == Watching()
    assert hands.words == (
        "Nothing is put right on C01 any more. A supervisor amends it: F9, Review, F6."
    )


async def test_before_the_window_no_form_opens(hands: Hands) -> None:
    """Bands entered early would be counted later."""
    await hands.to_well("C01", "P-001")
    hands.wait("14:59.999")
    await hands.press(Key.READ)

    assert hands.hand.doing == Watching()
    assert "Too early" in hands.words


async def test_an_early_look_too_early_is_told_from_when_it_may_be(hands: Hands) -> None:
    """Whoever asks for one wants to know when, and not when the window opens."""
    await hands.to_well("C01", "P-001")
    hands.wait("0:30")
    await hands.scan("C01")
    await hands.press(Key.LOOK)

    assert hands.hand.doing == Watching()
    assert hands.words.startswith("Too early for an early look of C01. One is possible from ")
    assert hands.words.endswith(", in 1:30.")


@pytest.mark.parametrize(
    ("key", "words"),
    [
        (Key.LOOK, "C01 has nothing to look at yet. Next: Buffer into the tube."),
        (Key.READ, "C01 is not to be read yet. Next: Buffer into the tube."),
    ],
)
async def test_a_key_before_its_time_says_what_it_would_be_for(
    hands: Hands, key: Key, words: str
) -> None:
    """And what comes before it."""
    await hands.scan("P-001", "C01")
    await hands.press(key)

    assert hands.words == words


async def test_an_early_look_asks_first_whether_there_is_anything_to_see(hands: Hands) -> None:
    """A dark background or a flow that has not arrived shows lines that are none."""
    await hands.to_well("C01", "P-001")
    hands.wait("3:00")
    await hands.scan("C01")
    await hands.press(Key.LOOK, Key.DOWN)

    assert hands.hand.doing == Watching()
    assert "come back" in hands.words


async def test_an_early_positive_is_kept_and_the_window_reading_still_asked_for(
    hands: Hands,
) -> None:
    """Preliminary: it is read in its window too."""
    await hands.to_well("C01", "P-001")
    hands.wait("6:00")
    await hands.scan("C01")
    await hands.press(Key.LOOK, Key.UP)
    await hands.scan("P-001")
    await hands.press(Key.UP, Key.UP, Key.LOOK)

    assert hands.cartridge("C01").early_lines == ("sars-cov-2",), hands.words
    assert not hands.cartridge("C01").has_ended


async def test_an_early_look_never_turns_into_a_reading(hands: Hands) -> None:
    """Answers given before the window opens are cleared when it does."""
    await hands.to_well("C01", "P-001")
    hands.wait("14:50")
    await hands.scan("C01")
    await hands.press(Key.LOOK, Key.UP)
    await hands.scan("P-001")
    await hands.press(Key.UP, Key.DOWN)
    hands.wait("0:10")

    assert hands.hand.doing == Watching()
    assert "open" in hands.words
    await hands.press(Key.READ)
    doing = hands.hand.doing
    assert isinstance(doing, Judging)
    assert doing.purpose is Purpose.READ
    assert doing.control is None


async def test_an_own_slip_is_put_right_and_the_first_entry_stays(hands: Hands) -> None:
    """Pressed for absent, seen as faint: told at once, it is a slip and no amendment."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.DOWN, Key.READ)
    await hands.scan("C01")
    await hands.press(Key.SECOND, Key.DOWN)
    await hands.scan("P-001")
    await hands.press(Key.UP, Key.UP, Key.READ)

    cartridge = hands.cartridge("C01")
    assert cartridge.outcome is Outcome.POSITIVE, hands.words
    kinds = [type(each) for each in await hands.stored()]
    assert kinds.count(CartridgeRead) == 1
    assert kinds.count(ReadingCorrected) == 1


async def test_a_picked_cartridge_is_never_recorded_as_scanned(hands: Hands) -> None:
    """Choosing a row is not looking at the plastic."""
    await hands.to_window("C01", "P-001")
    await hands.press(Key.BACK, Key.HOME, Key.READ)
    await hands.scan("P-001")
    await hands.press(Key.UP, Key.DOWN, Key.READ)

    reading = hands.cartridge("C01").reading
    assert reading is not None, hands.words
    assert reading.identified.cartridge is How.PICKED
    assert reading.identified.person is How.SCANNED


async def test_after_the_wrong_thing_was_scanned_everything_is_asked_again(hands: Hands) -> None:
    """Another strip was in the hand: nobody can say which one was looked at."""
    await hands.to_window("C01", "P-001")
    await hands.to_well("C02", "P-002")
    await hands.scan("C01", "P-001")
    await hands.press(Key.UP, Key.DOWN)
    await hands.scan("C02")
    await hands.press(Key.READ)

    assert not hands.cartridge("C01").has_ended
    doing = hands.hand.doing
    assert isinstance(doing, Judging)
    assert (doing.person, doing.control, doing.lines) == (None, None, ())
