"""The line of a shared bay as a station begins it by the server, keeps it, and holds it against that."""

from __future__ import annotations

import pytest

from bay.common_time_bench import Stand
from builders import START
from readbell.bay.common_time import measured, quickest
from readbell.core.instant import Instant, Span

FORTY_SECONDS = 40_000


def test_of_several_ways_the_quickest_counts(stand: Stand) -> None:
    """A packet that was held up says little of when it was answered."""
    stand.server.ways = [600, 4, 90, 250]

    look = quickest(stand.server, stand.clock)

    assert look.within == 3
    assert abs((look.server - look.counting) - (stand.clock.wall - stand.clock.counting)) <= 1


def test_the_line_is_the_servers_clock_and_the_offset_that_is_on_record(stand: Stand) -> None:
    """Nobody is here: the newest event says how its writer's line stood to the server."""
    stand.server.apart = FORTY_SECONDS
    look = measured(stand.server, stand.clock)

    begun = stand.begin(Span(-500), Span(99), look)

    assert begun.instant(stand.clock.read()) == stand.clock.wall + FORTY_SECONDS - 500 + 1 - 1
    assert stand.time.offset == -500
    assert stand.presence.offset == -500


def test_a_station_that_is_here_knows_the_offset_better_than_the_record(stand: Stand) -> None:
    """The server's clock was set since the last event: those who are here noticed."""
    stand.hear_bench(-3_600_000)

    stand.begin(Span(0), Span(99))

    assert stand.time.offset == -3_600_000


def test_a_station_that_is_here_and_has_not_noticed_yet_is_followed_all_the_same(
    stand: Stand,
) -> None:
    """The server's clock was set an hour ahead seconds ago: strips must not lapse by that."""
    line = stand.clock.wall
    stand.hear_bench(0, line)
    stand.server.apart = 3_600_000

    begun = stand.begin(Span(0), Span(99))

    assert abs(begun.instant(stand.clock.read()) - stand.clock.wall) <= 2
    assert stand.time.offset is not None
    assert abs(stand.time.offset + 3_600_000) <= 2


@pytest.mark.parametrize("apart", [3_600_000, -3_600_000])
def test_a_server_whose_clock_was_set_while_nobody_was_there_moves_no_line(
    stand: Stand, apart: int
) -> None:
    """Within one boot this computer has counted on."""
    stand.begin(Span(0), Span(0))
    stand.time.keep(stand.clock.read())
    stand.clock.advance("2:00")
    again = Stand(stand.path, stand.clock)
    again.server.apart = apart

    begun = again.begin(Span(0), Span(0), latest=Instant(stand.clock.wall - 1_000))

    assert begun.sure
    assert abs(begun.instant(stand.clock.read()) - stand.clock.wall) <= 2


def test_a_computer_that_did_not_count_while_it_was_away_goes_by_the_server(stand: Stand) -> None:
    """Its wall clock went on without its counting clock, as one does that was frozen."""
    stand.begin(Span(0), Span(0))
    stand.time.keep(stand.clock.read())
    stand.clock.wall += 3_600_000

    begun = Stand(stand.path, stand.clock).begin(Span(0), Span(0))

    assert abs(begun.instant(stand.clock.read()) - stand.clock.wall) <= 2


def test_a_line_never_begins_before_what_is_on_record(stand: Stand) -> None:
    """The battery of the server is empty: by its clock nothing would ever fall due."""
    stand.server.apart = -800_000_000_000
    latest = Instant(stand.clock.wall)

    begun = stand.begin(Span(0), Span(0), latest=latest)

    assert not begun.sure
    assert begun.instant(stand.clock.read()) == latest


def test_a_bay_that_was_copied_goes_on_where_its_line_was(stand: Stand) -> None:
    """No event has an offset yet: the line less the wall clock of its last event."""
    stand.begin(None, Span(-90_000))

    assert stand.time.offset == -90_000


@pytest.mark.parametrize("written", [b"", b"{", b"[]", b'{"at": 1}', b'{"offset": "x"}'])
def test_a_line_that_cannot_be_read_is_none(stand: Stand, written: bytes) -> None:
    """The power went as it was written."""
    stand.path.write_bytes(written)

    assert stand.time.kept() is None


def test_a_disk_that_takes_no_line_is_passed_over(stand: Stand) -> None:
    """Nothing of the record is lost by it."""
    stand.time.keep(stand.clock.read())  # before there is a line
    assert not stand.path.exists()
    stand.begin(Span(0), Span(0))
    stand.path.with_name(f"{stand.path.name}.part").mkdir()

    stand.time.keep(stand.clock.read())

    assert stand.time.kept() is None


def test_a_server_whose_clock_is_set_moves_the_offset_alone(stand: Stand) -> None:
    """An hour forward at the server: no countdown here hears of it."""
    stand.begin(Span(0), Span(0))
    before = stand.time._now_anchored()
    stand.clock.advance("0:30")
    stand.server.apart = 3_600_000

    found = stand.time.look(measured(stand.server, stand.clock), None, START)

    assert abs(found.stepped - 3_600_000) <= 4
    assert stand.time._now_anchored() == before
    assert abs((stand.time.offset or 0) + 3_600_000) <= 4


def test_a_computer_that_was_frozen_goes_on_with_the_others(stand: Stand) -> None:
    """Its counting clock stood still for ten minutes, theirs did not."""
    stand.presence.now = lambda: stand.time._now_anchored().instant(stand.clock.read())
    stand.begin(Span(0), Span(0))
    stand.server.apart = 600_000
    stand.hear_bench(0, line=stand.presence.now() + 600_000)

    found = stand.time.look(measured(stand.server, stand.clock), None, START)

    assert abs(found.moved - 600_000) <= 4
    assert stand.time.offset == 0


def test_a_servers_clock_that_was_set_while_no_station_ran_is_found_at_the_start(
    stand: Stand,
) -> None:
    """Our own counting went on: times of day would be off by the step for ever."""
    stand.begin(Span(-500), Span(99))
    stand.time.keep(stand.clock.read())
    assert not stand.time.stepped
    stand.clock.advance("10:00")
    stand.server.apart = 3_600_000
    again = Stand(stand.path, stand.clock)
    again.server.apart = stand.server.apart

    again.begin(Span(-500), Span(99))

    assert abs(again.time.stepped - 3_600_000) <= 2
    assert abs((again.time.offset or 0) - (-500 - 3_600_000)) <= 2


def test_a_servers_clock_that_others_saw_being_set_is_not_told_twice(stand: Stand) -> None:
    """Nor one of which this computer has only its own wall clock to go by."""
    stand.begin(Span(0), Span(0))
    stand.time.keep(stand.clock.read())
    for hears in (True, False):
        again = Stand(stand.path, stand.clock)
        again.server.apart = 3_600_000
        if hears:
            again.hear_bench(0, stand.clock.wall)
        else:
            again.clock.boot = "boot-2"
        again.begin(Span(0), Span(0))
        assert not again.time.stepped


def test_since_when_a_station_is_alone_is_kept_with_its_clocks(stand: Stand) -> None:
    """Until its first act alone nothing else says so."""
    stand.begin(Span(0), Span(0))
    assert stand.time.alone() is None
    stand.time.keep(stand.clock.read(), START)
    assert Stand(stand.path, stand.clock).time.alone() == START
    stand.time.keep(stand.clock.read())
    assert stand.time.alone() is None


def test_how_far_the_wall_clock_is_off_is_known(stand: Stand) -> None:
    """A board says so, and goes on."""
    stand.server.apart = -FORTY_SECONDS
    look = measured(stand.server, stand.clock)

    assert stand.time.note_wall(stand.clock.read(), look)

    assert stand.presence.wall_apart is not None
    assert abs(stand.presence.wall_apart - FORTY_SECONDS) <= 1
    assert not stand.time.note_wall(stand.clock.read(), look)
    stand.clock.wall += FORTY_SECONDS
    assert stand.time.note_wall(stand.clock.read(), look), "somebody set it while the board stood"
