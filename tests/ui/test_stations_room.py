"""The stations of a shared bay on the board: who is here, who is alone, and what is kept apart."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from readbell.core.instant import Span
from readbell.hand.doing import Room, Visiting, Watching
from ui.pages import SIZES, SMALL_SIZES, painted, present, text
from ui.shared_bay import alone, linked, shared_board

if TYPE_CHECKING:
    from readbell.bay.around import Around

BOARD = shared_board()
ROOM = Visiting(room=Room.STATIONS)


@pytest.mark.parametrize("size", SIZES)
def test_the_room_says_who_is_here_what_each_hears_and_holds(size: tuple[int, int]) -> None:
    """Whole words, at every size and without colour."""
    page = text(painted(present(BOARD, ROOM, around=linked()), *size))

    (window,) = (each for each in page.splitlines() if each.startswith(" > window"))
    (office,) = (each for each in page.splitlines() if each.startswith("   office"))
    assert window.split()[2:] == ["A", "here", "waits,", "lane", "1,", "lane", "2", "15", "clocks"]
    assert "nothing" in office
    assert "none" in office
    assert "this one" in page
    assert "[Stations]" in page


@pytest.mark.parametrize("size", SIZES)
def test_a_station_that_is_away_is_named_and_may_be_given_up(size: tuple[int, int]) -> None:
    """The key is offered where it does something."""
    page = text(painted(present(BOARD, ROOM, around=linked(away=True)), *size))

    assert "AWAY" in page
    assert "F12 Give up" in page
    here = text(painted(present(BOARD, ROOM, around=linked()), *size))
    assert "F12 Give up" not in here


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("doing", [Watching(), ROOM])
def test_alone_stands_on_every_page_with_since_when(
    doing: Watching | Visiting, size: tuple[int, int]
) -> None:
    """It fills its line, in words; and a label says how it has to begin."""
    page = painted(present(BOARD, doing, around=alone()), *size)

    (row,) = (each for each in page.lines if each.text.startswith(" ALONE since 01:30:08"))
    assert "B-" in row.text
    assert row.text != row.text.rstrip() or len(row.text) == size[0]


@pytest.mark.parametrize("size", SIZES)
def test_alone_the_room_says_what_that_means_and_nothing_of_the_others(
    size: tuple[int, int],
) -> None:
    """What is not known is not said."""
    page = text(painted(present(BOARD, ROOM, around=alone()), *size))

    assert "3:12 ago" in page
    assert "It comes into the record by itself" in " ".join(page.split())
    assert page.count("not known from here") == 2
    assert "F12" not in page


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES[1:]])
def test_a_row_says_that_its_clock_runs_out_of_reach_and_where(size: tuple[int, int]) -> None:
    """Somebody would go to read it, and be refused there."""
    page = text(painted(present(BOARD, around=alone()), *size))
    everybody = text(painted(present(BOARD, around=linked()), *size))

    assert "@A" in page or size in SMALL_SIZES
    assert "@" in page
    assert "@B" not in page
    assert "@" not in everybody
    assert "@" in text(painted(present(BOARD, around=linked(away=True)), *size))
    assert "@" not in text(painted(present(BOARD), *size))


@pytest.mark.parametrize("size", SIZES)
def test_a_second_computer_of_this_name_is_told_on_every_page(size: tuple[int, int]) -> None:
    """In a line of its own, in words."""
    around = replace(linked(), has_twin=True)
    for doing in (Watching(), ROOM):
        page = text(painted(present(BOARD, doing, around=around), *size))
        assert "ANOTHER COMPUTER IS STATION bench TOO" in page
    assert "End readbell there, and join that computer" in " ".join(page.split())


@pytest.mark.parametrize("size", SIZES)
def test_a_mirror_that_takes_nothing_is_told_in_the_room(size: tuple[int, int]) -> None:
    """Alone or linked: the memory of this computer fills until somebody makes room on its disk."""
    for around in (linked(), alone()):
        ill = replace(around, mirror_ailment="database or disk is full")
        page = text(painted(present(BOARD, ROOM, around=ill), *size))
        assert "cannot be written: database or disk is full." in " ".join(page.split())


@pytest.mark.parametrize("size", SIZES)
def test_a_mirror_that_takes_nothing_is_told_where_all_ailments_are(size: tuple[int, int]) -> None:
    """Nobody opens a room to find out that the disk here is full; graver things go before it."""
    for around in (linked(), alone()):
        well = text(painted(present(BOARD, around=around), *size))
        assert "MIRROR" not in well
        assert "MAKE ROOM" not in well
        ill = replace(around, mirror_ailment="database or disk is full")
        page = text(painted(present(BOARD, around=ill), *size))
        assert "MIRROR NOT WRITTEN: make room on this disk" in page or "MAKE ROOM ON DISK" in page
        assert ("ALONE since" in page) is (around.alone is not None)


@pytest.mark.parametrize("size", SIZES)
def test_why_the_link_does_not_come_back_stands_in_the_room_and_where_to_look_on_every_page(
    size: tuple[int, int],
) -> None:
    """Without it people would wait for something that does not happen."""
    around = alone(refused="db.example: the server does not take this password: see ~/.pgpass")
    page = text(painted(present(BOARD, ROOM, around=around), *size))
    board = text(painted(present(BOARD, around=around), *size))

    assert "the server does not take this password" in " ".join(page.split())
    assert "F9 Stations" in board or "does not take this password" in board


def test_the_top_line_counts_who_is_here_and_who_is_away() -> None:
    """One look tells whether somebody is missing."""
    assert "station bench, 3 here" in text(painted(present(BOARD, around=linked()), 120, 40))
    away = text(painted(present(BOARD, around=linked(away=True)), 120, 40)).splitlines()[0]
    assert "station bench, 2 here, 1 AWAY" in away
    assert "station" not in text(painted(present(BOARD), 120, 40)).splitlines()[0]


@pytest.mark.parametrize("doing", [Watching(), ROOM])
@pytest.mark.parametrize("around", [linked(), linked(away=True), alone()])
@pytest.mark.parametrize("size", SIZES)
def test_what_is_kept_apart_stands_in_the_top_line_beside_who_acts_and_the_time(
    size: tuple[int, int], around: Around, doing: Watching | Visiting
) -> None:
    """On the smallest screen too: somebody has to look at it."""
    (top, *_) = painted(present(shared_board(apart=1), doing, around=around), *size).lines

    assert "1 kept apart" in top.text
    assert "op-1 acts" in top.text
    assert "01:33:20" in top.text
    assert ("1 AWAY" in top.text) is bool(around.away and around.alone is None)


def test_joining_up_is_told_until_it_is_done_and_why_if_it_cannot_be() -> None:
    """The link is back, and the work goes on meanwhile."""
    page = " ".join(text(painted(present(BOARD, ROOM, around=alone(joins=True)), 80, 24)).split())
    assert "LINK BACK, ALONE since 01:30:08" in page
    assert "is being joined up" in page

    stuck = alone(joins=True, fault="event 7: it does not follow")
    page = " ".join(text(painted(present(BOARD, ROOM, around=stuck), 80, 24)).split())
    assert "could not be joined up: event 7: it does not follow. Nothing is lost" in page


@pytest.mark.parametrize("size", SIZES)
def test_what_is_kept_apart_stands_on_top_with_what_it_said_and_what_to_do(
    size: tuple[int, int],
) -> None:
    """Without what was seen nobody could enter it anew."""
    page = text(painted(present(shared_board(apart=2), ROOM, around=linked()), *size))
    said = " ".join(page.split())

    assert page.count("KEPT APART  a reading of C04") == 2
    assert "the same strip was looked at elsewhere as well." in said
    assert "Done at 01:32:20 by op-1: C present, T clear." in said
    assert "F3 Entered anew" in page
    assert "F6 Leave apart" in page
    assert "F12" not in page


def test_nobody_being_there_what_it_said_is_hidden() -> None:
    """It was somebody's strip."""
    now = present(shared_board(apart=1), ROOM, around=linked(), idle=Span(3_600_000))
    page = " ".join(text(painted(now, 120, 40)).split())

    assert "Done at" in " ".join(
        text(painted(present(shared_board(apart=1), ROOM, around=linked()), 120, 40)).split()
    )
    assert "Done at" not in page


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES])
@pytest.mark.parametrize("around", [linked(), linked(away=True), alone(), alone(joins=True)])
def test_no_line_is_wider_than_the_screen(around: Around, size: tuple[int, int]) -> None:
    """However little room there is."""
    for doing in (Watching(), ROOM, Visiting(room=Room.STATIONS, cursor=9)):
        page = painted(present(shared_board(apart=1), doing, around=around), *size)
        assert all(each.width <= size[0] for each in page.lines)
        assert len(page.lines) == size[1]
