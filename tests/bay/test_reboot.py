"""After the computer itself restarted: time goes on by a sound wall clock, or is not known."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import pytest_asyncio

from builders import START, at, span
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import ClockUnsure
from readbell.core.board.wall_time import wall_of
from readbell.core.cartridge.events import AlertKind
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import Span, earlier
from readbell.core.reading.bands import Strength
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from bay.conftest import HandClock, Place, Work
    from readbell.core.instant import Instant

DEAD_BATTERY = 946_684_800_000
"""A wall clock that woke up in the year 2000."""


def stating(done_at: Instant, *, witness: str = "op-2", doubt: Span = Span(0)) -> Entry:
    """The entry by which two people say when the drops of C1 fell."""
    return Entry(
        do=Do.STATE_APPLICATION,
        by="op-1",
        cartridge="C1",
        witness=witness,
        done_at=done_at,
        give_or_take=doubt,
    )


@pytest_asyncio.fixture
async def developing(work: Work) -> HandClock:
    """The clock of a bay in which C1 develops since 1:00 and C2 stands in its buffer; killed."""
    await work.to_well("C1")
    await work.to_extract("C2", person="P-002")
    await work.die()
    return work.clock


@pytest_asyncio.fixture
async def unsure(developing: HandClock, place: Place) -> Work:
    """The same bay after a restart on which the wall clock was before the last event."""
    return await place.take_up(developing.reboot(DEAD_BATTERY))


async def test_time_goes_on_by_the_wall_clock_across_a_boot(
    developing: HandClock, place: Place
) -> None:
    """The counting clock began anew, so a wall clock that is right is all there is."""
    again = await place.take_up(developing.reboot(START + span("6:00")))

    assert again.now() == at("6:00")
    assert again.found.away == span("5:00")
    assert again.found.unsure == ()


async def test_what_fell_due_across_a_boot_is_told(developing: HandClock, place: Place) -> None:
    """A power cut of a quarter of an hour does not hide a window."""
    again = await place.take_up(developing.reboot(START + span("16:00")))

    told = [(each.alert, again.label_of(each.cartridge)) for each in again.found.fell_due]
    assert (AlertKind.READ_NOW, "C1") in told
    assert (AlertKind.OVERDUE, "C2") in told
    assert (await again.enter(again.read())).accepted


@pytest.mark.parametrize(
    ("wall", "is_known"),
    [
        pytest.param(START + span("1:00") - 1, True, id="a millisecond before the last event"),
        pytest.param(DEAD_BATTERY, True, id="years before the last event"),
        pytest.param(START + span("6:00"), False, id="later, but the system vouches for nothing"),
    ],
)
async def test_a_wall_clock_that_cannot_be_right_makes_the_developing_unsure(
    developing: HandClock, place: Place, wall: int, is_known: bool
) -> None:
    """Nobody knows how long the strip has stood: that must be said, not guessed."""
    again = await place.take_up(developing.reboot(wall, wall_is_known=is_known))

    assert again.found.unsure == (again.cartridge("C1").id, again.cartridge("C2").id)
    assert again.cartridge("C1").unsure
    assert again.found.away == 0


async def test_a_wall_clock_at_the_last_event_itself_is_believed(
    developing: HandClock, place: Place
) -> None:
    """Only a clock before the last event is known to be wrong."""
    again = await place.take_up(developing.reboot(START + span("1:00")))

    assert again.found.unsure == ()


@pytest.mark.parametrize(
    ("wall", "is_known"),
    [
        pytest.param(START + span("960:00"), False, id="the next morning, on a computer by itself"),
        pytest.param(DEAD_BATTERY, True, id="years before"),
        pytest.param(START + span("960:00"), True, id="the next morning, by a clock that is known"),
    ],
)
async def test_what_is_done_after_a_restart_bears_the_time_on_the_wall(
    developing: HandClock, place: Place, wall: int, is_known: bool
) -> None:
    """Computers without a network never know theirs: results would leave a night too early each day."""
    again = await place.take_up(developing.reboot(wall, wall_is_known=is_known))

    assert wall_of(again.bay.board, again.now()) == again.clock.wall


async def test_what_was_never_recorded_of_a_clock_is_made_good_after_a_restart(
    work: Work, place: Place
) -> None:
    """Records of before such a thing was recorded would be wrong for ever."""
    await work.to_well("C1")
    work.clock.wall += 900
    await work.to_extract("C2", person="P-002")
    await work.die()
    again = await place.take_up(work.clock.reboot(START + span("960:00"), wall_is_known=False))

    assert wall_of(again.bay.board, again.now()) == again.clock.wall


async def test_what_was_done_before_a_restart_keeps_the_time_that_it_had(
    developing: HandClock, place: Place
) -> None:
    """A clock that is wrong today says nothing about yesterday."""
    again = await place.take_up(developing.reboot(DEAD_BATTERY))

    assert wall_of(again.bay.board, at("0:30")) == at("0:30")


async def test_the_doubt_stands_in_the_record(unsure: Work) -> None:
    """Whoever reads the journal later must see why no outcome could be taken."""
    doubts = [e.event for e in await unsure.stored() if isinstance(e.event, ClockUnsure)]

    running = (unsure.cartridge("C1").id, unsure.cartridge("C2").id)
    assert [each.cartridges for each in doubts] == [running]


async def test_the_doubt_outlives_the_next_restart(unsure: Work, place: Place) -> None:
    """A second restart must not wash a strip clean of its doubt."""
    await unsure.die()
    again = await place.take_up(unsure.clock)

    assert again.cartridge("C1").unsure
    assert await again.refused(again.read()) is RefusalCode.WINDOW_CLOSED


@pytest.mark.parametrize("waited", ["0:00", "2:00", "15:00"])
@pytest.mark.parametrize("kind", [Do.LOOK, Do.READ], ids=["a look", "a reading"])
async def test_no_outcome_is_taken_from_an_unsure_strip(
    unsure: Work, waited: str, kind: Do
) -> None:
    """A window that may have closed counts as closed."""
    unsure.clock.advance(waited)
    code = await unsure.refused(
        Entry(do=kind, by="op-1", cartridge="C1", control=True, test=Strength.CLEAR)
    )

    assert code is RefusalCode.WINDOW_CLOSED
    assert unsure.cartridge("C1").outcome is None


async def test_nothing_calls_for_a_reading_of_an_unsure_strip(unsure: Work) -> None:
    """READ NOW on a strip that may not be read would be a trap."""
    unsure.clock.advance("18:30")
    kinds = [kind for kind, label in await unsure.ring() if label == "C1"]

    assert kinds == []


async def test_a_wait_that_may_have_been_short_counts_as_short(unsure: Work) -> None:
    """The minute in the buffer starts from what is known to have passed: nothing."""
    unsure.clock.advance("0:59.999")

    assert await unsure.refused(unsure.step("withdraw", "C2")) is RefusalCode.WAIT_NOT_OVER


async def test_a_wait_goes_on_from_what_is_known(unsure: Work) -> None:
    """After a full minute on the new boot the swab may be withdrawn."""
    unsure.clock.advance("1:00")

    assert (await unsure.enter(unsure.step("withdraw", "C2"))).accepted


async def test_a_wait_that_may_have_been_long_counts_as_long(unsure: Work) -> None:
    """The swab may have stood for hours: the work may go on, but not as if it had not."""
    unsure.clock.advance("1:00")
    await unsure.must(unsure.step("withdraw", "C2"))

    assert [each.code for each in unsure.cartridge("C2").deviations] == ["extract-long"]


async def test_a_wait_of_unknown_length_is_overdue_at_once(unsure: Work) -> None:
    """Whoever comes back to the bench looks there first."""
    told = [(each.alert, unsure.label_of(each.cartridge)) for each in unsure.found.fell_due]

    assert (AlertKind.OVERDUE, "C2") in told


async def test_drops_that_fall_after_the_restart_are_timed_anew(unsure: Work) -> None:
    """The doubt is about the wait alone: a strip begun since is read like any other."""
    unsure.clock.advance("1:00")
    await unsure.must(unsure.step("withdraw", "C2"))
    await unsure.must(unsure.step("apply", "C2"))
    unsure.clock.advance("15:00")

    assert (await unsure.enter(unsure.read("C2"))).accepted


async def test_two_people_can_state_when_the_drops_fell(unsure: Work) -> None:
    """The time written on the plastic, read by two, gives the strip its window back."""
    unsure.clock.advance("16:00")
    answer = await unsure.enter(stating(earlier(unsure.now(), span("15:30"))))

    assert answer.accepted
    assert not unsure.cartridge("C1").unsure
    assert (await unsure.enter(unsure.read())).accepted


async def test_a_statement_needs_a_second_person(unsure: Work) -> None:
    """Two pairs of eyes, or it is one person's guess."""
    assert await unsure.refused(stating(unsure.now(), witness="op-1")) is RefusalCode.NOT_ALLOWED


async def test_a_witness_must_be_registered(unsure: Work) -> None:
    """A name nobody knows vouches for nothing."""
    code = await unsure.refused(stating(unsure.now(), witness="op-404"))

    assert code is RefusalCode.UNKNOWN_OPERATOR


async def test_a_window_stated_to_be_open_rings_at_once(unsure: Work) -> None:
    """What has fallen due by the stated time is announced, not lost in the past."""
    unsure.clock.advance("16:00")
    await unsure.must(stating(at("1:00")))

    assert [kind for kind, label in await unsure.ring() if label == "C1"] == [
        AlertKind.EARLY_LOOK,
        AlertKind.READ_NOW,
    ]


async def test_a_window_stated_to_be_closed_lapses(unsure: Work) -> None:
    """The drops fell longer ago than the window lasts: there is nothing left to read."""
    await unsure.must(stating(earlier(unsure.now(), span("20:00.001"))))
    await unsure.ring()

    assert unsure.cartridge("C1").stage is Stage.LAPSED


async def test_doubt_wider_than_the_window_voids_the_strip(unsure: Work) -> None:
    """No instant is left at which a reading would be safe either way."""
    unsure.clock.advance("20:00")
    await unsure.must(stating(at("4:00"), doubt=span("2:30.001")))

    assert unsure.cartridge("C1").stage is Stage.VOID


async def test_an_unsure_strip_lapses_when_the_known_time_alone_outlasts_its_window(
    unsure: Work,
) -> None:
    """However long the restart took, more than the whole window has passed since."""
    unsure.clock.advance("20:00.001")

    assert (AlertKind.LAPSED, "C1") in await unsure.ring()


async def test_a_sure_strip_takes_no_statement(work: Work) -> None:
    """A time that was measured is not replaced by one that is remembered."""
    await work.to_well()

    assert await work.refused(stating(work.now())) is RefusalCode.NOT_ALLOWED


@pytest.mark.parametrize(
    ("later", "is_unsure"),
    [
        pytest.param("5:00", True, id="the window was open at the last event"),
        pytest.param("5:00.001", False, id="it had closed by then"),
    ],
)
async def test_a_reading_is_corrected_no_more_after_a_restart_that_nobody_timed(
    work: Work, place: Place, later: str, is_unsure: bool
) -> None:
    """The window may have closed meanwhile, and a late look would become an outcome."""
    await work.to_well()
    work.clock.advance("15:00")
    await work.must(work.read())
    work.clock.advance(later)
    await work.must(work.label("C2", "P-002"))
    await work.die()
    again = await place.take_up(work.clock.reboot(DEAD_BATTERY))

    assert again.found.unsure == ((again.cartridge("C1").id,) if is_unsure else ())
    code = await again.refused(
        Entry(do=Do.CORRECT, by="op-1", cartridge="C1", control=True, test=Strength.FAINT)
    )
    assert code is RefusalCode.ALREADY_READ
