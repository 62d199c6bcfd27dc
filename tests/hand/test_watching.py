"""The board is watched: each scan leads to what that thing wants next, and nothing more."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import at
from readbell.core.board.events import ActRefused, AlarmTested, AlertHeard, SoundMuted
from readbell.core.cartridge.events import CartridgeVoided, How, StepDone, VoidReason
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.refusal import RefusalCode
from readbell.hand.doing import (
    Filling,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Leaving,
    Room,
    Stepping,
    Visiting,
    Voiding,
    Watching,
)
from readbell.hand.given import Faulty, Key, Pressed, Scanned

if TYPE_CHECKING:
    from hand.conftest import Hands


async def test_an_unknown_scan_is_shown_as_it_was_scanned(hands: Hands) -> None:
    """Shown, not guessed; and nothing begins by itself."""
    await hands.scan("L-2O4")

    assert '"L-2O4" is nothing we know' in hands.words
    assert hands.hand.doing == Watching()


async def test_a_badge_switches_who_acts(hands: Hands) -> None:
    """One act, in the middle of anything."""
    await hands.scan("op-2")

    assert hands.hand.operator == "op-2"


async def test_without_an_operator_nothing_is_begun(hands: Hands) -> None:
    """Each act bears a name."""
    hands.hand = type(hands.hand)(doing=Watching())
    await hands.scan("P-001", "C01")

    assert "Nobody is signed on" in hands.words
    assert len(hands.work.bay.board.running) == 0


async def test_a_void_asks_for_the_very_thing_and_a_reason(hands: Hands) -> None:
    """Nothing destructive hangs on one key."""
    await hands.scan("P-001", "C01", "P-002", "C02", "C01")
    await hands.press(Key.VOID, Key.VOID)
    assert isinstance(hands.hand.doing, Voiding)
    await hands.scan("C02")
    assert hands.fine is False
    await hands.scan("C01")
    await hands.press(Key.VOID)
    assert not hands.cartridge("C01").has_ended
    await hands.press(Key.DOWN, Key.VOID)

    (voided,) = [each for each in await hands.stored() if isinstance(each, CartridgeVoided)]
    assert voided.reason is VoidReason.DROPPED
    codes = [each.code for each in await hands.stored() if isinstance(each, ActRefused)]
    assert codes == [RefusalCode.WRONG_CARTRIDGE]


async def test_of_somebody_who_declined_no_repeat_is_asked_for(hands: Hands) -> None:
    """Neither as it is given up, nor when the cartridge or the person is scanned again."""
    await hands.scan("P-001", "C01", "C01")
    await hands.press(Key.BACK, Key.VOID)
    await hands.scan("C01")
    await hands.press(*[Key.DOWN] * 5, Key.VOID)
    said = [hands.words]
    for scanned in ("C01", "P-001"):
        await hands.scan(scanned)
        said.append(hands.words)

    assert said[0] == "C01  void: the person declined. No repeat is due."
    assert said[1] == "C01 has ended: void. No repeat is due."
    assert said[2] == "P-001: C01 is void. No repeat is due. F2 begins another."


async def test_while_another_one_of_the_person_runs_no_repeat_is_asked_for(hands: Hands) -> None:
    """Neither as it is given up, nor when it is scanned again; nor once the other has a result."""
    await hands.to_window("C01", "P-001")
    await hands.scan("P-001")
    await hands.press(Key.START)
    await hands.scan("C02")
    await hands.press(Key.BACK, Key.VOID)
    await hands.scan("C02")
    await hands.press(Key.DOWN, Key.VOID)
    spared = "No repeat is due: C01 of the same person runs or has a result."
    assert hands.words == f"C02  void: it was dropped. {spared}"
    await hands.scan("C02")
    assert hands.words == f"C02 has ended: void. {spared}"


async def test_another_persons_id_at_a_step_is_a_near_miss(hands: Hands) -> None:
    """Swaps happen at the drops."""
    await hands.scan("P-001", "C01", "C01", "P-002")

    codes = [each.code for each in await hands.stored() if isinstance(each, ActRefused)]
    assert codes == [RefusalCode.WRONG_PERSON]
    assert hands.cartridge("C01").last_mark.step == "label"


async def test_the_arrows_choose_a_row_and_change_nothing(hands: Hands) -> None:
    """Up, Down, pages and Home move the choice alone."""
    await hands.scan("P-001", "C01", "P-002", "C02")
    before = hands.asked
    await hands.press(Key.HOME, Key.DOWN, Key.DOWN, Key.PAGE_UP, Key.PAGE_DOWN, Key.UP)

    assert hands.asked == before
    assert hands.scene.cartridge(hands.hand.chosen) is not None


async def test_leaving_shows_what_runs_and_asks(hands: Hands) -> None:
    """One chord by mistake must not end the alarms."""
    await hands.press(Key.LEAVE)
    assert isinstance(hands.hand.doing, Leaving)
    await hands.press(Key.BACK)
    assert not hands.left
    await hands.press(Key.LEAVE, Key.LEAVE)
    assert hands.left


async def test_help_comes_on_one_key_and_goes_back_to_where_it_was(hands: Hands) -> None:
    """In the middle of a party, too, nothing is lost by looking a sign up."""
    await hands.press(Key.START)
    await hands.scan("P-101")
    await hands.press(Key.HELP)
    helping = isinstance(hands.hand.doing, Helping)
    await hands.press(Key.BACK)

    assert helping
    assert hands.hand.doing == Gathering(persons=("P-101",))


async def test_heard_names_the_cartridge_that_calls_and_keeps_its_mark(hands: Hands) -> None:
    """The sound rests, the sign stays."""
    await hands.to_window("C01", "P-001")
    await hands.work.ring()
    await hands.press(Key.BACK, Key.HEARD)

    (heard,) = [each for each in await hands.stored() if isinstance(each, AlertHeard)]
    assert heard.cartridge == hands.cartridge("C01").id
    assert "C01" in hands.words


async def test_the_alarm_is_rung_and_its_test_recorded(hands: Hands) -> None:
    """A shift begins with it, and nobody but the operator can say whether it was heard."""
    await hands.press(Key.ROOMS, Key.RIGHT, Key.RIGHT, Key.RIGHT)
    assert hands.hand.doing == Visiting(room=Room.SOUND)
    await hands.press(Key.DONE, Key.HEARD)

    assert hands.rang == 1
    assert [each.heard for each in await hands.stored() if isinstance(each, AlarmTested)] == [True]


async def test_a_mute_needs_a_reason_and_has_an_end(hands: Hands) -> None:
    """Five minutes, and sooner by the same key."""
    await hands.press(Key.ROOMS)
    await hands.choose("room", "sound")
    await hands.press(Key.START)
    assert hands.fine is False
    await hands.press(Key.DOWN, Key.START)

    (muted,) = [each for each in await hands.stored() if isinstance(each, SoundMuted)]
    assert muted.until - muted.at == 5 * 60_000


async def test_a_new_box_is_taken_in_line_by_line(hands: Hands) -> None:
    """The only assay adopted needs no choosing; everything else is asked."""
    await hands.press(Key.ROOMS, Key.START)
    await hands.scan("L-200")
    await hands.type("31.12.2027")
    assert hands.fine is False
    await hands.type("2027-12-31", "25")
    await hands.press(Key.START)

    assert hands.work.bay.board.lots["L-200"].units == 25, hands.words


async def test_a_form_that_is_not_whole_names_what_is_open(hands: Hands) -> None:
    """And nothing of it is lost."""
    await hands.press(Key.ROOMS, Key.START)
    await hands.scan("L-200")
    await hands.press(Key.START)

    assert "Units in the box" in hands.words
    assert isinstance(hands.hand.doing, Filling)


async def test_a_key_takes_what_stands_in_the_scan_line_first(hands: Hands) -> None:
    """`C01` typed and F3 pressed shows what is to be done; a second F3 says that it was."""
    await hands.scan("P-001", "C01")
    await hands.give(Pressed(Key.DONE, typed="c01"))

    assert isinstance(hands.hand.doing, Stepping)
    assert hands.cartridge("C01").last_mark.step == "label"


async def test_how_long_ago_may_be_typed_and_the_key_pressed_without_enter(hands: Hands) -> None:
    """F6, 2, F3: three keys, as nobody in a hurry finds Enter."""
    await hands.scan("P-001", "C01")
    hands.wait("3:00")
    await hands.scan("C01")
    await hands.press(Key.SECOND)
    await hands.give(Pressed(Key.DONE, typed="2"))

    assert hands.cartridge("C01").last_mark.step == "extract"
    assert hands.cartridge("C01").last_mark.done.stated


async def test_what_was_not_understood_takes_no_key_with_it(hands: Hands) -> None:
    """F12 after a mistyped label must not void the row that happens to be chosen."""
    await hands.scan("P-001", "C01")
    await hands.give(Pressed(Key.VOID, typed="C99"))

    assert hands.hand.doing == Watching()
    assert hands.fine is False


async def test_a_faulty_scan_says_why_and_changes_nothing(hands: Hands) -> None:
    """Signs that were lost are not replaced by guesses."""
    await hands.press(Key.START)
    await hands.give(Faulty("Signs in it were lost. Scan again."))

    assert hands.words == "Signs in it were lost. Scan again."
    assert hands.hand.doing == Gathering()


async def test_a_cartridge_in_its_window_opens_its_reading(hands: Hands) -> None:
    """Scan a cartridge: what it needs next."""
    await hands.to_window("C01", "P-001")
    await hands.press(Key.BACK)
    await hands.scan("C01")

    assert isinstance(hands.hand.doing, Judging)


async def test_a_label_read_twice_by_a_held_trigger_confirms_nothing(hands: Hands) -> None:
    """The clock of a swab that stands in no buffer would run."""
    await hands.scan("P-001", "C01", "C01")
    await hands.give(Scanned("C01"))

    assert hands.cartridge("C01").last_mark.step == "label"
    assert "taken once" in hands.words


async def test_a_key_struck_twice_confirms_nothing_that_was_not_yet_seen(hands: Hands) -> None:
    """A double stroke with gloves opens no pouch, records no step and leaves no board."""
    await hands.scan("P-001", "C01")
    for key in (Key.DONE, Key.DONE):
        await hands.give(Pressed(key))
    assert hands.cartridge("C01").last_mark.step == "label"
    await hands.press(Key.BACK, Key.START)
    await hands.scan("P-101")
    for key in (Key.START, Key.START):
        await hands.give(Pressed(key))
    assert set(hands.work.bay.board.labels) == {"C01"}
    await hands.press(Key.BACK)
    for key in (Key.LEAVE, Key.LEAVE):
        await hands.give(Pressed(key))
    assert not hands.left


@pytest.mark.parametrize("key", [Key.DONE, Key.READ, Key.LOOK, Key.ROOMS, Key.VOID])
async def test_keys_of_the_board_drop_nothing_that_is_in_hand(hands: Hands, key: Key) -> None:
    """Neither a list of people nor somebody's turn is lost by a key beside the right one."""
    await hands.scan("P-001", "C01")
    await hands.press(Key.START)
    await hands.scan("P-101", "P-102")
    await hands.press(key)
    doing = hands.in_hand()
    assert isinstance(doing, Gathering)
    assert doing.persons == ("P-101", "P-102")
    await hands.press(Key.BACK)
    await hands.scan("P-002")
    await hands.press(key)
    if key is Key.VOID:  # it asks whether they have left, and goes back to their turn
        await hands.press(Key.BACK)

    assert isinstance(hands.in_hand(), Labelling)
    assert hands.cartridge("C01").last_mark.step == "label"


async def test_somebody_read_a_moment_ago_gets_no_second_pouch_by_a_scan(hands: Hands) -> None:
    """What came of the first is said, and a key must begin another."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001")
    await hands.press(Key.DOWN, Key.DOWN, Key.READ)
    await hands.scan("P-001")

    assert "INVALID" in hands.words
    assert "A repeat is due" in hands.words
    await hands.press(Key.START)
    await hands.scan("C02")
    assert hands.cartridge("C02").labelled.repeat_of == hands.cartridge("C01").id


async def test_after_the_last_repeat_no_pouch_is_opened(hands: Hands) -> None:
    """The referral is said before one is lost, and no key begins another."""
    policy = SitePolicy(repeat_limit=1, referral="Go to room 4.")
    await hands.work.bay._recorder.record([PolicySet(at=at("0:00"), policy=policy)])
    await hands.to_window("C01", "P-001")
    await hands.scan("C01", "P-001")
    await hands.press(Key.DOWN, Key.DOWN, Key.READ)
    await hands.scan("P-001")
    await hands.press(Key.START)
    await hands.to_window("C02", "C02")
    await hands.scan("C02", "P-001")
    await hands.press(Key.DOWN, Key.DOWN, Key.READ)
    await hands.scan("P-001")
    assert "INVALID. No further repeat. Go to room 4." in hands.words
    await hands.press(Key.START)
    assert hands.words.startswith("Open no pouch. This person has had every repeat")
    assert hands.in_hand() == Watching()


async def test_an_open_window_is_called_open(hands: Hands) -> None:
    """Nobody is told that it opens in minus a minute."""
    await hands.to_window("C01", "P-001")
    hands.wait("1:00")
    await hands.press(Key.BACK, Key.HOME, Key.DONE)

    assert "is open until" in hands.words
    assert "F5 reads it" in hands.words


async def test_an_answer_goes_when_it_may_no_longer_be_so(hands: Hands) -> None:
    """`Opens in 0:01` must not stand beside READ NOW."""
    await hands.to_well("C01", "P-001")
    await hands.scan("C01")
    assert "develops" in hands.words
    hands.wait("0:30")

    assert hands.hand.said is None


async def test_a_lot_is_opened_only_by_its_own_box(hands: Hands) -> None:
    """The first line of a list is not the box on the bench."""
    await hands.press(Key.ROOMS, Key.DONE)
    assert hands.fine is False
    await hands.scan("L-100")
    await hands.press(Key.DONE)

    assert hands.fine is True


async def test_a_person_read_back_at_a_step_stands_in_its_record(hands: Hands) -> None:
    """Swaps happen at the drops, and the record says that somebody made sure."""
    await hands.scan("P-001", "C01", "C01", "P-001")
    await hands.press(Key.DONE)

    done = [each for each in await hands.stored() if isinstance(each, StepDone)]
    assert done
    assert all(each.identified.person is How.SCANNED for each in done)
