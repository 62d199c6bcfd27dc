"""A repeat is owed while nothing else of the visit runs or gave a result that stands, and not else.

Whoever is called for another swab that is not owed is troubled for nothing; whoever is not called
goes home without a result. Nothing but another test takes somebody from that list.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, NEGATIVE, NO_CONTROL, SMEAR, THREE_LINES, at, erased
from core.board.paper_bench import run
from core.board.review_acts import amend, hold, release, withdraw
from core.board.stations_bench import SharedBay
from core.board.telling_bench import TellingBench
from readbell.core.board.fold import fold, replay
from readbell.core.board.owing import spares
from readbell.core.board.to_repeat import to_repeat
from readbell.core.board.worklist import worklist
from readbell.core.cartridge.events import VoidReason
from readbell.core.cartridge.looks import lapse
from readbell.core.results.to_tell import Urgency

if TYPE_CHECKING:
    from core.board.stations_bench import Side
    from readbell.core.board.board import Board


def owed(board: Board) -> list[str]:
    """The labels of the cartridges that are owed a repeat."""
    return [each.label for each in to_repeat(board)]


def to_hear_of_a_repeat(made: TellingBench) -> list[str]:
    """The labels of those of which the person has yet to hear that the test is to be repeated."""
    found = worklist(made.board, at("9:00:00")).waiting
    return [each.result.label for each in found if each.urgency is Urgency.REPEAT]


def two_at_once() -> TellingBench:
    """C1 and C2 of one person develop side by side, and no window is open yet."""
    made = TellingBench()
    made.to_well("C1")
    made.to_well("C2")
    return made


def void(made: TellingBench, label: str, now: str, reason: VoidReason = VoidReason.OTHER) -> None:
    """Give a cartridge up."""
    made.must(replace(made.void_act(label), reason=reason), now)


@pytest.mark.parametrize(("lost", "kept"), [("C1", "C2"), ("C2", "C1")])
def test_while_another_one_of_the_person_runs_none_is_owed(lost: str, kept: str) -> None:
    """Whichever of the two was begun first: its answer may yet come, and then none ever is."""
    made = two_at_once()
    void(made, lost, "5:00")
    assert owed(made.board) == []

    made.must(made.read_act(NEGATIVE, kept), "18:00")
    assert owed(made.board) == []
    assert not made.board.owed


@pytest.mark.parametrize("lost", ["C1", "C2"])
@pytest.mark.parametrize("how", ["invalid", "lapsed", "void"])
def test_once_the_other_one_fails_too_a_repeat_is_owed_for_that(lost: str, how: str) -> None:
    """One, for what failed last: that is news, and its person has yet to hear of it."""
    made = two_at_once()
    kept = "C2" if lost == "C1" else "C1"
    void(made, lost, "5:00")
    if how == "lapsed":
        made.lapse(kept)
    elif how == "void":
        void(made, kept, "6:00")
    else:
        made.must(made.read_act(NO_CONTROL, kept), "18:00")

    assert owed(made.board) == [kept]
    assert to_hear_of_a_repeat(made) == ([] if how == "void" else [kept])


def test_a_result_of_the_same_visit_leaves_nothing_owed_for_what_was_begun_after_it() -> None:
    """It was begun by mistake; the result stands all the same."""
    made = TellingBench()
    made.read(NEGATIVE)
    made.label("C2", now="30:00")
    void(made, "C2", "31:00")

    assert owed(made.board) == []


def test_once_that_result_is_taken_back_a_repeat_is_owed_for_it() -> None:
    """Nothing of the visit counts any more."""
    made = TellingBench()
    made.read(NEGATIVE)
    made.label("C2", now="30:00")
    void(made, "C2", "31:00")
    made.must(withdraw(), "40:00")

    assert owed(made.board) == ["C1"]
    assert to_hear_of_a_repeat(made) == ["C1"]


def test_what_is_amended_to_invalid_is_owed_and_what_is_amended_to_a_result_spares_the_other() -> (
    None
):
    """Both ways, and back: the board goes by what stands."""
    made = two_at_once()
    void(made, "C2", "5:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    made.must(amend(SMEAR), "30:00")
    assert owed(made.board) == ["C1"]

    made.must(amend(CLEAR), "31:00")
    assert owed(made.board) == []


def test_a_result_that_is_held_owes_nothing_until_a_supervisor_takes_it_back() -> None:
    """The strip has its answer: who swabs again before it is decided does so for nothing."""
    made = two_at_once()
    hold(made, "4:00")
    void(made, "C2", "5:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    assert made.cartridge().held
    assert owed(made.board) == []

    before = made.board
    made.must(release(), "30:00")
    assert owed(made.board) == []
    made.board = before
    made.must(withdraw(), "30:00")
    assert owed(made.board) == ["C1"]


def test_an_invalid_one_that_is_held_owes_a_repeat_as_any() -> None:
    """No release makes a result of it."""
    made = TellingBench()
    made.to_well()
    hold(made, "4:00")
    made.must(made.read_act(NO_CONTROL), "18:00")

    assert owed(made.board) == ["C1"]


@pytest.mark.parametrize("reason", [VoidReason.DECLINED, VoidReason.LEFT])
def test_who_declines_after_all_else_failed_is_owed_nothing_and_what_fails_later_is_owed(
    reason: VoidReason,
) -> None:
    """They declined one swab more; of the strip that ran on nobody had told them anything."""
    made = two_at_once()
    void(made, "C1", "5:00")
    void(made, "C2", "6:00", reason)
    assert owed(made.board) == []

    other = two_at_once()
    void(other, "C2", "6:00", reason)
    other.lapse("C1")
    assert owed(other.board) == ["C1"]


def test_another_persons_and_another_assays_spare_nobody() -> None:
    """They answer another question."""
    made = TellingBench()
    made.adopt(THREE_LINES)
    made.receive("L-3", THREE_LINES)
    made.to_well("C2", "P-002")
    made.must(made.label_act("C3", lot="L-3"))
    made.to_well("C1")
    void(made, "C1", "5:00")

    assert owed(made.board) == ["C1"]


def test_what_is_run_by_another_assay_in_between_parts_no_visit() -> None:
    """The first one gave its result, whatever else they were tested for."""
    made = TellingBench()
    made.read(NEGATIVE)
    made.adopt(THREE_LINES)
    made.receive("L-3", THREE_LINES)
    made.must(made.label_act("C2", lot="L-3"), "20:00")
    made.label("C3", now="30:00")
    void(made, "C3", "31:00")

    assert owed(made.board) == []


@pytest.mark.parametrize(("begun", "expected"), [("3:59:59.999", []), ("4:00:00", ["C2"])])
def test_a_result_of_another_visit_spares_nobody(begun: str, expected: list[str]) -> None:
    """Whoever is tested each day is owed each day's result."""
    made = TellingBench()
    made.read(NEGATIVE)
    made.label("C2", now=begun)
    void(made, "C2", "4:01:00")

    assert owed(made.board) == expected


def test_what_a_start_was_warned_of_as_the_second_of_a_day_is_of_that_visit() -> None:
    """The site's day is known to whoever began it, and on record with the start."""
    made = TellingBench()
    made.read(NEGATIVE)
    again = replace(made.label_act("C2"), day_began=at("0:00"))
    made.must(again, "9:00:00")
    void(made, "C2", "9:01:00")
    assert owed(made.board) == []

    other = TellingBench()
    other.read(NEGATIVE)
    other.must(replace(again, day_began=at("8:00:00")), "9:00:00")
    void(other, "C2", "9:01:00")
    assert owed(other.board) == ["C2"]


def test_a_visit_that_is_over_is_owed_nothing_more() -> None:
    """They were tested since; what is taken back of last time is told, and not swabbed for."""
    made = TellingBench()
    made.read(NEGATIVE)
    made.label("C2", now="9:00:00")
    made.must(withdraw(), "9:01:00")
    assert owed(made.board) == []

    void(made, "C2", "9:02:00")
    assert owed(made.board) == ["C2"]


def test_a_run_on_paper_with_a_result_spares_a_repeat_until_it_is_taken_back() -> None:
    """It was done by hand while the strip lapsed; a run that failed spares nobody."""
    made = TellingBench()
    made.to_well()
    made.lapse()
    made.must(run(seen=NO_CONTROL), "60:00")
    assert owed(made.board) == ["C1"]

    made.must(replace(run(), label="C32", new_id="paper-2"), "61:00")
    assert owed(made.board) == []
    assert spares(made.board, made.cartridge()) == made.board.paper_runs["paper-2"]
    made.must(withdraw(label="paper-2"), "62:00")
    assert owed(made.board) == ["C1"]
    assert "C1" in to_hear_of_a_repeat(made)


def test_a_run_on_paper_of_another_assay_or_of_long_before_spares_nobody() -> None:
    """It is no result of this visit."""
    for begun, expected in (("3:59:59.999", []), ("4:00:00", ["C1"])):
        made = TellingBench()
        made.must(run(), "60:00")
        made.label("C1", now=begun)
        void(made, "C1", "9:01:00")
        assert owed(made.board) == expected

    other = TellingBench()
    other.adopt(THREE_LINES)
    other.receive("L-3", THREE_LINES)
    other.must(run(), "60:00")
    other.must(other.label_act("C1", lot="L-3"), "61:00")
    void(other, "C1", "62:00")
    assert owed(other.board) == ["C1"]


def test_who_was_erased_is_owed_nothing_whatever_is_said_of_their_strips_since() -> None:
    """Nobody can be asked to come again whom nobody knows any more."""
    made = TellingBench()
    made.read(NEGATIVE)
    made.board = fold(made.board, erased("P-001"))
    made.must(withdraw(), "30:00")

    assert owed(made.board) == []


ENDS = ("runs", "negative", "invalid", "void", "declined", "lapsed")


def ended(side: Side, label: str, how: str) -> None:
    """Let a cartridge that a station began come to an end there."""
    match how:
        case "negative":
            side.must(side.read_act(NEGATIVE, label), "18:00")
        case "invalid":
            side.must(side.read_act(NO_CONTROL, label), "19:00")
        case "void":
            side.must(side.void_act(label), "12:00")
        case "declined":
            side.must(replace(side.void_act(label), reason=VoidReason.DECLINED), "13:00")
        case "lapsed":
            cartridge = side.cartridge(label)
            side.record(lapse(cartridge, at("22:30")))
        case _:
            pass


@pytest.mark.parametrize("first", ENDS)
@pytest.mark.parametrize("last", ENDS)
def test_it_does_not_matter_which_station_is_heard_of_first(first: str, last: str) -> None:
    """Both began one for the same person, alone, and joined up; the same things happened."""
    bay = SharedBay()
    sides = bay.cut()
    for side, label, how in ((sides.ours, "A-01", first), (sides.theirs, "C1", last)):
        side.to_well(label)
        ended(side, label, how)
    ours, theirs = sides.ours.events, sides.theirs.events
    boards = [replay((*one, *other), bay.board) for one, other in permutations((ours, theirs))]

    failed = {"void": 1, "declined": 2, "invalid": 3, "lapsed": 4}
    spared = not {first, last}.isdisjoint(("runs", "negative"))
    latest = max((failed.get(last, 0), "C1", last), (failed.get(first, 0), "A-01", first))
    expected = [] if spared or latest[2] == "declined" else [latest[1]]
    assert [owed(each) for each in boards] == [expected, expected]
    hear = [
        [
            each.result.label
            for each in worklist(board, at("60:00")).waiting
            if each.urgency is Urgency.REPEAT
        ]
        for board in boards
    ]
    told = expected if latest[2] in ("invalid", "lapsed") else []
    assert hear == [told, told]


def test_what_spares_a_repeat_is_named() -> None:
    """Whoever gives a strip up is told of the other one, and not to take a fresh one."""
    made = two_at_once()
    assert spares(made.board, made.cartridge("C2")) is None
    void(made, "C2", "5:00")
    assert spares(made.board, made.cartridge("C2")) == made.cartridge("C1")

    made.lapse("C1")
    assert spares(made.board, made.cartridge("C2")) is None
    made.label("C3", now="9:00:00")
    assert spares(made.board, made.cartridge("C1")) is None
