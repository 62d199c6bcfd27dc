"""Laws of the hand, whatever is given to it: it never fails, saves by no scan, and leads back."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import FAINT, at
from readbell.core.board.entry import Do
from readbell.core.cartridge.events import How
from readbell.hand.asked_now import asked_now
from readbell.hand.doing import (
    Doing,
    Filling,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Leaving,
    Paper,
    Purpose,
    Room,
    Stepping,
    TakingBack,
    Visiting,
    Voiding,
    Watching,
)
from readbell.hand.given import Chose, Faulty, Given, Key, PointedAt, Pressed, Scanned
from readbell.hand.hand import Hand
from readbell.hand.handle import handle
from readbell.hand.scene import Scene
from readbell.hand.ticking import tick
from readbell.scenarios.line import EntryLine
from ui.busy_board import FACE, NOW, busy_bench
from ui.pages import SHELF

if TYPE_CHECKING:
    from hand.conftest import Hands
    from readbell.hand.hand import Turn

BENCH = busy_bench()
BENCH.must(BENCH.read_act(FAINT, "C04"), "40:00")
SCENE = Scene(board=BENCH.board, now=NOW, face=FACE, sounding="id-C03", shelf=SHELF)
OUTCOMES = frozenset({Do.READ, Do.LOOK, Do.CORRECT})
TEXTS = ("C01", "C03", "C04", "c22", "C25", "P-0412", "P-0414", "P-NEW", "L-100", "op-1", "op-2")
ODD = ("", " ", "C03P-0414", "\x1b[A", "x" * 200, "\udce4", "2", "1:30", "2027-12-31", ".save")
IDS = ("id-C03", "id-C09", "id-C22", "id-C25", "gone")


def given_things() -> st.SearchStrategy[Given]:
    """Anything that may come from a person, a scanner or a mouse."""
    options = ("present", "absent", "clear", "yes", "no", "other", "smear", "dropped", "sound", "x")
    questions = ("control", "sars-cov-2", "ready", "person", "reason", "thing", "until", "slip")
    return st.one_of(
        st.builds(Scanned, st.sampled_from((*TEXTS, *ODD)), st.sampled_from(list(How))),
        st.builds(Pressed, st.sampled_from(list(Key)), st.sampled_from(("", "P-0414", "C03"))),
        st.builds(
            Chose, st.sampled_from((*questions, "room", "units", "assay")), st.sampled_from(options)
        ),
        st.builds(PointedAt, st.sampled_from(IDS)),
        st.builds(Faulty, st.just("Scan again.")),
    )


def doings() -> st.SearchStrategy[Doing]:
    """Anything a hand may be in the middle of."""
    plain: st.SearchStrategy[Doing] = st.one_of(
        st.just(Watching()),
        st.builds(Stepping, cartridge=st.sampled_from(IDS), until=st.just("extract")),
        st.just(Labelling(person="P-0412", person_by=How.SCANNED)),
        st.builds(Gathering, persons=st.sampled_from(((), ("P-1",), ("P-1", "P-2")))),
        st.builds(
            Judging,
            purpose=st.sampled_from(list(Purpose)),
            cartridge=st.sampled_from(IDS),
            control=st.sampled_from((None, True, False)),
            cannot_be_read=st.booleans(),
            cursor=st.integers(0, 9),
        ),
        st.builds(Voiding, cartridge=st.sampled_from(IDS), scanned=st.booleans()),
        st.builds(
            TakingBack,
            cartridge=st.sampled_from(IDS),
            step=st.sampled_from(("extract", "apply")),
            reason=st.sampled_from((None, "not-done")),
        ),
        st.builds(Visiting, room=st.sampled_from(list(Room)), cursor=st.integers(0, 9)),
        # A form about somebody says whom from its beginning, and what others are about it leaves open.
        st.builds(
            Filling,
            paper=st.sampled_from(list(Paper)),
            cursor=st.integers(0, 9),
            answers=st.just((("person", "P-0412"), ("how", How.PICKED.value))),
        ),
    )
    return st.one_of(plain, st.builds(Helping, before=plain), st.builds(Leaving, before=plain))


def hands_at_work() -> st.SearchStrategy[Hand]:
    """Anybody in the middle of anything."""
    return st.builds(
        Hand,
        doing=doings(),
        operator=st.sampled_from((None, "op-1")),
        chosen=st.sampled_from((None, *IDS[:-1])),
    )


def asks_for_outcome(turn: Turn) -> bool:
    """Whether the turn asks the bay to take down an outcome that it could take."""
    if turn.ask is None or not isinstance(turn.ask.request, EntryLine):
        return False
    entry = turn.ask.request.entry
    has_bands = entry.control is not None or entry.test or entry.unreadable is not None
    return entry.do in OUTCOMES and bool(has_bands)


@settings(max_examples=300)
@given(hand=hands_at_work(), things=st.lists(given_things(), max_size=8))
def test_whatever_is_given_nothing_fails_and_no_scan_saves_an_outcome(
    hand: Hand, things: list[Given]
) -> None:
    """The four laws of a bench, at once: it works on, it saves nothing by itself, it asks no more."""
    for thing in things:
        hand = tick(hand, SCENE)
        turn = handle(hand, thing, SCENE)
        if isinstance(thing, (Scanned, Chose, PointedAt, Faulty)):
            assert not asks_for_outcome(turn)
            assert not turn.leave
        if turn.hand.chosen is not None:
            assert SCENE.cartridge(turn.hand.chosen) is not None
        asked_now(turn.hand.doing, SCENE)
        hand = turn.hand


@given(hand=hands_at_work(), things=st.lists(given_things(), max_size=6))
def test_esc_leads_back_to_the_board_in_three_presses(hand: Hand, things: list[Given]) -> None:
    """Whoever is lost presses one key until the board is there."""
    for thing in things:
        hand = handle(tick(hand, SCENE), thing, SCENE).hand
    for _ in range(3):
        hand = handle(tick(hand, SCENE), Pressed(Key.BACK), SCENE).hand

    assert hand.doing == Watching()


@given(hand=hands_at_work(), thing=given_things())
def test_an_offer_is_always_of_the_cartridge_that_is_chosen(hand: Hand, thing: Given) -> None:
    """The row in brackets and the panel beside it must speak of one and the same."""
    if isinstance(hand.doing, Stepping):
        hand = replace(hand, chosen=hand.doing.cartridge)
    after = tick(handle(hand, thing, SCENE).hand, SCENE)
    if isinstance(hand.doing, Stepping) and isinstance(after.doing, Stepping):
        assert after.chosen == after.doing.cartridge


@given(seed=st.integers(0, 10_000))
def test_random_keys_over_a_whole_form_save_only_by_the_key_that_saves(seed: int) -> None:
    """Arrows, F6 and scans answer; F5 alone saves, and only what is whole."""
    choice = random.Random(seed)  # noqa: S311  # no secret
    doing = Judging(purpose=Purpose.READ, cartridge="id-C03")
    hand = Hand(doing=doing, operator="op-1", chosen="id-C03", chosen_by=How.SCANNED)
    for _ in range(12):
        key = choice.choice((Key.UP, Key.DOWN, Key.LEFT, Key.RIGHT, Key.SECOND))
        turn = handle(hand, choice.choice((Pressed(key), Scanned("P-0414"))), SCENE)
        assert not asks_for_outcome(turn)
        hand = turn.hand
    turn = handle(hand, Pressed(Key.READ), SCENE)
    whole = all(not each.is_open for each in asked_now(hand.doing, SCENE))
    assert asks_for_outcome(turn) is whole


@pytest.mark.parametrize("text", ["", "  ", "x" * 121, "a\x07b", "\udce4", " C01"])
async def test_what_can_be_nobodys_id_is_taken_for_none(hands: Hands, text: str) -> None:
    """Signs that nobody sees would make two IDs look alike."""
    await hands.press(Key.START)
    await hands.scan(text)

    assert hands.fine is False
    assert hands.in_hand() == Gathering()


async def test_help_covers_a_form_and_loses_nothing_of_it(hands: Hands) -> None:
    """A key pressed on the help saves nothing that nobody sees; a scan goes to the form."""
    await hands.to_window("C01", "P-001")
    await hands.scan("C01")
    await hands.press(Key.UP, Key.DOWN)
    form = hands.in_hand()
    await hands.press(Key.HELP, Key.READ)
    assert hands.in_hand() == form
    await hands.press(Key.HELP)
    await hands.scan("P-001")
    doing = hands.in_hand()
    assert isinstance(doing, Judging)
    assert doing.person == "P-001"
    assert not hands.cartridge("C01").has_ended


async def test_help_has_pages(hands: Hands) -> None:
    """Down and Up turn them, Esc closes."""
    await hands.press(Key.HELP, Key.DOWN, Key.DOWN, Key.UP)
    assert hands.in_hand() == Helping(before=Watching(), page=1)
    await hands.press(Key.LEAVE)
    assert hands.in_hand() == Leaving(before=Watching())


async def test_leaving_gives_back_what_was_in_hand(hands: Hands) -> None:
    """Six people on a list are not lost to a slip of two keys."""
    await hands.press(Key.START)
    await hands.scan("P-101", "P-102")
    await hands.press(Key.LEAVE, Key.BACK)
    assert hands.in_hand() == Gathering(persons=("P-101", "P-102"))
    await hands.press(Key.LEAVE)
    await hands.scan("P-103")
    assert hands.in_hand() == Gathering(persons=("P-101", "P-102", "P-103"))
    await hands.press(Key.LEAVE, Key.LEAVE)
    assert hands.left


async def test_a_badge_changes_who_acts_and_nothing_else(hands: Hands) -> None:
    """Told to scan a badge, nobody loses a turn, a list or a room over it."""
    hands.hand = replace(hands.hand, operator=None)
    await hands.press(Key.START)
    assert "Nobody is signed on" in hands.words
    await hands.scan("op-2")
    await hands.press(Key.START)
    await hands.scan("P-101", "P-102")
    await hands.press(Key.START)
    assert len(hands.work.bay.board.parties) == 1, hands.words

    await hands.scan("P-101", "op-1")
    assert isinstance(hands.in_hand(), Labelling)
    await hands.press(Key.BACK, Key.ROOMS)
    await hands.scan("op-2")
    assert hands.in_hand() == Visiting()
    assert hands.hand.operator == "op-2"


async def test_another_row_chosen_lets_the_offer_go(hands: Hands) -> None:
    """By mouse or by a key that pages."""
    await hands.scan("P-001", "C01", "P-002", "C02", "C01")
    assert isinstance(hands.in_hand(), Stepping)
    await hands.give(PointedAt(hands.cartridge("C02").id))

    assert hands.in_hand() == Watching()
    assert hands.hand.chosen == hands.cartridge("C02").id


async def test_an_offer_ends_with_its_cartridge(hands: Hands) -> None:
    """Another station may have gone on with it meanwhile."""
    await hands.scan("P-001", "C01", "C01")
    hands.hand = replace(hands.hand, doing=Stepping(cartridge="gone", until="x"))
    hands.wait("0:01")
    assert hands.in_hand() == Watching()

    await hands.to_well("C02", "P-002")
    cartridge = hands.cartridge("C02").id
    hands.hand = replace(hands.hand, doing=Stepping(cartridge=cartridge, until="x"))
    hands.wait("0:01")
    assert hands.in_hand() == Watching()


def test_in_order_and_names_are_those_of_the_board() -> None:
    """A scene adds nothing of its own."""
    assert SCENE.in_order()[0].label == "C03"
    assert SCENE.person_of(SCENE.in_order()[0]) == "P-0414"
    assert SCENE.cartridge(None) is None
    assert at("0:00") < SCENE.now
