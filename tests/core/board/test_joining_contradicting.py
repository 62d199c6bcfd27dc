"""One person whom two stations began at once, neither knowing of the other: what contradicts is held."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, at, private
from core.board.review_acts import release, withdraw
from core.board.stations_bench import BENCH, WINDOW, Bay, SharedBay, appended, one
from core.board.twice_bench import ANOTHER, HELD, clock, correct, held, run, to_well
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.joining_up import join_up
from readbell.core.private import Private
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.result import result_of
from readbell.core.results.status import ResultStatus
from readbell.core.review.acts import AmendResult
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import AmendReason, HoldReason

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands


@pytest.mark.parametrize(
    ("here", "there", "is_held"),
    [
        (NEGATIVE, CLEAR, True),
        (FAINT, NEGATIVE, True),
        (NEGATIVE, NEGATIVE, False),
        (CLEAR, FAINT, False),
        (NO_CONTROL, CLEAR, False),
    ],
)
def test_one_person_read_positive_here_and_negative_there_is_told_neither(
    here: Bands, there: Bands, is_held: bool
) -> None:
    """Both stand, for both were read by the rules; which is right a supervisor says."""
    sides = SharedBay().cut()
    run(sides.ours, "A-01", here, 3)
    run(sides.theirs, "B-01", there, 5)

    found = sides.join()

    assert not found.apart
    assert [one(found, each).held for each in ("A-01", "B-01")] == [HELD if is_held else ()] * 2
    if is_held:
        assert [(each.cartridge, each.by) for each in found.follow] == [  # type: ignore[union-attr]
            ("id-A-01", None),
            ("id-B-01", None),
        ]
        for label in ("A-01", "B-01"):
            assert result_of(one(found, label)).status is ResultStatus.HELD


@pytest.mark.parametrize(("begun", "is_held"), [(22, True), (23, False), (24, False)])
def test_who_came_again_when_the_first_was_read_there_is_held_against_nothing(
    begun: int, is_held: bool
) -> None:
    """It was another occasion; the first was read 23 minutes after the start."""
    sides = SharedBay().cut()
    run(sides.theirs, "B-01", CLEAR, 5)
    run(sides.ours, "A-01", NEGATIVE, begun)

    found = sides.join("50:00")

    assert [ANOTHER in one(found, each).held for each in ("A-01", "B-01")] == [is_held] * 2


def test_two_that_both_stations_knew_and_each_read_alone_are_held() -> None:
    """They were begun before the link was lost, the second one against the warning."""
    bay = SharedBay()
    bay.developing("C1", "P-001", WINDOW)
    bay.developing("C2", "P-001", BENCH)
    sides = bay.cut()
    sides.ours.must(sides.ours.read_act(NEGATIVE, "C1"), "18:00")
    sides.theirs.must(sides.theirs.read_act(CLEAR, "C2"), "18:00")

    found = sides.join()

    assert one(found, "C1").held == one(found, "C2").held == HELD


def test_one_that_still_runs_there_is_held_once_it_is_read_at_whichever_station() -> None:
    """And with it the one that was read alone, told or not."""
    sides = SharedBay().cut()
    run(sides.ours, "A-01", NEGATIVE, 3)
    to_well(sides.theirs, "B-01", 10)
    after = Bay(sides.join("22:00").board)
    assert held(after, "A-01", "B-01") == [False, False]
    after.tell("A-01", now="22:30")

    after.must(after.read_act(CLEAR, "B-01"), "28:00")

    assert held(after, "A-01", "B-01") == [True, True]
    assert after.result("A-01").status is ResultStatus.HELD


def test_a_positive_seen_early_there_holds_both() -> None:
    """It may have been told as one."""
    sides = SharedBay().cut()
    run(sides.ours, "A-01", NEGATIVE, 3)
    to_well(sides.theirs, "B-01", 10)
    sides.theirs.must(sides.theirs.look_act(FAINT, "B-01"), "16:00")

    found = sides.join("22:00")

    assert one(found, "A-01").held == one(found, "B-01").held == HELD


def test_a_person_who_was_entered_on_both_sides_is_one_person_here_too() -> None:
    """Whatever key each side had for them."""
    sides = SharedBay().cut()
    for side, key in ((sides.ours, "key-here"), (sides.theirs, "key-there")):
        person = Private(key=key, salt="s", value="P-009")
        side.must(RegisterPerson(by="op-1", person=person), "3:00")
    run(sides.ours, "A-01", NEGATIVE, 3, "P-009")
    run(sides.theirs, "B-01", CLEAR, 5, "P-009")

    found = sides.join()

    assert one(found, "A-01").held == one(found, "B-01").held == HELD


def test_what_was_corrected_here_and_read_there_is_held() -> None:
    """What counts is what it came to."""
    bay = SharedBay()
    bay.developing("C1", "P-001", WINDOW)
    bay.developing("C2", "P-001", BENCH)
    bay.must(bay.read_act(NEGATIVE, "C1"), "17:40")
    sides = bay.cut()
    sides.theirs.must(sides.theirs.read_act(NEGATIVE, "C2"), "18:00")
    sides.ours.must(correct(sides.ours, CLEAR, "C1"), "18:00")

    found = sides.join()

    assert one(found, "C1").held == one(found, "C2").held == HELD


def test_what_was_amended_there_is_held_against_what_was_read_here() -> None:
    """Nobody here could know what a supervisor has said of it since."""
    bay = SharedBay()
    bay.developing("C1", "P-001", WINDOW)
    bay.developing("C2", "P-001", BENCH)
    bay.must(bay.read_act(NEGATIVE, "C2"), "17:40")
    sides = bay.cut()
    anew = AmendResult(
        by="op-2",
        cartridge="C2",
        bands=CLEAR,
        reason=AmendReason.WRONGLY_SEEN,
        words=private("overlooked"),
    )
    sides.theirs.must(anew, "19:00")
    sides.ours.must(sides.ours.read_act(NEGATIVE, "C1"), "18:00")

    found = sides.join()

    assert one(found, "C1").held == one(found, "C2").held == HELD


def test_what_one_side_alone_could_see_it_has_held_and_nothing_is_held_twice() -> None:
    """Both devices were begun there, by the same hands, against the warning."""
    sides = SharedBay().cut()
    run(sides.ours, "A-01", NEGATIVE, 3)
    run(sides.ours, "A-02", CLEAR, 4)
    run(sides.theirs, "B-01", NEGATIVE, 60)

    found = sides.join("1:40:00")

    assert one(found, "A-01").held == one(found, "A-02").held == HELD
    assert not found.follow
    assert not one(found, "B-01").held


def test_what_a_supervisor_decided_there_before_the_link_was_back_is_asked_once_more() -> None:
    """They let it stand for what they knew, and knew of no other; what was taken back stays so."""
    for act in (release, withdraw):
        sides = SharedBay().cut()
        run(sides.ours, "A-01", NEGATIVE, 3)
        run(sides.theirs, "B-01", CLEAR, 5)
        warm = (HoldReason.TEMPERATURE,)
        sides.theirs.record(ReadingHeld(at=at("23:30"), by=None, cartridge="id-B-01", reasons=warm))
        sides.theirs.must_anyway(act(label="B-01"), "24:00")

        found = sides.join()

        is_held = act is release
        assert [ANOTHER in one(found, each).held for each in ("A-01", "B-01")] == [is_held] * 2


def test_once_released_neither_joining_up_again_nor_another_reading_brings_it_back() -> None:
    """A supervisor has decided between these two."""
    bay = SharedBay()
    sides = bay.cut()
    run(sides.ours, "A-01", NEGATIVE, 3)
    run(sides.theirs, "B-01", CLEAR, 5)
    found = sides.join()
    after = Bay(found.board)
    released = [
        each for label in ("A-01", "B-01") for each in after.must(release(label=label), clock(45))
    ]
    record = [*sides.theirs.events, *appended(found), *released]

    again = join_up(sides.base, record, sides.ours.events, WINDOW, at("50:00"))

    assert not again.follow
    assert [one(again, each).held for each in ("A-01", "B-01")] == [(), ()]


def test_of_one_that_a_second_reader_has_still_to_read_nothing_is_said() -> None:
    """What the two come to is held then, with the other."""
    bay = SharedBay()
    bay.asks_second()
    sides = bay.cut()
    for by in ("op-1", "op-2"):
        if by == "op-1":
            to_well(sides.ours, "A-01", 3)
        sides.ours.must(sides.ours.read_act(NEGATIVE, "A-01", by=by), "21:00")
    to_well(sides.theirs, "B-01", 9)
    sides.theirs.must(sides.theirs.look_act(CLEAR, "B-01"), "16:00")
    sides.theirs.must(sides.theirs.read_act(CLEAR, "B-01"), "27:00")
    found = sides.join("28:00")
    assert [one(found, each).held for each in ("A-01", "B-01")] == [(), ()]

    after = Bay(found.board)
    after.must(after.read_act(CLEAR, "B-01", by="op-2"), "29:00")

    assert after.cartridge("B-01").outcome is Outcome.POSITIVE
    assert held(after, "A-01", "B-01") == [True, True]
