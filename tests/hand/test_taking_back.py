"""What was confirmed by mistake is taken back by a key, a reason and the key again; by no scan."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import ActRefused
from readbell.core.cartridge.acts import TakeBackStep
from readbell.core.cartridge.events import How, StepDone, StepTakenBack, TakeBackReason
from readbell.core.cartridge.stage import Stage
from readbell.hand.aloud import said_aloud, understood
from readbell.hand.doing import Stepping, TakingBack, Watching
from readbell.hand.given import Key, Pressed, Scanned
from readbell.hand.handle import handle
from readbell.hand.idle_keys import idle_keys
from readbell.hand.question import moved
from readbell.hand.taking_back import questions, titles
from readbell.scenarios.line import EntryLine

if TYPE_CHECKING:
    from hand.conftest import Hands


async def undone(hands: Hands) -> list[StepTakenBack]:
    """What the record says was taken back."""
    return [each for each in await hands.stored() if isinstance(each, StepTakenBack)]


def idle(hands: Hands) -> bool:
    """Whether the key is left out of the line of keys."""
    return Key.SECOND in idle_keys(Watching(), hands.scene, hands.hand.chosen)


async def test_drops_pressed_too_early_are_taken_back_in_three_keys(hands: Hands) -> None:
    """F6, why, F6; then they are done again, and the window is theirs."""
    await hands.to_well("C1", "P-001")
    before = hands.keys
    await hands.press(Key.SECOND, Key.DOWN, Key.SECOND)

    assert hands.keys - before == 3
    (found,) = await undone(hands)
    assert (found.steps, found.reason) == (("apply",), TakeBackReason.PRESSED_TOO_EARLY)
    assert (hands.in_hand(), hands.fine) == (Watching(), True)
    assert "Drops onto the well, confirmed " in hands.words
    assert hands.words.endswith("taken back, pressed too early. Confirm it once it is done.")
    assert hands.cartridge("C1").stage is Stage.EXTRACTING
    hands.wait("0:30")
    await hands.scan("C1", "C1")
    assert hands.cartridge("C1").stage is Stage.DEVELOPING


async def test_what_one_press_confirmed_is_taken_back_by_one(hands: Hands) -> None:
    """To the buffer: three steps, and all of them are named."""
    await hands.scan("P-001", "C1", "C1")
    await hands.press(Key.DONE, Key.SECOND)
    form = hands.in_hand()
    assert isinstance(form, TakingBack)
    assert titles(form, hands.cartridge("C1")) == (
        "Buffer into the tube, Take the swab, Swab into the buffer"
    )
    await hands.choose("reason", "another-cartridge")
    await hands.press(Key.SECOND)

    assert [each.steps for each in await undone(hands)] == [("buffer", "collect", "extract")]
    assert hands.cartridge("C1").stage is Stage.LABELLED


async def test_nothing_is_taken_back_without_a_reason_and_none_is_chosen_beforehand(
    hands: Hands,
) -> None:
    """Whoever only presses twice has said nothing."""
    await hands.to_well("C1", "P-001")
    await hands.press(Key.SECOND)
    assert questions(TakingBack(cartridge="id", step="apply"))[0].answer is None
    await hands.press(Key.SECOND)

    assert hands.words == "Choose why with Up and Down first."
    assert not await undone(hands)


async def test_a_key_struck_twice_takes_nothing_back(hands: Hands) -> None:
    """What a key has just brought up is deaf to the same key."""
    await hands.to_well("C1", "P-001")
    await hands.give(Pressed(Key.SECOND))
    await hands.give(Pressed(Key.SECOND))

    assert hands.words == "That key came twice in a moment: taken once. Press it again to go on."


@pytest.mark.parametrize("key", [each for each in Key if each is not Key.SECOND])
@pytest.mark.parametrize("reason", [None, "not-done"])
async def test_no_other_key_takes_anything_back(hands: Hands, key: Key, reason: str | None) -> None:
    """Only the one that says so, whatever was answered."""
    await hands.to_well("C1", "P-001")
    form = TakingBack(cartridge=hands.cartridge("C1").id, step="apply", reason=reason)
    hands.hand = hands.hand.now_doing(form)
    turn = handle(hands.hand, Pressed(key), hands.scene)

    asked = turn.ask
    assert asked is None or not isinstance(asked.request, EntryLine)


@pytest.mark.parametrize("how", list(How))
@pytest.mark.parametrize("text", ["C1", "C2", "P-001", "op-2", "", "X-9"])
async def test_no_scan_takes_anything_back(hands: Hands, text: str, how: How) -> None:
    """A scanner ends what it reads with Enter, and is pointed at anything."""
    await hands.to_well("C1", "P-001")
    await hands.press(Key.SECOND, Key.DOWN)
    await hands.give(Scanned(text, how))

    assert not await undone(hands)
    assert hands.cartridge("C1").stage is Stage.DEVELOPING


async def test_the_very_cartridge_may_be_scanned_and_is_on_record_then(hands: Hands) -> None:
    """Nobody has to: the device in hand may be the other one."""
    await hands.to_well("C1", "P-001")
    await hands.press(Key.SECOND)
    await hands.scan("C1")
    assert hands.words == "C1 it is. Why? Then F6."
    await hands.press(Key.UP, Key.SECOND)

    (found,) = await undone(hands)
    assert found.identified.cartridge is How.SCANNED


async def test_whoever_scans_something_else_goes_on_with_that_and_nothing_is_taken_back(
    hands: Hands,
) -> None:
    """No scan is lost to a form that asks for none: whoever pressed the key by mistake works on."""
    await hands.to_well("C1", "P-001")
    await hands.scan("P-002", "C2")
    await hands.press(Key.UP, Key.HOME)
    hands.hand = replace(hands.hand, chosen=hands.cartridge("C1").id)
    await hands.press(Key.SECOND, Key.DOWN)
    assert isinstance(hands.in_hand(), TakingBack)
    await hands.scan("C2")

    assert isinstance(hands.in_hand(), Stepping)
    assert hands.hand.chosen == hands.cartridge("C2").id
    await hands.press(Key.BACK, Key.SECOND)
    await hands.scan("X-9")
    assert hands.words.startswith('"X-9" is nothing we know.')
    assert not await undone(hands)
    assert not [each for each in await hands.stored() if isinstance(each, ActRefused)]


async def test_a_badge_says_who_takes_it_back(hands: Hands) -> None:
    """Whoever sees the slip may mend it."""
    await hands.to_well("C1", "P-001")
    await hands.press(Key.SECOND)
    await hands.scan("op-2")
    assert isinstance(hands.in_hand(), TakingBack)
    await hands.press(Key.DOWN, Key.SECOND)
    by = [each.by for each in await hands.stored() if isinstance(each, (StepDone, StepTakenBack))]

    board = hands.work.bay.board
    assert [board.name(each) for each in by[-2:]] == ["op-1", "op-2"]


async def test_without_anybody_signed_on_nothing_is_asked_of_the_bay(hands: Hands) -> None:
    """The record names who took it back."""
    await hands.to_well("C1", "P-001")
    hands.hand = replace(hands.hand, operator=None)
    await hands.press(Key.SECOND, Key.DOWN, Key.SECOND)

    assert "Nobody is signed on" in hands.words
    assert not await undone(hands)


async def test_esc_keeps_it(hands: Hands) -> None:
    """Nothing was taken back, and that is said."""
    await hands.to_well("C1", "P-001")
    await hands.press(Key.SECOND, Key.DOWN, Key.BACK)

    assert hands.words == "Back at the board. Nothing was saved."
    assert hands.cartridge("C1").stage is Stage.DEVELOPING


async def test_what_somebody_else_went_on_with_meanwhile_is_not_taken_back(hands: Hands) -> None:
    """The form speaks of one step; the bay says which one is last now."""
    await hands.scan("P-001", "C1", "C1")
    await hands.press(Key.DONE, Key.SECOND, Key.DOWN)
    hands.wait("1:00")
    await hands.work.must(Entry(do=Do.STEP, by="op-2", cartridge="C1", step="withdraw"))
    await hands.press(Key.SECOND)

    assert hands.words == (
        "Only what was confirmed last is taken back, and of C1 that is: "
        "Squeeze and withdraw the swab. Nothing changed. Look at its row again."
    )
    assert not await undone(hands)


async def test_the_form_goes_with_its_cartridge(hands: Hands) -> None:
    """What ended under it is nobody's to take a step back on."""
    await hands.to_well("C1", "P-001")
    await hands.press(Key.SECOND)
    await hands.work.must(Entry(do=Do.VOID, by="op-2", cartridge="C1", reason="dropped"))
    hands.wait("0:01")

    assert hands.in_hand() == Watching()


async def test_where_nothing_can_be_taken_back_the_rule_is_told_at_the_key(hands: Hands) -> None:
    """No form that could only end refused, no near miss, and the key is not offered."""
    assert idle(hands)
    await hands.press(Key.SECOND)
    assert hands.words.startswith("No cartridge is chosen.")
    await hands.scan("P-001", "C1", "C1")
    await hands.press(Key.BACK)
    assert idle(hands)
    await hands.press(Key.SECOND)
    assert hands.words == (
        "Of C1 nothing but the label is confirmed, and a label is not taken back. "
        "If it is not to be run, void it."
    )
    await hands.press(Key.DONE, Key.DONE)
    assert not idle(hands)
    assert not [each for each in await hands.stored() if isinstance(each, ActRefused)]


async def test_what_was_seen_or_has_ended_gives_nothing_back(hands: Hands) -> None:
    """An early positive, a window that closed this moment."""
    await hands.to_well("C1", "P-001")
    hands.wait("4:00")
    await hands.scan("C1")
    await hands.press(Key.LOOK)
    await hands.scan("P-001")
    await hands.press(Key.UP, Key.UP, Key.UP, Key.LOOK)
    assert hands.cartridge("C1").early_looks, hands.words
    await hands.press(Key.SECOND)
    assert hands.words.startswith("A positive was seen early on C1, and what was seen stays.")
    assert idle(hands)
    await hands.to_well("C2", "P-002")
    hands.wait("20:01")
    await hands.scan("C2")
    await hands.press(Key.SECOND)
    assert hands.words.startswith("C2 has ended: lapsed.")
    assert idle(hands)


async def test_in_plain_lines_it_is_the_same_with_words(hands: Hands) -> None:
    """`.choose`, `.takeback`, `.reason`, `.takeback`."""
    await hands.to_well("C1", "P-001")
    for line in (".choose C1", ".takeback"):
        await hands.give(understood(line, hands.hand, hands.scene))
    said = list(said_aloud(hands.hand, hands.scene))
    assert said == [
        "C1: take back Drops onto the well. Say why, then .takeback. Or .back to keep it.",
        f"  Why: not answered. Say .reason and one of: {', '.join(TakeBackReason)}.",
    ]
    for line in (".reason not-done", ".takeback"):
        await hands.give(understood(line, hands.hand, hands.scene))

    (found,) = await undone(hands)
    assert found.reason is TakeBackReason.NOT_DONE


async def test_what_the_hand_asks_is_what_the_rule_takes(hands: Hands) -> None:
    """Every reason, in the order of the list, ends with the last one."""
    await hands.to_well("C1", "P-001")
    form, seen = TakingBack(cartridge=hands.cartridge("C1").id, step="apply"), []
    for _ in range(6):
        form = replace(form, reason=moved(questions(form)[0], Key.DOWN))
        seen.append(form.reason)

    assert list(dict.fromkeys(seen)) == [str(each) for each in TakeBackReason]
    assert TakeBackStep.__dataclass_fields__.keys() == {"aim", "step", "reason"}


async def test_a_form_about_a_cartridge_that_is_gone_lets_the_board_deal_with_it(
    hands: Hands,
) -> None:
    """Between two pictures everything may change."""
    hands.hand = hands.hand.now_doing(TakingBack(cartridge="gone", step="apply"))
    turn = handle(hands.hand, Pressed(Key.DOWN), hands.scene)

    assert turn.ask is None
