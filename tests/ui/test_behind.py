"""What happened behind everybody's back: told in a sentence that stays until somebody has heard it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import Bench
from readbell.bay.around import AloneNow, Around
from readbell.core.board.events import ClockUnsure, ComputerSlept
from readbell.core.instant import Span, later
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.stations.events import JoinedUp
from readbell.hand.given import Key, Pressed
from ui.conftest import give

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.ui.front import Front

READ = Bench()
READ.to_well("C1")
SAID = "C1 NO OUTCOME: looked at by two stations; see F9, Review."
AGAINST = "C1 HELD: results of one person contradict; see F9, Review."


def test_what_happened_behind_everybodys_back_stays_until_it_is_heard(front: Front) -> None:
    """And F8 marks that first, not a cartridge."""
    news = front.present().news
    front.hear(replace(news, events=(ClockUnsure(at=news.at, cartridges=("id-C07",)),)))
    told = front.present().told
    assert told
    give(front, Pressed(Key.RIGHT))
    assert front.present().told == told
    give(front, Pressed(Key.HEARD))
    assert front.present().told == ""


def test_what_came_home_stands_on_the_board_until_somebody_has_read_it(front: Front) -> None:
    """Of this station alone: what another one did alone is told by its events."""
    news = front.present().news
    joined = JoinedUp(
        at=news.at, station="bench", since=later(news.at, Span(-90_000)), joined=3, same=0, apart=0
    )
    for station, said in (("window", ""), ("bench", "Alone for 1:30: 3 events joined up.")):
        here = Around(station=station, mark="A")
        front.hear(replace(news, events=(joined,), around=here))
        assert front.present().told == said
    front.process(Pressed(Key.HEARD))
    assert front.present().told == ""


def test_what_came_home_before_is_taken_away_once_the_link_is_lost_again(front: Front) -> None:
    """Beside that it is alone it would read as if this time were over."""
    news = front.present().news
    joined = JoinedUp(
        at=news.at, station="bench", since=later(news.at, Span(-90_000)), joined=3, same=0, apart=0
    )

    def around(since: Instant) -> Around:
        return Around(station="bench", mark="A", alone=AloneNow(since=since, why="lost"))

    front.hear(replace(news, events=(joined,), around=around(joined.since)))
    front.hear(replace(news, events=(), around=around(joined.since)))
    assert front.present().told == "Alone for 1:30: 3 events joined up.", "of this very time"
    front.hear(replace(news, events=(), around=around(later(news.at, Span(5_000)))))
    assert front.present().told == ""

    front.hear(replace(news, events=(joined,), around=Around(station="bench", mark="A")))
    front.note("Something else.")
    front.hear(replace(news, events=(), around=around(later(news.at, Span(5_000)))))
    assert front.present().told == "Something else."


def test_that_a_strip_was_looked_at_on_both_sides_is_told_where_its_outcome_was_shown(
    front: Front,
) -> None:
    """Its reader may have the outcome before their eyes that it has no more."""
    news = front.present().news
    for reason, said in (
        (HoldReason.TEMPERATURE, ""),
        (HoldReason.CONTRADICTS_ANOTHER, AGAINST),
        (HoldReason.READ_ON_BOTH_SIDES, SAID),
    ):
        held = ReadingHeld(at=news.at, by=None, cartridge="id-C1", reasons=(reason,))
        front.hear(replace(news, board=READ.board, events=(held,)))
        assert front.present().told == said
    assert len(SAID) < 79
    front.process(Pressed(Key.HEARD))
    assert front.present().told == ""


@pytest.mark.parametrize(
    ("reason", "said"),
    [
        (HoldReason.CONTRADICTS_ANOTHER, AGAINST),
        (HoldReason.READ_ON_BOTH_SIDES, SAID),
        (HoldReason.TEMPERATURE, "Alone for 1:30: 3 events joined up."),
    ],
)
def test_what_is_held_by_joining_up_is_told_before_how_much_came_home(
    front: Front, reason: HoldReason, said: str
) -> None:
    """Both come at once, at the station that was alone; there is room for one sentence."""
    news = front.present().news
    held = ReadingHeld(at=news.at, by=None, cartridge="id-C1", reasons=(reason,))
    since = later(news.at, Span(-90_000))
    joined = JoinedUp(at=news.at, station="bench", since=since, joined=3, same=0, apart=0)
    around = Around(station="bench", mark="A")
    front.hear(replace(news, board=READ.board, events=(held, joined), around=around))
    assert front.present().told == said


def test_what_must_not_be_overlooked_stands_until_it_is_heard(front: Front) -> None:
    """A file with events that belong nowhere is for a supervisor, and nobody may miss it."""
    front.note("bay.journal.continuation-1 could not be joined. Keep it for a supervisor.")
    assert "could not be joined" in front.present().told
    give(front, Pressed(Key.HEARD))
    assert front.present().told == ""


def test_what_must_not_be_overlooked_outlasts_what_is_told_after_it(front: Front) -> None:
    """An act that lies beside the record is no less so once the link is back."""
    front.note("bay.journal.continuation-1 could not be joined. Keep it for a supervisor.")
    news = front.present().news
    slept = ComputerSlept(at=news.at, span=Span(60_000), cartridges=())
    front.hear(replace(news, events=(slept,)))
    assert "slept 1:00" in front.present().told
    assert "could not be joined" in front.present().told

    give(front, Pressed(Key.HEARD))
    assert front.present().told == ""
