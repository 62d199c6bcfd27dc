"""A key opens no form that could only end refused: the rule says so at the key."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from readbell.core.board.events import ActRefused
from readbell.core.review.reasons import WithdrawReason
from readbell.hand.doing import Filling, Judging, Paper, Room, Visiting, Voiding, Watching
from readbell.hand.given import Key
from readbell.hand.idle_keys import idle_keys
from readbell.scenarios.staff_lines import WithdrawLine

if TYPE_CHECKING:
    from hand.conftest import Hands

STANDS = (
    "A positive was seen early on C1, and what was seen stays. "
    "Read it in its window; only a supervisor withdraws a result."
)


async def seen_early(hands: Hands) -> None:
    """A cartridge on which a positive was seen early, chosen."""
    await hands.to_well("C1", "P-001")
    hands.wait("4:00")
    await hands.scan("C1")
    await hands.press(Key.LOOK)
    await hands.scan("P-001")
    await hands.press(Key.UP, Key.UP, Key.UP, Key.LOOK)
    assert hands.cartridge("C1").early_looks, hands.words


async def read(hands: Hands) -> None:
    """A cartridge that was read as negative by op-1, chosen."""
    await hands.to_window("C1", "P-001")
    await hands.scan("C1", "P-001")
    await hands.press(Key.UP, Key.DOWN, Key.READ)
    assert hands.cartridge("C1").has_ended, hands.words


def idle(hands: Hands) -> frozenset[Key]:
    """Return which keys of the board are not offered."""
    return idle_keys(Watching(), hands.scene, hands.hand.chosen)


async def test_over_a_positive_seen_early_the_form_that_gives_up_is_not_opened(
    hands: Hands,
) -> None:
    """The rule is told at the key, in its own words, and the key is not offered."""
    await seen_early(hands)
    await hands.press(Key.VOID)

    assert hands.in_hand() == Watching()
    assert (hands.words, hands.fine) == (STANDS, False)
    assert Key.VOID in idle(hands)
    assert not [each for each in await hands.stored() if isinstance(each, ActRefused)]


async def test_what_has_ended_is_not_given_up_and_the_key_is_not_offered(hands: Hands) -> None:
    """It was read: what there is to do about it is a supervisor's."""
    await read(hands)
    await hands.press(Key.VOID)

    assert hands.in_hand() == Watching()
    assert hands.words.startswith("C1 was read: - NEGATIVE.")
    assert Key.VOID in idle(hands)


async def test_what_lapsed_this_very_moment_is_not_given_up(hands: Hands) -> None:
    """Whether or not it is on record yet: the bay would refuse it."""
    await hands.to_window("C1", "P-001")
    hands.wait("5:01")
    await hands.press(Key.VOID)

    assert hands.in_hand() == Watching()
    assert hands.words.startswith("C1 has ended: lapsed.")
    assert Key.VOID in idle(hands)


async def test_what_runs_may_be_given_up_and_the_key_is_offered(hands: Hands) -> None:
    """With nobody chosen, too: the line says what F12 is for."""
    assert Key.VOID not in idle(hands)
    await hands.scan("P-001", "C1", "C1")
    await hands.press(Key.BACK)
    assert Key.VOID not in idle(hands)
    await hands.press(Key.VOID)
    assert isinstance(hands.in_hand(), Voiding)


async def test_a_reading_of_somebody_else_opens_no_form_to_put_it_right(hands: Hands) -> None:
    """Only whoever read it mends a slip; the other is told so before a line is answered."""
    await read(hands)
    await hands.scan("op-2")
    await hands.press(Key.SECOND)

    assert hands.in_hand() == Watching()
    assert hands.words == (
        "Somebody else read C1, and only they may mend a slip of their own. "
        "Ask them, or tell a supervisor."
    )
    await hands.scan("op-1")
    await hands.press(Key.SECOND)
    assert isinstance(hands.in_hand(), Judging)


async def test_what_has_no_result_is_not_taken_back_and_the_form_says_so_at_the_label(
    hands: Hands,
) -> None:
    """Before a reason is chosen and written down for nothing."""
    await hands.to_window("C1", "P-001")
    hands.hand = hands.hand.now_doing(Visiting(room=Room.REVIEW))
    await hands.press(Key.VOID)
    await hands.scan("C1")

    assert hands.words == "Nothing was seen on C1, so there is no result. Void it, if it runs."
    assert hands.in_hand() == Filling(paper=Paper.WITHDRAW)


@pytest.mark.parametrize("key", [Key.SECOND, Key.VOID])
async def test_what_was_taken_back_is_neither_amended_nor_taken_back_again(
    hands: Hands, key: Key
) -> None:
    """And on the board F6 does not send anybody to amend it."""
    await read(hands)
    line = WithdrawLine(
        do="withdraw-result", by="op-2", cartridge="C1", reason=WithdrawReason.OTHER, why="so"
    )
    assert (await hands.desk.serve(hands.work.bay, line)).accepted
    await hands.press(Key.SECOND)
    assert hands.words.startswith("C1 WITHDRAWN")
    hands.hand = hands.hand.now_doing(Visiting(room=Room.REVIEW))
    await hands.press(key)
    form = hands.in_hand()
    await hands.scan("C1")

    assert hands.words.startswith("C1 has ended and takes no more acts.")
    assert hands.in_hand() == form
