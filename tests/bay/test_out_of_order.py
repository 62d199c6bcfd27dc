"""What was done alone comes late into the record, and nothing that others did hides behind it."""

from __future__ import annotations

import threading
from datetime import UTC, date
from typing import TYPE_CHECKING

from builders import CLEAR, NEGATIVE, at
from core.board.stations_bench import BENCH, WINDOW, SharedBay, appended
from patience import PATIENCE_SECONDS
from readbell.bay.exporting import Exporting
from readbell.bay.lately import Lately
from readbell.bay.opening import in_time
from readbell.core.board.events import ActRefused
from readbell.core.exports.events import Choice
from readbell.core.policy.sending import ReportFormat
from readbell.core.refusal import RefusalCode
from readbell.ui.at_rest import at_rest

if TYPE_CHECKING:
    from readbell.core.board.board import Board

MONDAY = "2026-03-30"
"""The day after the one on which the bench begins."""


def read_on_two_days() -> Board:
    """C1 was read alone at 18:00; C2 at the bench, a day later; C1 came into the record last."""
    bay = SharedBay()
    bay.developing("C1", "P-001", WINDOW)
    sides = bay.cut()
    sides.theirs.must(sides.theirs.label_act("B-01", "P-002"), "24:00:00")
    for step in ("buffer", "collect", "extract"):
        sides.theirs.must(sides.theirs.step_act(step, "B-01"), "24:00:00")
    sides.theirs.must(sides.theirs.step_act("withdraw", "B-01"), "24:01:00")
    sides.theirs.must(sides.theirs.step_act("apply", "B-01"), "24:02:00")
    sides.theirs.must(sides.theirs.read_act(CLEAR, "B-01"), "24:17:30")
    sides.ours.must(sides.ours.read_act(NEGATIVE, "C1"), "18:00")
    sides.ours.must(sides.ours.label_act("A-01", "P-001"), "19:00")
    joining = sides.join("25:00:00")
    bay.put(*sides.theirs.events, *appended(joining, "25:00:00"))
    assert bay.board.holders == {"id-A-01": WINDOW}
    assert BENCH in bay.board.stations
    return bay.board


def test_an_export_of_a_day_has_all_that_was_begun_on_it() -> None:
    """The walk back does not end at what was begun alone the day before."""
    board = read_on_two_days()
    choice = Choice(since=date(2026, 3, 30))

    exporting = Exporting(board=board, zone=UTC, form=ReportFormat.CSV, choice=choice)

    assert [*board.order] == ["id-C1", "id-B-01", "id-A-01"]
    assert list(exporting.keys()) == ["id-B-01"]


def test_readings_are_looked_up_in_the_order_in_which_they_were() -> None:
    """Whoever counts back from now finds the last one last."""
    assert at_rest(read_on_two_days()).readings == (at("18:00"), at("24:17:30"))


def test_what_might_still_have_been_corrected_is_found_behind_what_came_late() -> None:
    """After a restart of which nobody knows how long it took."""
    assert "id-B-01" in in_time(read_on_two_days(), at("24:18:00"))


def test_the_figures_of_a_day_count_what_was_refused_on_it() -> None:
    """A near miss of yesterday that was joined up today ends no count."""
    bay = SharedBay()
    bay.board = read_on_two_days()
    for when in ("24:30:00", "18:30"):
        bay.put(
            ActRefused(
                at=at(when),
                by=None,
                act="read",
                code=RefusalCode.TOO_EARLY,
                cartridge=None,
                entered=None,
                bands=None,
            )
        )
    told = threading.Event()
    lately = Lately(told.set)
    try:
        lately.seen(bay.board, MONDAY)
        assert told.wait(PATIENCE_SECONDS)
        week = lately.seen(bay.board, MONDAY)
    finally:
        lately.stop()

    assert week is not None
    assert (week.refused_today, week.refused) == (1, 1)
