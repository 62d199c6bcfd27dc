"""What is told of the past bears the times that the clock on the wall showed then."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NEGATIVE, START, Bench
from readbell.bay.lookout import Sight
from readbell.bay.site_face import face_now
from readbell.bay.site_time import day_began
from readbell.core.board.board import Board
from readbell.core.board.events import BayFounded, Mode
from readbell.core.board.wall_time import wall_of
from readbell.core.instant import HOUR, MINUTE, Instant, Span, later
from readbell.hand.scene import Scene
from readbell.phrases.cartridge_story import story_of
from readbell.ui.wall_screen import bay_of

if TYPE_CHECKING:
    from pathlib import Path

HALF_AN_HOUR = Span(30 * MINUTE)
AUTUMN, SPRING = "2026-10-25", "2026-03-29"
"""Nights on which clocks in Britain are set: back, and forward, at 01:00 UTC (common practice)."""


def instant(utc: str) -> Instant:
    """The instant of an ISO time, in UTC milliseconds."""
    return Instant(round(datetime.fromisoformat(f"{utc}+00:00").timestamp() * 1000))


def in_london(board: Board) -> Board:
    """The board of a bay in London."""
    founded = BayFounded(at=START, bay="Harrow Quay", timezone="Europe/London", mode=Mode.REHEARSAL)
    return replace(board, founded=founded)


def test_a_clock_that_was_set_at_noon_says_nothing_else_of_the_morning() -> None:
    """A list of a recall would name other times than the slips that people have in their hands."""
    noon = later(START, Span(HOUR))
    board = replace(Board(), clock_jumps=((noon, HALF_AN_HOUR),))
    face = face_now(board, HALF_AN_HOUR)

    assert face.local(START).timestamp() * 1000 == START
    assert face.local(noon).timestamp() * 1000 == noon + HALF_AN_HOUR


def test_what_nobody_recorded_of_a_clock_is_taken_to_have_been_so_all_the_time() -> None:
    """A second that clocks may part by; and records from before such a thing was recorded."""
    face = face_now(Board(), 700)

    assert face.local(START).timestamp() * 1000 == START + 700


@settings(deadline=None)
@given(
    jumps=st.lists(st.tuples(st.integers(0, 9), st.integers(-HOUR, HOUR)), max_size=4),
    drift=st.integers(-500, 500),
    seen=st.integers(0, 9),
    at=st.integers(0, 9),
)
def test_however_often_the_clock_was_set_each_instant_keeps_the_time_it_had(
    jumps: list[tuple[int, int]], drift: int, seen: int, at: int
) -> None:
    """Whenever it is looked at: now, or as it was written."""
    of_board = tuple(sorted((later(START, Span(hour * HOUR)), Span(by)) for hour, by in jumps))
    board = replace(Board(), clock_jumps=of_board)
    when, told = (later(START, Span(hour * HOUR)) for hour in (seen, at))
    face = face_now(board, wall_of(board, when) - when + drift, when)

    assert face.wall(told) == wall_of(board, told) + drift
    last = later(START, Span(10 * HOUR))
    assert face_now(board, wall_of(board, last) - last + drift) == face


@pytest.mark.parametrize(
    ("utc", "local"),
    [
        (f"{SPRING}T00:59:59", "00:59:59+00:00"),
        (f"{SPRING}T01:00:00", "02:00:00+01:00"),
        (f"{AUTUMN}T00:59:59", "01:59:59+01:00"),
        (f"{AUTUMN}T01:00:00", "01:00:00+00:00"),
        (f"{AUTUMN}T02:00:00", "02:00:00+00:00"),
    ],
)
@pytest.mark.parametrize("hours", [-1, 0, 1, 4000])
def test_an_event_bears_the_offset_of_its_own_instant_whenever_it_is_shown(
    utc: str, local: str, hours: int
) -> None:
    """On the night itself, the morning after, and half a year later."""
    at = instant(utc)
    scene = Scene(
        board=in_london(Board()),
        now=later(at, Span(hours * HOUR)),
        face=face_now(in_london(Board()), 0),
    )
    assert scene.face.local(at).isoformat(timespec="seconds")[11:] == local
    assert scene.face.time(at) in (local, local[:8])
    assert scene.face.minute(at) in (f"{local[:5]}{local[8:]}", local[:5])
    assert ("+" in scene.face.minute(at)) == ("+" in scene.face.time(at))


@pytest.mark.parametrize("night", [AUTUMN, SPRING])
def test_the_day_of_such_a_night_began_at_its_midnight(night: str) -> None:
    """It is 25 hours long, or 23, and nobody who was tested in it is left out."""
    board = in_london(Board())
    now = instant(f"{night}T20:00:00")
    scene = Scene(board=board, now=now, face=face_now(board, 0))

    assert scene.face.local(scene.day_began).isoformat()[:19] == f"{night}T00:00:00"
    assert scene.day_began == day_began(now, now, scene.face.zone)


class TestTheBoard:
    """What stands on a live board after its clock was set by hand, an hour back."""

    drops = later(START, Span(2 * MINUTE + 30_000))
    now = later(START, Span(18 * MINUTE))

    @pytest.fixture
    def board(self) -> Board:
        """A cartridge that was read; then somebody set the clock."""
        bench = Bench()
        bench.to_well("C1")
        bench.must(bench.read_act(NEGATIVE), "18:00")
        jumps = ((later(self.now, Span(MINUTE)), Span(-HOUR)),)
        return in_london(replace(bench.board, clock_jumps=jumps))

    def test_its_story_keeps_the_times_that_were_read_off_the_wall(self, board: Board) -> None:
        """They are those on the tube, on the paper beside it, and in every export."""
        (cartridge,) = board.in_order()
        then = replace(board, clock_jumps=())
        seen = story_of(cartridge, board, face_now(board, -HOUR))
        assert seen == story_of(cartridge, then, face_now(then, 0))

    def test_the_wall_shows_them_too(self, board: Board, tmp_path: Path) -> None:
        """And what is to come is on the clock as it stands."""
        sight = Sight(
            path=tmp_path / "bay.journal", board=board, at=self.now, apart=-HOUR, running=0
        )
        shown = bay_of(sight, later(self.now, Span(HOUR)))
        assert shown.face.local(self.drops).timestamp() * 1000 == self.drops
        assert shown.face.local(shown.now).timestamp() * 1000 == shown.now - HOUR
