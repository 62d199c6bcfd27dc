"""The line of a shared bay begun without its server, and what comes of it once the link is back."""

from __future__ import annotations

from bay.common_time_bench import Stand
from bay.conftest import HandClock
from builders import START, span
from readbell.bay.common_time import measured
from readbell.clock.anchor import Moment
from readbell.core.instant import Instant, Span


def test_without_the_server_the_line_goes_on_by_what_was_kept(stand: Stand) -> None:
    """Within one boot that is exact: the counting clock went on."""
    stand.begin(Span(-500), Span(0))
    at = stand.time._now_anchored().instant(stand.clock.read())
    stand.time.keep(stand.clock.read())
    stand.clock.advance("2:00")

    again = Stand(stand.path, stand.clock)
    begun = again.time.begin_alone(None, Instant(at), stand.clock.read())

    assert begun.sure
    assert begun.instant(stand.clock.read()) == at + span("2:00")


def test_without_the_server_the_time_of_day_is_still_the_servers(stand: Stand) -> None:
    """This computer is an hour fast, and its board said so until it was closed a moment ago."""
    stand.server.apart = -3_600_000
    stand.begin(Span(7), Span(0))
    stand.time.keep(stand.clock.read(), Instant(START))
    stand.clock.advance("0:10")

    again = Stand(stand.path, stand.clock)
    read = again.clock.read()
    begun = again.time.begin_alone(None, None, read)

    assert again.presence.offset == 7
    assert abs(begun.instant(read) - 7 - (read.wall - 3_600_000)) <= 2
    assert again.presence.wall_apart is not None
    assert abs(again.presence.wall_apart - 3_600_000) <= 2


def test_without_the_server_after_a_reboot_nothing_is_known_of_its_time(stand: Stand) -> None:
    """The wall clock of this computer is all that is left."""
    stand.begin(Span(7), Span(0))
    stand.time.keep(stand.clock.read())
    later = HandClock(boot="another boot")

    again = Stand(stand.path, later)
    again.time.begin_alone(None, None, later.read())
    assert again.presence.offset is None
    assert again.presence.wall_apart is None


def test_without_the_server_after_a_reboot_the_wall_clock_is_asked(stand: Stand) -> None:
    """As in a bay of one station."""
    stand.begin(Span(-500), Span(0))
    at = stand.time._now_anchored().instant(stand.clock.read())
    stand.time.keep(stand.clock.read())
    later = stand.clock.reboot(stand.clock.wall + span("3:00"))

    begun = Stand(stand.path, later).time.begin_alone(None, Instant(at), later.read())

    assert begun.sure
    assert begun.instant(later.read()) == at + span("3:00")


def test_a_program_that_ended_before_it_kept_its_clocks_counts_on_from_what_it_recorded(
    stand: Stand,
) -> None:
    """Killed seconds after a reboot with a wrong date: within one boot no strip is in doubt for it."""
    stand.begin(Span(-500), Span(0))
    stand.time.keep(stand.clock.read())
    later = stand.clock.reboot(1_000)
    read = later.read()
    own = Moment(at=Instant(START + 60_000), wall=read.wall, counting=read.counting, boot=read.boot)
    later.advance("0:03")

    begun = Stand(stand.path, later).time.begin_alone(own, own.at, later.read())

    assert begun.sure
    assert begun.instant(later.read()) == own.at + span("0:03")


def test_a_computer_that_knows_nothing_counts_no_time(stand: Stand) -> None:
    """The last event is another station's: its clocks say nothing here, and waits count as short."""
    latest = Instant(START + 5_000_000)

    begun = stand.time.begin_alone(None, latest, stand.clock.read())

    assert not begun.sure
    assert begun.instant(stand.clock.read()) == latest


def test_a_station_alone_never_begins_before_what_is_on_record(stand: Stand) -> None:
    """Its own battery is empty, and its clock an hour behind."""
    own = Moment(at=START, wall=stand.clock.wall, counting=1, boot="another")
    latest = Instant(START + 3_600_000)

    begun = stand.time.begin_alone(own, latest, stand.clock.read())

    assert not begun.sure
    assert begun.instant(stand.clock.read()) == latest


def test_begun_without_the_server_it_takes_the_offset_of_the_others_later(stand: Stand) -> None:
    """The link is back: what this computer believed of the time it was off was wrong by a minute."""
    own = Moment(at=START, wall=stand.clock.wall - 60_000, counting=1, boot="another")
    stand.time.begin_alone(own, None, stand.clock.read())
    stand.hear_bench(120_000 + START - stand.clock.wall)

    found = stand.time.look(measured(stand.server, stand.clock), Span(5), START)

    assert abs(found.moved - 60_000) <= 4


def test_begun_without_the_server_and_with_nobody_there_the_record_says_the_offset(
    stand: Stand,
) -> None:
    """Within one boot the own line is right, so it is the server that was set meanwhile."""
    read = stand.clock.read()
    own = Moment(at=START, wall=read.wall, counting=read.counting, boot=read.boot)
    stand.time.begin_alone(own, None, read)

    found = stand.time.look(
        measured(stand.server, stand.clock), Span(START - read.wall - 50_000), START
    )

    assert abs(found.stepped + 50_000) <= 4 or abs(found.stepped - 50_000) <= 4
    assert stand.time._now_anchored().instant(read) == START


def test_with_no_offset_on_record_the_own_line_says_it(stand: Stand) -> None:
    """The bay was founded while the server was away."""
    read = stand.clock.read()
    own = Moment(at=START, wall=read.wall, counting=read.counting, boot=read.boot)
    stand.time.begin_alone(own, None, read)

    found = stand.time.look(measured(stand.server, stand.clock), None, START)

    assert not found.stepped
    assert not found.moved
    assert abs((stand.time.offset or 0) - (START - read.wall)) <= 2
