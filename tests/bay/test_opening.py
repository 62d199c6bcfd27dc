"""Taken up again after any end: every cartridge where it was, and what was missed told first."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, NEGATIVE, Bench, at, span
from readbell.bay.opening import in_time, moment_of
from readbell.core.board.events import BayFounded, Mode, ProgramStarted, ProgramStopped
from readbell.core.cartridge.countdown import countdown
from readbell.core.cartridge.events import AlertKind
from readbell.core.cartridge.stage import Stage
from readbell.core.errors import ReadbellError
from readbell.core.reading.interpretation import Outcome

if TYPE_CHECKING:
    from bay.conftest import Place, Work
    from readbell.core.cartridge.cartridge import Cartridge


async def test_a_restart_finds_the_board_as_it_was(work: Work, place: Place) -> None:
    """All that anybody was shown is in the record, so nothing lives in memory alone."""
    await work.to_well("C1")
    await work.to_extract("C2", person="P-002")
    before = work.bay.board
    await work.die()
    again = await place.take_up(work.clock)

    after = again.bay.board
    assert (after.running, after.ended, after.labels) == (
        before.running,
        before.ended,
        before.labels,
    )
    assert (after.lots, after.operators, after.persons, after.history) == (
        before.lots,
        before.operators,
        before.persons,
        before.history,
    )


async def test_countdowns_are_right_after_a_restart(work: Work, place: Place) -> None:
    """The time the program was down counts as time."""
    await work.to_well()
    await work.die()
    work.clock.advance("4:30")
    again = await place.take_up(work.clock)

    count = countdown(again.cartridge(), again.now())
    assert count is not None
    assert count.seconds_left(again.now()) == 10 * 60 + 30


async def test_what_fell_due_while_nobody_watched_is_told_first(work: Work, place: Place) -> None:
    """The first thing on the screen is what somebody must now run to."""
    await work.to_well()
    await work.die()
    work.clock.advance("15:00")
    again = await place.take_up(work.clock)

    assert [each.alert for each in again.found.fell_due] == [
        AlertKind.EARLY_LOOK,
        AlertKind.READ_NOW,
    ]
    assert [each.due for each in again.found.fell_due] == [at("3:00"), at("16:00")]


async def test_what_lapsed_while_nobody_watched_has_ended_invalid(work: Work, place: Place) -> None:
    """The strip closed on its own time, not on the program's."""
    await work.to_well()
    await work.die()
    work.clock.advance("20:00.001")
    again = await place.take_up(work.clock)

    assert again.found.fell_due[-1].alert is AlertKind.LAPSED
    assert (again.cartridge().stage, again.cartridge().outcome) == (
        Stage.LAPSED,
        Outcome.INVALID,
    )


async def test_a_window_that_is_open_to_its_last_millisecond_is_found_open(
    work: Work, place: Place
) -> None:
    """One millisecond decides about a person's test, across a restart too."""
    await work.to_well()
    await work.die()
    work.clock.advance("20:00")
    again = await place.take_up(work.clock)

    assert AlertKind.LAPSED not in [each.alert for each in again.found.fell_due]
    assert (await again.enter(again.read())).accepted


async def test_alerts_raised_before_are_not_raised_again(work: Work, place: Place) -> None:
    """A restart must not ring everything that was long seen to."""
    await work.to_well()
    work.clock.advance("15:00")
    await work.ring()
    await work.die()
    again = await place.take_up(work.clock)

    assert again.found.fell_due == ()
    assert await again.ring() == []


async def test_alerts_still_to_come_ring_after_a_restart(work: Work, place: Place) -> None:
    """Deadlines are worked out from the record, not remembered."""
    await work.to_well()
    await work.die()
    again = await place.take_up(work.clock)
    again.clock.advance("2:00")

    assert again.bay.next_due() == at("3:00")
    assert await again.ring() == [(AlertKind.EARLY_LOOK, "C1")]


async def test_a_killed_program_is_told_to_have_ended_unclean(work: Work, place: Place) -> None:
    """People must know that the last run did not end of its own accord."""
    await work.die()
    work.clock.advance("0:40")
    again = await place.take_up(work.clock)

    assert (again.found.is_new, again.found.clean) == (False, False)
    assert again.found.away == span("0:40")


async def test_a_program_that_ended_by_itself_is_told_to_have_ended_cleanly(
    work: Work, place: Place
) -> None:
    """The clean mark is the last event, and nothing else makes a start clean."""
    await work.close()
    again = await place.take_up(work.clock)

    assert again.found.clean is True


async def test_a_clean_end_does_not_vouch_for_the_run_after_it(work: Work, place: Place) -> None:
    """Only the last run's own mark counts."""
    await work.close()
    await (await place.take_up(work.clock)).die()
    third = await place.take_up(work.clock)

    assert third.found.clean is False


async def test_a_new_bay_is_clean_and_owes_nothing(place: Place) -> None:
    """A first start must not frighten anybody."""
    found = (await place.take_up()).found

    assert (found.is_new, found.clean, found.away, found.fell_due) == (True, True, 0, ())


async def test_each_start_says_how_long_nobody_watched_and_what_ran(
    work: Work, place: Place
) -> None:
    """The record itself must show the gap in which no alarm could ring."""
    await work.to_well()
    await work.die()
    work.clock.advance("0:10")
    again = await place.take_up(work.clock)

    starts = [e.event for e in await again.stored() if isinstance(e.event, ProgramStarted)]
    assert starts[-1] == ProgramStarted(at=at("1:10"), clean=False, away=span("0:10"), running=1)


async def test_the_founding_is_written_once(work: Work, place: Place) -> None:
    """A bay keeps the name and the time zone its journal began with."""
    await work.die()
    again = await place.take_up(work.clock, timezone="Europe/London")

    foundings = [e.event for e in await again.stored() if isinstance(e.event, BayFounded)]
    assert [each.timezone for each in foundings] == ["UTC"]


@pytest.mark.parametrize(
    ("first", "then"),
    [
        pytest.param(Mode.REHEARSAL, Mode.LIVE, id="a rehearsal as live"),
        pytest.param(Mode.LIVE, Mode.REHEARSAL, id="a live one as rehearsal"),
    ],
)
async def test_a_journal_is_never_taken_up_in_the_other_mode(
    place: Place, first: Mode, then: Mode
) -> None:
    """Practice must never be taken for patients, nor patients for practice."""
    work = await place.take_up(mode=first)
    await work.close()

    with pytest.raises(ReadbellError, match=f"of a {first} bay and stays so for ever") as refused:
        await place.take_up(work.clock, mode=then)

    assert "name another file" in str(refused.value)


async def test_a_journal_refused_for_its_mode_is_left_as_it_was(place: Place) -> None:
    """Trying the wrong file must not leave a trace in somebody's record."""
    work = await place.take_up(mode=Mode.REHEARSAL)
    await work.close()
    with pytest.raises(ReadbellError):
        await place.take_up(work.clock, mode=Mode.LIVE)
    again = await place.take_up(work.clock, mode=Mode.REHEARSAL)

    kinds = [type(each.event) for each in await again.stored()]
    assert kinds == [BayFounded, ProgramStarted, ProgramStopped, ProgramStarted]


async def test_an_unknown_time_zone_is_refused_before_anything_is_written(place: Place) -> None:
    """A journal founded in no zone could show nobody the time."""
    with pytest.raises(ReadbellError, match="time zone 'Nowhere/Bay' is not known"):
        await place.take_up(timezone="Nowhere/Bay")

    assert (await place.take_up()).found.is_new


async def test_the_moment_of_an_event_is_what_its_stamp_says(work: Work) -> None:
    """The next run joins its time line to this and to nothing else."""
    stamp = (await work.stored())[-1].stamp
    moment = moment_of(stamp)

    assert (moment.at, moment.wall, moment.counting, moment.boot) == (
        stamp.at,
        stamp.wall,
        stamp.counting,
        stamp.boot,
    )


def ended(label: str, *, read: str | None, closes: str = "20:00") -> Cartridge:
    """A cartridge that was read at that time, dropped fifteen minutes before; None: void."""
    bench = Bench(replace(NASAL, reading=replace(NASAL.reading, closes=span(closes))))
    if read is None:
        bench.label(label)
        bench.must(bench.void_act(label))
        return bench.cartridge(label)
    made = bench.to_well(label)
    assert made.applied is not None
    begun = at(read) - span("15:00") - made.applied.said
    bench.must(bench.read_act(NEGATIVE, label), "17:30")
    found = bench.cartridge(label)
    assert found.reading is not None
    moved = [
        replace(
            mark,
            done=replace(
                mark.done,
                **{
                    name: getattr(mark.done, name) + begun
                    for name in ("said", "earliest", "latest")
                },
            ),
        )
        for mark in found.marks
    ]
    reading = replace(found.reading, at=at(read))
    return replace(found, marks=tuple(moved), reading=reading)


class Counted(dict[str, "Cartridge"]):
    """A mapping that knows which of its values were looked at."""

    def __init__(self, cartridges: list[Cartridge]) -> None:
        super().__init__({each.id: each for each in cartridges})
        self.looked_at: list[str] = []

    def __getitem__(self, key: str) -> Cartridge:
        self.looked_at.append(key)
        return super().__getitem__(key)


def test_what_was_read_long_before_the_last_event_is_not_looked_at() -> None:
    """After years nearly all of it was, and somebody waits for the board."""
    old = [ended(f"C{number}", read=f"{number}:00:00") for number in range(1, 50)]
    latest = [ended("C60", read="60:01:00"), ended("C61", read=None), ended("C62", read="60:02:00")]
    kept = Counted([*old, *latest])
    board = replace(Bench().board, ended=kept)

    assert in_time(board, at("60:05:00")) == ("id-C60", "id-C62")
    assert kept.looked_at == ["id-C62", "id-C61", "id-C60", "id-C49"]
    assert in_time(board, at("60:06:00")) == ("id-C60", "id-C62")
    assert in_time(board, at("60:06:00.001")) == ("id-C62",)
    assert in_time(board, at("61:00:00")) == ()


def test_where_no_close_is_stated_a_reading_may_be_corrected_for_its_five_minutes() -> None:
    """And is found for as long."""
    bench = Bench(replace(NASAL, reading=replace(NASAL.reading, closes=None)))
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    assert in_time(bench.board, at("23:00")) == ("id-C1",)
    assert in_time(bench.board, at("23:00.001")) == ()
