"""What a station did alone comes home into the shared record once its link is back."""

from __future__ import annotations

from contextlib import closing, suppress
from typing import TYPE_CHECKING

import pytest

from builders import TODAY
from readbell.core.board.events import ComputerSlept
from readbell.core.cartridge.events import AlertKind, AlertRaised, CartridgeRead
from readbell.core.instant import MINUTE
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.particulars import Particular
from readbell.core.private import Private
from readbell.core.reading.bands import Strength
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.result import result_of
from readbell.core.results.status import ResultStatus
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.stations.acts import GiveUpStation
from readbell.core.stations.apart import ApartReason
from readbell.core.stations.events import JoinedUp
from readbell.journal.errors import JournalError
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from bay.two_stations import Seat, Site


async def test_what_was_done_alone_comes_home_as_it_is_if_nobody_else_wrote(
    site: Site, bench: Seat
) -> None:
    """And it is told once how much it was."""
    await bench.work.to_well("C1")
    await bench.go_alone()
    bench.work.clock.advance("15:00")
    await bench.work.ring()
    await bench.work.must(bench.work.read("C1"))

    await bench.come_back()

    (joined,) = bench.told(JoinedUp)
    assert isinstance(joined, JoinedUp)
    assert (joined.station, joined.apart, joined.same) == ("bench", 0, 0)
    assert joined.joined > 0
    assert bench.keeper.alone is None
    found = site.whole().labelled("C1")
    assert found is not None
    assert found.outcome is Outcome.NEGATIVE


async def test_what_both_did_meanwhile_is_one_record_for_both(
    site: Site, bench: Seat, window: Seat
) -> None:
    """Each cartridge as it was worked on, whoever held its clock."""
    await bench.work.to_well("C1", "P-001")
    await window.follow()
    await window.work.to_well("C2", "P-002")
    await bench.follow()
    await bench.go_alone()
    bench.work.clock.advance("15:00")
    await bench.work.ring()
    await window.work.ring()
    await bench.work.must(bench.work.read("C1", Strength.CLEAR))
    await window.work.must(window.work.read("C2"))

    await bench.come_back()
    await window.follow()

    for board in (bench.bay.board, window.bay.board, site.whole()):
        first, second = board.labelled("C1"), board.labelled("C2")
        assert first is not None
        assert second is not None
        assert (first.outcome, second.outcome) == (Outcome.POSITIVE, Outcome.NEGATIVE)
        assert not board.apart
    assert bench.keeper.head == window.keeper.head
    told_as_theirs = [
        each
        for news in bench.work.told
        for each in news.events
        if news.is_elsewhere and isinstance(each, CartridgeRead)
    ]
    assert len(told_as_theirs) == 1, "of its own reading it told as it was made"


async def both_at_work(bench: Seat, window: Seat) -> None:
    """Let the bench read its strip alone, and the window begin another one meanwhile."""
    await bench.work.to_well("C1", "P-001")
    await window.follow()
    await bench.go_alone()
    bench.work.clock.advance("15:00")
    await bench.work.ring()
    await bench.work.must(bench.work.read("C1"))
    await window.work.must(window.work.label("C2", "P-002"))


async def test_the_board_after_joining_up_is_the_one_the_record_adds_up_to(
    site: Site, bench: Seat, window: Seat
) -> None:
    """A start anew shows no other."""
    await both_at_work(bench, window)
    await bench.come_back()
    board = bench.bay.board

    await bench.work.close()
    again = await site.open("bench", bench.work.clock)

    assert again.bay.board.ended == board.ended
    assert again.bay.board.running == board.running
    assert again.bay.board.holders == board.holders
    assert again.bay.board.heard == board.heard


async def read_on_both_sides(bench: Seat, window: Seat) -> None:
    """Let the window give the bench up, and both read its strip: the worst that can happen."""
    await bench.work.to_well("C1", "P-001")
    await window.follow()
    await bench.go_alone()
    for seat in (bench, window):
        seat.presence.seen()
    bench.work.clock.advance("15:00")
    window.presence.pulse()
    around = window.bay.present().around
    assert around is not None
    assert around.away == {"bench"}
    act = GiveUpStation(by="op-1", station="bench", heir="window", away=around.away)
    assert (await window.bay.do(act)).accepted
    await window.work.must(window.work.read("C1", Strength.CLEAR))
    await bench.work.ring()
    await bench.work.must(bench.work.read("C1", Strength.ABSENT))


async def test_a_strip_that_was_read_on_both_sides_has_no_outcome_until_somebody_decides(
    site: Site, bench: Seat, window: Seat
) -> None:
    """Never the last word, and never the first: both are kept, and a supervisor says."""
    await read_on_both_sides(bench, window)

    await bench.come_back()
    await window.follow()

    for board in (bench.bay.board, window.bay.board, site.whole()):
        found = board.labelled("C1")
        assert found is not None
        assert found.outcome is Outcome.WITHHELD
        assert HoldReason.READ_ON_BOTH_SIDES in found.held
    kept = [each for each in bench.bay.board.apart.values() if each.kind == "cartridge-read"]
    assert [each.reason for each in kept] == [ApartReason.READ_THERE]
    assert '"absent"' in kept[0].body
    (joined,) = bench.told(JoinedUp)
    assert isinstance(joined, JoinedUp)
    assert joined.apart > 0


async def test_one_person_whom_both_began_and_read_otherwise_is_held_at_every_station(
    site: Site, bench: Seat, window: Seat
) -> None:
    """Neither could know of the other; what both say is held in the append that joins them up."""
    await bench.go_alone()
    ours = f"{bench.presence.mark}-C1"
    await bench.work.to_well(ours, "P-001")
    await window.work.to_well("C2", "P-001")
    bench.work.clock.advance("15:00")
    for seat in (bench, window):
        await seat.work.ring()
    await bench.work.must(bench.work.read(ours, Strength.CLEAR))
    await window.work.must(window.work.read("C2"))

    await bench.come_back()
    await window.follow()

    for board in (bench.bay.board, window.bay.board, site.whole()):
        for label, outcome in ((ours, Outcome.POSITIVE), ("C2", Outcome.NEGATIVE)):
            found = board.labelled(label)
            assert found is not None
            assert found.outcome is outcome
            assert found.held == (HoldReason.CONTRADICTS_ANOTHER,)
            assert result_of(found).status is ResultStatus.HELD
        assert not board.apart
    for seat in (bench, window):
        assert len(seat.told(ReadingHeld)) == 2


async def test_what_is_kept_apart_holds_its_free_text_beside_the_chain(
    bench: Seat, window: Seat
) -> None:
    """It can be erased like any other."""
    await bench.go_alone()
    for seat, name in ((bench, "Ada Ash"), (window, "Ada Ashe")):
        said = Private(key=f"key-{seat.name}", salt="salt", value=name)
        act = NoteParticulars(
            by="op-1", person="P-001", particulars=((Particular.NAME, said),), today=TODAY
        )
        assert (await seat.bay.do(act)).accepted

    await bench.come_back()

    (kept,) = bench.bay.board.apart.values()
    assert kept.reason is ApartReason.SAID_OTHERWISE
    assert "Ada" not in kept.body
    assert kept.entered is not None
    assert "Ada Ash" in (kept.entered.value or "")
    assert "Ada" not in await bench.work.bodies()


async def test_a_program_killed_alone_joins_up_at_its_next_start(
    site: Site, bench: Seat, window: Seat
) -> None:
    """The link came back while nobody was there."""
    await both_at_work(bench, window)
    await bench.die()

    again = await site.open("bench", bench.work.clock)

    assert again.keeper.alone is None
    assert again.bay.board.labelled("C2") is not None
    found = site.whole().labelled("C1")
    assert found is not None
    assert found.outcome is Outcome.NEGATIVE
    assert not [*site.folder.glob("bench.station.continuation-*")]


@pytest.mark.parametrize("calls", range(16))
async def test_a_cut_or_a_crash_at_any_call_of_joining_up_loses_nothing_and_doubles_nothing(
    site: Site, bench: Seat, window: Seat, calls: int
) -> None:
    """The link is cut once more in the middle, and the program is killed there as well."""
    await both_at_work(bench, window)
    bench.server.is_cut = False
    bench.server.left = calls
    bench.server.loses_answers = calls % 2 == 1
    with suppress(JournalError):
        bench.journal.linked(bench.server)
        await bench.bay.link_changed()
    await bench.die()

    again = await site.open("bench", bench.work.clock)
    await window.follow()

    with closing(SqliteJournal.open(site.folder / "server.journal", read_only=True)) as far:
        bodies = [each.body for each in far.records()]
    read = [each for each in bodies if '"kind":"cartridge-read"' in each]
    assert len(read) == 1
    assert sum('"kind":"joined-up"' in each for each in bodies) <= 2
    for board in (again.bay.board, window.bay.board, site.whole()):
        found = board.labelled("C1")
        assert found is not None
        assert found.outcome is Outcome.NEGATIVE
    assert not [*site.folder.glob("bench.station.continuation-*")]


async def test_alerts_that_both_sides_recorded_are_in_the_record_once(
    site: Site, bench: Seat, window: Seat
) -> None:
    """Everybody here announces what falls due, and the record says it once."""
    await bench.work.to_well("C1", "P-001")
    await window.follow()
    await bench.go_alone()
    bench.work.clock.advance("15:03")
    window.presence.pulse()
    await bench.work.ring()
    await window.work.ring()

    await bench.come_back()
    await window.follow()

    for seat in (bench, window):
        found = [
            each
            for each in seat.told(AlertRaised)
            if isinstance(each, AlertRaised) and each.alert is AlertKind.READ_NOW
        ]
        assert found
    with closing(SqliteJournal.open(site.folder / "server.journal", read_only=True)) as far:
        alerts = [each.body for each in far.records() if '"alert":"read-now"' in each.body]
    assert len(alerts) == 1


async def test_a_look_of_the_bay_brings_home_too_and_tells_it_once(site: Site, bench: Seat) -> None:
    """Whoever finds the link back first: what came home is told, and not twice."""
    await bench.go_alone()
    await bench.work.must(bench.work.label("A-C1"))
    bench.server.is_cut = False
    bench.journal.linked(bench.server)
    bench.work.clock.advance("0:03")

    await bench.work.look_about()
    await bench.bay.link_changed()

    assert len(bench.told(JoinedUp)) == 1
    assert site.whole().labelled("A-C1") is not None


async def test_a_bay_that_cannot_be_joined_up_stays_alone_and_says_why(
    bench: Seat, window: Seat
) -> None:
    """Nothing of what was done alone is given away for it."""
    await bench.go_alone()
    await bench.work.must(bench.work.label("A-C1"))
    await window.work.must(window.work.label("C2", "P-002"))
    bench.bay._recorder._parted = type(bench.bay.board)()  # a base that fits neither side

    await bench.come_back()

    around = bench.bay.present().around
    assert around is not None
    assert around.alone is not None
    assert around.alone.is_joining
    assert "never introduced" in around.alone.fault
    assert bench.bay.board.labelled("A-C1") is not None


async def test_what_comes_home_at_a_start_is_told_as_well(site: Site, bench: Seat) -> None:
    """The link came back while the program was down, and nobody else had written."""
    await bench.go_alone()
    await bench.work.must(bench.work.label("A-C1"))
    await bench.die()

    again = await site.open("bench", bench.work.clock)

    (joined,) = again.told(JoinedUp)
    assert isinstance(joined, JoinedUp)
    assert joined.joined > 0
    assert again.keeper.alone is None
    assert again.bay.board.labelled("A-C1") == site.whole().labelled("A-C1")


async def test_what_no_disk_took_is_still_to_be_recorded_after_joining_up(
    bench: Seat, window: Seat
) -> None:
    """Shown, on no disk, and then the board was put together anew from what was recorded."""
    await bench.work.to_well("C1", "P-001")
    await window.follow()
    await window.work.must(window.work.label("C2", "P-002"))
    await bench.follow()
    await bench.go_alone()
    bench.work.clock.advance("15:00")
    await bench.work.ring()
    await window.work.must(window.work.step("buffer", "C2"))
    slept = ComputerSlept(at=bench.bay.now(), span=MINUTE, cartridges=())
    bench.bay._recorder.show((slept,))

    await bench.come_back()
    await bench.work.must(bench.work.read("C1"))
    await window.follow()

    assert not bench.bay._recorder.is_behind
    assert [each.event for each in await window.work.stored()].count(slept) == 1
