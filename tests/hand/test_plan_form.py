"""A batch plan is made and loaded by keys, and dropped by one of its own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, THREE_LINES, Bench, at
from readbell.core.board.board import Board
from readbell.core.instant import Span
from readbell.core.plan.batch.job import Fault, FaultKind
from readbell.core.starts.events import PlannedStart
from readbell.hand import plan_form
from readbell.hand.doing import Filling, Paper, Room, Visiting
from readbell.hand.given import Key
from readbell.phrases.plan_guide import say_no_plan
from ui.test_plan_room import ahead

if TYPE_CHECKING:
    from hand.conftest import Hands

PROPOSED = (("operators", "1"), ("slack", "0"), ("breaks", "none"))


async def at_room(hands: Hands) -> None:
    """Go there by keys."""
    await hands.press(Key.ROOMS)
    await hands.choose("room", Room.PLAN)


async def test_a_plan_is_made_and_loaded_with_one_answer(hands: Hands) -> None:
    """The rest of the form stands there already; how many people is asked where nobody waits."""
    await at_room(hands)
    await hands.press(Key.START)
    assert hands.in_hand() == Filling(paper=Paper.PLAN, answers=PROPOSED)
    await hands.press(Key.START)
    assert hands.fine is False
    assert "How many people" in hands.words

    await hands.type("2")
    await hands.press(Key.START)
    plan = hands.work.bay.board.plan
    assert plan is not None, hands.words
    assert plan.loaded.starts[0] == PlannedStart(after=Span(0), operator=1)
    assert (len(plan.loaded.starts), plan.begun) == (2, 0)
    assert hands.words.startswith("A plan for 2 people is loaded")
    assert hands.in_hand() == Visiting(room=Room.PLAN)


async def test_those_who_wait_in_parties_are_proposed(hands: Hands) -> None:
    """Whoever makes the plan may still say otherwise."""
    await hands.press(Key.START)
    await hands.scan("Q-1", "Q-2", "Q-3")
    await hands.press(Key.START)
    await at_room(hands)
    await hands.press(Key.START)

    assert hands.in_hand() == Filling(paper=Paper.PLAN, answers=(*PROPOSED, ("people", "3")))
    await hands.type("12")
    await hands.press(Key.RIGHT)
    await hands.type("2")
    await hands.press(Key.START)
    plan = hands.work.bay.board.plan
    assert plan is not None, hands.words
    assert len(plan.loaded.starts) == 12
    assert {each.operator for each in plan.loaded.starts} == {1, 2}


async def test_the_plan_is_dropped_by_a_key_of_its_own(hands: Hands) -> None:
    """Where none is loaded that is said."""
    await at_room(hands)
    await hands.press(Key.SECOND)
    assert hands.words == "No plan is loaded, so there is none to drop."
    await hands.press(Key.START)
    await hands.type("2")
    await hands.press(Key.START, Key.SECOND)

    assert hands.work.bay.board.plan is None
    assert hands.words == "The plan is dropped."
    await hands.press(Key.DONE)
    assert hands.words == plan_form.NOTHING_HERE


async def test_nobody_who_acts_loads_or_drops_nothing(hands: Hands) -> None:
    """A plan is somebody's act."""
    hands.hand = replace(hands.hand, operator=None)
    await at_room(hands)
    await hands.press(Key.SECOND)
    assert "Nobody is signed on" in hands.words
    await hands.press(Key.START)
    await hands.type("2")
    await hands.press(Key.START)

    assert "Nobody is signed on" in hands.words
    assert hands.work.bay.board.plan is None


@pytest.mark.parametrize(
    ("key", "typed"),
    [
        ("people", "0"),
        ("people", "501"),
        ("operators", "21"),
        ("slack", "-1"),
        ("slack", "3601"),
    ],
)
def test_what_is_out_of_range_is_one_sentence(key: str, typed: str) -> None:
    """With what may be typed instead."""
    said = plan_form.fault_of(key, typed)

    assert said is not None
    assert typed in said
    assert "Type a whole number from" in said
    assert plan_form.fault_of(key, "1") is None


async def test_breaks_are_typed_and_loaded(hands: Hands) -> None:
    """Several with blanks between them."""
    await at_room(hands)
    await hands.press(Key.START)
    await hands.type("6")
    await hands.press(Key.RIGHT, Key.RIGHT, Key.RIGHT)
    await hands.type("1:30:00-lunch")
    assert hands.fine is False
    assert '"1:30:00-lunch" will not do. Type operator:from-to' in hands.words
    await hands.type("1:30:00-35:00 1:40:00-41:00")
    await hands.press(Key.START)

    assert hands.words.startswith("A plan for 6 people is loaded, with 2 breaks")
    plan = hands.work.bay.board.plan
    assert plan is not None
    assert [(each.operator, each.since) for each in plan.loaded.breaks] == [
        (1, Span(1_800_000)),
        (1, Span(2_400_000)),
    ]


@pytest.mark.parametrize(
    ("breaks", "said"),
    [
        ("2:30:00-40:00", "A break is for operator 2, and the plan has 1"),
        ("1:30:00-40:00 1:39:00-41:00", "Two breaks of operator 1 overlap: make them one."),
    ],
)
def test_breaks_that_do_not_fit_the_plan_are_one_sentence(breaks: str, said: str) -> None:
    """What was typed line by line may not go together."""
    scene = ahead(Bench().board, at("0:00")).scene
    answers = {"people": "6", "operators": "1", "slack": "0", "breaks": breaks}

    assert said in (plan_form.fault_of_plan(answers, scene) or "")


async def test_too_much_slack_loads_nothing_and_keeps_the_form(hands: Hands) -> None:
    """The sentence says how much there is."""
    await at_room(hands)
    await hands.press(Key.START)
    await hands.type("2")
    await hands.press(Key.RIGHT, Key.RIGHT)
    await hands.type("400")
    await hands.press(Key.START)

    assert hands.words.startswith("The read window has 2")
    assert isinstance(hands.in_hand(), Filling)
    assert hands.work.bay.board.plan is None


def test_without_an_assay_nothing_is_planned() -> None:
    """There is no work to plan."""
    scene = ahead(Board(), at("0:00")).scene
    hand = ahead(Board(), at("0:00")).hand
    turn = plan_form.in_plan(hand, Key.START, scene)

    assert turn.hand.said is not None
    assert turn.hand.said.words == plan_form.NO_ASSAY
    assert plan_form.fault_of_plan({}, scene) == plan_form.NO_ASSAY


def test_the_gloves_of_the_site_are_those_of_the_plan() -> None:
    """As in the next safe start: `ahead` takes none, and 20 s is the assay's own."""
    bench = Bench()
    said = {"people": "6", "operators": "1", "slack": "0", "breaks": "none"}
    without = ahead(bench.board, at("0:00")).scene
    with_own = replace(without, outlook=None)

    assert (
        plan_form.line_of(said, "op-1", without).ends
        < plan_form.line_of(said, "op-1", with_own).ends
    )


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        (FaultKind.TOO_MUCH_SLACK, "keep no more"),
        (FaultKind.NO_LIMIT, "keep 0 seconds"),
        (FaultKind.NO_TIME_FOR_GLOVES, "two operators"),
        (FaultKind.IMPOSSIBLE, "nobody can be planned"),
    ],
)
def test_why_a_form_makes_no_plan_names_no_option_of_a_command(kind: FaultKind, said: str) -> None:
    """Whoever stands at the board has none."""
    for assay in (NASAL, THREE_LINES):
        words = say_no_plan(Fault(kind=kind, room=Span(285_000)), assay.title)
        assert said in words
        assert "--" not in words
