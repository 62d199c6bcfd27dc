"""Events that were done alone come late into the record: whoever relies on its order still finds all.

The clocks of stations may also differ by some milliseconds.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import CLEAR, NASAL, NEGATIVE, NO_CONTROL, START, TODAY, at
from core.board.paper_bench import entered, run
from core.board.stations_bench import BENCH, WINDOW, SharedBay, appended
from readbell.core.board.board import Board
from readbell.core.board.events import ClockJumped
from readbell.core.board.fold import replay
from readbell.core.board.joining_up import join_up
from readbell.core.board.mixed_up import PersonMixedUp
from readbell.core.board.paper_runs import is_on_paper, runs_with_lot
from readbell.core.board.patients_today import patients_today
from readbell.core.board.reconcile import reconcile
from readbell.core.board.repeats import gets_no_repeat
from readbell.core.board.results import visit_results
from readbell.core.board.review import OwnReview, own_reviews
from readbell.core.board.staff import results_seen
from readbell.core.board.subjects import is_behind, labelled_since
from readbell.core.board.to_repeat import to_repeat
from readbell.core.board.wall_time import wall_of
from readbell.core.instant import HOUR, Instant, Span, later
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import UNDECIDED
from readbell.core.stations.events import JoinedUp, StationJoined
from readbell.core.stock.acts import RecallLot, ReceiveBox

if TYPE_CHECKING:
    from core.board.stations_bench import Side
    from readbell.core.reading.bands import Bands


def joined_bay() -> SharedBay:
    """C1 was labelled at the bench at 20:00, A-01 at the window, alone, at 5:00, and came later."""
    bay = SharedBay()
    sides = bay.cut()
    sides.ours.must(sides.ours.label_act("A-01", "P-001"), "5:00")
    sides.theirs.must(sides.theirs.label_act("C1", "P-002"), "20:00")
    bay.put(*sides.theirs.events, *appended(sides.join()))
    return bay


def labels(bay: SharedBay, since: str) -> list[str]:
    """Return what was labelled since then, the newest first."""
    return [each.label for each in labelled_since(bay.board, at(since))]


def test_what_was_labelled_alone_hides_nothing_that_others_labelled_after_it() -> None:
    """It stands behind them in the record, and was before them."""
    bay = joined_bay()

    assert [*bay.board.order.values()] == ["C1", "A-01"]
    assert labels(bay, "10:00") == ["C1"]
    assert labels(bay, "5:00") == ["A-01", "C1"]
    assert labels(bay, "20:00.001") == []


def test_a_recall_names_everybody_though_somebody_was_begun_alone_before_the_lot_came_in() -> None:
    """What lies before the delivery stops nobody's search."""
    bay = SharedBay()
    sides = bay.cut()
    sides.ours.must(sides.ours.label_act("A-01", "P-001"), "5:00")
    box = ReceiveBox(by="op-1", number="L-200", assay=NASAL.id, expires=TODAY, today=TODAY, units=9)
    sides.theirs.must(box, "10:00")
    sides.theirs.must(sides.theirs.label_act("C1", "P-002", lot="L-200"), "20:00")
    bay.put(*sides.theirs.events, *appended(sides.join()))

    (recall, *_) = bay.must(RecallLot(by="op-1", lot="L-200", words=None), "41:00")

    assert recall.cartridges == ("id-C1",)  # type: ignore[union-attr]


def test_the_figures_of_a_shift_count_what_was_done_in_it_and_nothing_else() -> None:
    """By the instants at which it was done."""
    bay = joined_bay()

    (lot,) = reconcile(bay.board, at("10:00"))
    assert lot.used == 1
    (lot,) = reconcile(bay.board, at("4:00"))
    assert lot.used == 2


@settings(max_examples=200, deadline=None)
@given(
    alone=st.integers(0, 60),
    late=st.lists(st.tuples(st.integers(0, 100), st.integers(0, 60)), max_size=20),
    since=st.integers(0, 200),
)
def test_whoever_walks_back_stops_at_nothing_behind_which_something_newer_may_lie(
    alone: int, late: list[tuple[int, int]], since: int
) -> None:
    """What came late came no later than a station was alone, give or take a minute."""
    board = replay(
        [
            StationJoined(at=START, station=WINDOW, mark="A"),
            JoinedUp(
                at=later(START, Span(alone * 60_000)),
                station=WINDOW,
                since=START,
                joined=0,
                same=0,
                apart=0,
            ),
        ]
    )
    recorded, now = [], 0
    for on, back in late:
        now += on
        recorded.append(Instant((now - min(back, alone)) * 60_000))
    wanted = Instant(since * 60_000)

    found = []
    for each in reversed(recorded):
        if is_behind(board, each, wanted):
            break
        found.append(each)

    assert [each for each in found if each >= wanted] == [
        each for each in reversed(recorded) if each >= wanted
    ]


def test_in_a_bay_that_nobody_shares_nothing_is_looked_at_twice() -> None:
    """There an instant behind another one ends the search at once, as ever."""
    assert is_behind(Board(), at("9:59.999"), at("10:00"))
    assert not is_behind(Board(), at("10:00"), at("10:00"))


def test_results_read_alone_hide_none_that_was_read_elsewhere() -> None:
    """Of today, by when they were labelled."""
    bay = SharedBay()
    bay.developing("C1", "P-001", WINDOW)
    bay.developing("C2", "P-002", BENCH)
    sides = bay.cut()
    sides.theirs.must(sides.theirs.read_act(CLEAR, "C2"), "19:00")
    sides.ours.must(sides.ours.read_act(NEGATIVE, "C1"), "18:00")
    bay.put(*sides.theirs.events, *appended(sides.join()))

    seen = results_seen(bay.board, "op-1", at("0:00"))

    assert {each.label for each in seen} == {"C1", "C2"}
    assert {each.key for each in patients_today(bay.board, at("0:00"))} == {
        "key-P-001",
        "key-P-002",
    }


def test_reviews_that_came_late_hide_none() -> None:
    """The day sheet names each."""
    reviews = {
        str(number): OwnReview(at=at(when), by="key-op-1", about="x", event="ResultAmended")
        for number, when in enumerate(("20:00", "5:00"))
    }
    board = replace(joined_bay().board, own_acts=reviews)

    assert [each.at for each in own_reviews(board, at("10:00"))] == [at("20:00")]


def test_a_jump_of_the_clock_that_came_late_counts_from_its_own_instant() -> None:
    """Whatever leaves bears the time that the wall showed then."""
    bay = SharedBay()
    for when, by in (("20:00", 5_000), ("10:00", 60_000)):
        bay.put(ClockJumped(at=at(when), by_span=Span(by), cartridges=()))

    assert wall_of(bay.board, at("9:00")) == at("9:00")
    assert wall_of(bay.board, at("10:00")) == at("10:00") + 60_000
    assert wall_of(bay.board, at("20:00")) == at("20:00") + 65_000


def test_invalid_results_of_a_lot_are_counted_by_when_they_were_seen() -> None:
    """So many within a day, in whatever order they came in."""
    bay = SharedBay()
    bay.developing("C1", "P-001", WINDOW)
    bay.developing("C2", "P-002", BENCH)
    sides = bay.cut()
    sides.theirs.must(sides.theirs.read_act(NO_CONTROL, "C2"), "19:00")
    sides.ours.must(sides.ours.read_act(NO_CONTROL, "C1"), "18:00")
    bay.put(*sides.theirs.events, *appended(sides.join()))

    invalids = bay.board.samples.record("L-100").invalids

    assert [each.at for each in invalids] == [at("18:00"), at("19:00")]


def test_the_visit_of_a_person_is_in_the_order_in_which_it_was() -> None:
    """The last valid one is the result, and the last one is the one that was begun last."""
    bay = SharedBay()
    sides = bay.cut()
    for side, label, when in ((sides.theirs, "C1", "20:00"), (sides.ours, "A-01", "5:00")):
        side.must(side.label_act(label, "P-001"), when)
    bay.put(*sides.theirs.events, *appended(sides.join()))

    (visit,) = visit_results(bay.board, "key-P-001", lambda _: "one day")

    assert [each.label for each in visit.results] == ["A-01", "C1"]


def test_events_some_milliseconds_out_of_order_hide_nothing() -> None:
    """Two stations, two clocks, one record, and nobody was alone."""
    bay = SharedBay()
    bay.must(bay.label_act("C1", "P-001"), "10:00.004")
    bay.must(bay.label_act("C2", "P-002"), "9:59.998")

    assert labels(bay, "10:00") == ["C1"]
    assert bay.board.out_of_order == 60_000
    assert bay.board.out_of_order < HOUR


def test_a_warning_of_a_person_tested_today_counts_what_was_begun_alone() -> None:
    """A second test of the day is one, whoever began the first."""
    bay = joined_bay()
    act = replace(bay.label_act("C2", "P-001"), day_began=at("0:00"))

    (label,) = bay.must(act, "41:00")

    assert label.warnings == ("tested-today",)  # type: ignore[union-attr]


def both_begun(bay: SharedBay) -> tuple[Side, Side]:
    """P-001 was begun alone at 5:00, and at the bench, where nobody knew, at 20:00."""
    sides = bay.cut()
    for side, label, begins in ((sides.ours, "A-01", 5), (sides.theirs, "C1", 20)):
        side.must(side.label_act(label, "P-001"), f"{begins}:00")
        for step in ("buffer", "collect", "extract"):
            side.must(side.step_act(step, label), f"{begins}:00")
        side.must(side.step_act("withdraw", label), f"{begins + 1}:00")
        side.must(side.step_act("apply", label), f"{begins + 2}:00")
    return sides.ours, sides.theirs


@pytest.mark.parametrize(
    ("first", "last", "owed"),
    [(NEGATIVE, NO_CONTROL, []), (NO_CONTROL, NEGATIVE, []), (NO_CONTROL, NO_CONTROL, ["C1"])],
)
def test_a_repeat_is_owed_for_the_one_that_failed_last_if_none_gave_a_result(
    first: Bands, last: Bands, owed: list[str]
) -> None:
    """Whichever came into the record last."""
    bay = SharedBay()
    base = bay.board
    ours, theirs = both_begun(bay)
    ours.must(ours.read_act(first, "A-01"), "22:30")
    theirs.must(theirs.read_act(last, "C1"), "37:30")
    found = join_up(base, theirs.events, ours.events, WINDOW, at("40:00"))

    assert found.board.history["key-P-001"] == ("id-A-01", "id-C1")
    assert [each.label for each in to_repeat(found.board)] == owed


def test_how_often_a_person_was_repeated_is_counted_in_the_order_in_which_it_was() -> None:
    """The referral follows the last of them."""
    bay = SharedBay()
    bay.put(PolicySet(at=START, policy=replace(UNDECIDED, repeat_limit=1)))
    base = bay.board
    ours, theirs = both_begun(bay)
    ours.must(ours.read_act(NO_CONTROL, "A-01"), "22:30")
    theirs.must(theirs.read_act(NO_CONTROL, "C1"), "37:30")
    found = join_up(base, theirs.events, ours.events, WINDOW, at("40:00")).board

    limits = {each.label: gets_no_repeat(found, each) for each in found.ended.values()}

    assert limits == {"A-01": False, "C1": True}


def test_a_cartridge_begun_before_a_mix_up_was_found_is_no_fresh_one() -> None:
    """They are still to give a new specimen."""
    bay = SharedBay()
    mixed_up = PersonMixedUp(at=at("10:00"), cartridges=("id-C0",))
    bay.board = replace(bay.board, new_specimen={"key-P-001": mixed_up})

    bay.must(bay.label_act("A-01", "P-001"), "5:00")
    assert [*bay.board.new_specimen] == ["key-P-001"]
    bay.must(bay.label_act("A-02", "P-001"), "15:00")
    assert not bay.board.new_specimen


def test_a_run_on_paper_some_milliseconds_behind_ends_no_search() -> None:
    """The clocks of the stations at which two were entered are a little apart."""
    bay = SharedBay()
    paper = entered(run())
    runs = {
        label: replace(paper, run=f"run-{label}", label=label, at=at(when))
        for label, when in (("PA", "10:00.002"), ("PB", "9:59.999"))
    }
    bay.board = replace(bay.board, paper_runs=runs)

    assert is_on_paper(bay.board, "PA", at("10:00"))
    assert not is_on_paper(bay.board, "PB", at("10:00"))
    assert is_on_paper(bay.board, "PB", None)
    assert runs_with_lot(bay.board, paper.lot, at("10:00")) == ("run-PA",)
    assert runs_with_lot(bay.board, paper.lot, at("9:59")) == ("run-PA", "run-PB")
