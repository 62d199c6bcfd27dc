"""What the hand says of the next safe start: beforehand, in one line, and never as a refusal."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING

from builders import NASAL, THREE_LINES, TODAY, Bench, at
from readbell.bay.outlook import Outlook, to_be_begun
from readbell.core.board.acts import OpenLot
from readbell.core.board.board import Board
from readbell.core.cartridge.events import How
from readbell.core.instant import Span
from readbell.hand.aloud import HELP, plan_aloud, said_aloud
from readbell.hand.doing import Labelling, Room, Visiting, Watching
from readbell.hand.given import Key, Pressed
from readbell.hand.hand import Hand
from readbell.hand.handle import handle
from readbell.hand.labelling import turn_of
from readbell.hand.scene import Scene
from readbell.phrases.clock_time import ClockFace

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.plan.answer import Answer

FACE = ClockFace(zone=UTC)


def scene(bench: Bench, now: str, *, ahead: bool = True) -> Scene:
    """Return what the hand sees, a box open."""
    boxes = {bench.board.assays[bench.board.lots["L-100"].assay].assay.id: "L-100"}
    board = replace(bench.board, open_lot="L-100", open_boxes=boxes)
    outlook = Outlook(1, Span(0)).at(board, at(now)) if ahead else None
    return Scene(board=board, now=at(now), face=FACE, outlook=outlook)


def turn(bench: Bench, now: str, *, ahead: bool = True) -> Hand:
    """Return the hand once P-002 was scanned to be begun."""
    hand = Hand(doing=Watching(), operator="op-1")
    return turn_of(hand, "P-002", How.SCANNED, scene(bench, now, ahead=ahead))


def developing() -> Bench:
    """Return a bench on which the window of C1 closes at 22:30."""
    bench = Bench()
    bench.to_well(applied="2:30")
    return bench


def test_a_start_against_the_advice_is_told_before_the_pouch_is_opened() -> None:
    """And goes on all the same: people may have their reasons."""
    hand = turn(developing(), "21:30")

    assert hand.said is not None
    assert hand.said.words.startswith(
        "At risk if somebody were begun now: C1's reading. Open one pouch"
    )
    assert hand.said.fine is None
    assert isinstance(hand.doing, Labelling)


def test_a_safe_start_is_told_nothing() -> None:
    """Nor is one on a board that does not work it out."""
    for hand in (turn(developing(), "5:00"), turn(developing(), "21:30", ahead=False)):
        assert hand.said is not None
        assert hand.said.words.startswith("Open one pouch")


def test_where_two_assays_are_run_the_pouch_is_named_by_what_it_tests_for() -> None:
    """One bench, two kits: whoever takes the other one gives a person the answer to another question."""
    bench = developing()
    bench.adopt(THREE_LINES)
    hand = turn(bench, "5:00")

    assert hand.said is not None
    assert hand.said.words.startswith(f"Open one pouch of lot L-100, {NASAL.title}. Scan")


def test_what_a_start_puts_at_risk_is_worked_out_for_the_kit_of_its_box() -> None:
    """Each kit has its own hands-on times; where it is the one in front nothing is worked out anew."""
    bench = developing()
    bench.adopt(THREE_LINES)
    bench.receive("L-300", THREE_LINES)
    seen: list[Assay | None] = []
    boards: list[Board] = []

    def ahead(board: Board) -> Answer | None:
        seen.append(to_be_begun(board))
        boards.append(board)
        return Outlook(1, Span(0)).at(board, at("21:30"))

    for lot in ("L-100", "L-300"):
        bench.must(OpenLot(by="op-1", lot=lot, today=TODAY))
    there = replace(scene(bench, "21:30"), board=bench.board, look_ahead=ahead)
    hand = turn_of(Hand(doing=Watching(), operator="op-1"), "P-002", How.SCANNED, there)
    other = handle(hand, Pressed(Key.LOOK), there).hand

    assert seen == [THREE_LINES, NASAL]
    assert boards[0] is bench.board
    assert other.said is not None
    assert other.said.words.startswith("At risk if somebody were begun now: C1's reading. Open one")


def test_plain_lines_have_the_plan_by_a_word_and_in_its_room() -> None:
    """Whoever cannot see the board hears the same."""
    seen = scene(developing(), "21:30")
    lines = list(plan_aloud(seen))

    assert lines[0] == "Next safe start: in 0:20, C1 must be read first (guaranteed)."
    hand = Hand(doing=Visiting(room=Room.PLAN))
    assert list(said_aloud(hand, seen)) == [
        "Room: plan. .start makes a plan, .drop drops it, .rooms for the board.",
        *lines,
    ]
    assert any(".plan" in each for each in HELP)


def test_without_an_assay_that_is_said() -> None:
    """There is nothing to begin anybody with."""
    nobody = Scene(board=Board(), now=at("0:00"), face=FACE)

    assert list(plan_aloud(nobody)) == ["Next safe start: no assay is adopted yet."]


def test_in_the_room_of_the_plan_no_key_touches_what_runs() -> None:
    """F2 and F6 are about the plan alone; Esc leads back."""
    seen = scene(developing(), "5:00")
    hand = Hand(doing=Visiting(room=Room.PLAN), operator="op-1")

    for key in (Key.DONE, Key.VOID, Key.READ):
        found = handle(hand, Pressed(key), seen)
        assert found.ask is None
        assert found.hand.doing == hand.doing
    back = handle(hand, Pressed(Key.BACK), seen)
    assert back.hand.doing == Watching()
