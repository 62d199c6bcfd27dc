"""Steps are offered, perhaps stated afterwards, and recorded by one act on the very cartridge."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from readbell.core.board.events import ActRefused
from readbell.core.refusal import RefusalCode
from readbell.hand.doing import Gathering, Labelling, Stepping, Watching
from readbell.hand.given import Key, Pressed
from readbell.scenarios.stock_lines import DescribeLotLine

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


async def test_steps_offered_by_a_key_are_not_confirmed_by_the_first_scan(hands: Hands) -> None:
    """Who scans, does and presses F3 comes out of step by one key: the scan that is to show what
    is next would start the clock of drops that nobody has let fall.
    """
    await hands.scan("P-001", "C01", "C01")
    await hands.press(Key.DONE)
    hands.wait("1:00")
    await hands.scan("C01", "C01")  # offered and confirmed: the swab is out
    await hands.press(Key.DONE)  # once more by habit: the drops are offered
    await hands.scan("C01")
    assert hands.cartridge("C01").applied is None
    assert hands.words == "C01 it is. Once it is done, F3 or scan it again."

    await hands.scan("C01")
    assert hands.cartridge("C01").applied is not None, hands.words


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


def buffers(hands: Hands) -> list[tuple[str, bool]]:
    """Which buffers were said to be used, and whether each is of another kit."""
    used = hands.work.bay.board.stock_room.buffers.values()
    return [(each.buffer, each.is_foreign) for each in used]


async def with_buffer(hands: Hands) -> None:
    """The buffer in the box of the bench bears a number; the steps of a cartridge are offered."""
    line = DescribeLotLine(do="describe-lot", by="op-1", lot="L-100", buffer="B-100")
    await hands.desk.serve(hands.work.bay, line)
    await hands.scan("P-001", "C01", "C01")


async def test_a_buffer_of_another_kit_is_said_at_the_steps(hands: Hands) -> None:
    """By a key and a scan; it is a deviation, stops nothing, and the steps stay offered."""
    await with_buffer(hands)
    await hands.press(Key.LOOK)
    assert "Scan its number" in hands.words
    await hands.scan("B-77")
    assert buffers(hands) == [("B-77", True)]
    assert "Parts of two kits are not mixed" in hands.words
    doing = hands.in_hand()
    assert isinstance(doing, Stepping)
    assert not doing.asks_buffer
    await hands.press(Key.DONE)
    assert hands.cartridge("C01").last_mark.step == "extract"


async def test_the_buffer_of_a_known_box_is_known_when_it_is_scanned(hands: Hands) -> None:
    """No key is needed for what cannot be anything else."""
    await with_buffer(hands)
    await hands.scan("B-100")
    assert buffers(hands) == [("B-100", False)]


async def test_what_is_something_else_here_is_no_buffer(hands: Hands) -> None:
    """The cartridge itself, asked for a buffer or not, is the cartridge."""
    await with_buffer(hands)
    await hands.press(Key.LOOK)
    await hands.scan("C01")
    assert buffers(hands) == []
    assert hands.cartridge("C01").last_mark.step == "extract"


async def test_a_buffer_needs_somebody_who_says_so(hands: Hands) -> None:
    """As any act does."""
    await with_buffer(hands)
    hands.hand = replace(hands.hand, operator=None)
    await hands.scan("B-100")
    assert "Nobody is signed on" in hands.words
    assert buffers(hands) == []


async def test_where_they_wait_is_typed_while_people_are_entered(hands: Hands) -> None:
    """It goes with the party, and a scan amid it is a person as ever."""
    await hands.press(Key.START)
    await hands.scan("P-101")
    await hands.press(Key.DONE)
    assert "Where do they wait?" in hands.words
    await hands.type("lane 2")
    await hands.scan("P-102")
    assert hands.in_hand() == Gathering(persons=("P-101", "P-102"), lane="lane 2")
    await hands.press(Key.START)
    (party,) = hands.work.bay.board.parties.values()
    assert (party.lane, len(party.persons)) == ("lane 2", 2)


async def test_one_person_alone_may_wait_somewhere_too(hands: Hands) -> None:
    """A car with one in it stands in a lane like the others."""
    await hands.press(Key.START, Key.DONE)
    await hands.type("lane 1")
    await hands.scan("P-101")
    await hands.press(Key.START)
    (party,) = hands.work.bay.board.parties.values()
    assert (party.lane, len(party.persons)) == ("lane 1", 1)
    assert "First: P-101" in hands.words


async def test_a_person_scanned_where_a_lane_was_asked_is_that_person(hands: Hands) -> None:
    """Nobody becomes the name of a lane."""
    await hands.press(Key.START, Key.DONE)
    await hands.scan("P-101")
    assert hands.in_hand() == Gathering(persons=("P-101",))
    await hands.press(Key.DONE)
    await hands.type("P-001")
    assert hands.in_hand() == Gathering(persons=("P-101", "P-001"), typed=frozenset({"P-001"}))


async def test_the_key_for_one_step_never_confirms_the_one_after_it(hands: Hands) -> None:
    """Two stand at one cartridge, and both take the swab out: whoever presses second would say
    that the drops are on the well, and the clock of a strip that is dry would run.
    """
    await hands.scan("P-001", "C01", "C01")
    await hands.press(Key.DONE)
    hands.wait("1:00")
    await hands.scan("C01")  # offered: the swab is to come out
    await hands.work.must(hands.work.step("withdraw", "C01"))  # somebody else says so first
    await hands.give(Pressed(Key.DONE))
    assert hands.cartridge("C01").applied is None, hands.words

    await hands.give(Pressed(Key.DONE))  # the same key struck twice with a glove
    assert hands.cartridge("C01").applied is None, hands.words


async def test_an_offer_that_somebody_else_was_quicker_with_is_let_go(hands: Hands) -> None:
    """What the panel says would be recorded is what was looked at, or nothing."""
    await hands.scan("P-001", "C01", "C01")
    await hands.work.must(hands.work.step("buffer", "C01"))
    hands.wait("0:01")

    assert hands.in_hand() == Watching()
    assert hands.words.endswith("Scan it for what is next.")
    await hands.scan("C01")
    doing = hands.in_hand()
    assert isinstance(doing, Stepping)
    assert doing.first == "collect"
