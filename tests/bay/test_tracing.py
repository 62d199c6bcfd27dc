"""A story is told from the record as it is read, and a glance takes a short way where there is one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import at
from core.board.erasing_bench import visit
from journal.samples import STAMP, Day
from readbell.bay import tracing
from readbell.bay.glance import glance
from readbell.bay.tracing import Bounds, awaiting_second, borne_on, story
from readbell.clock.simulated import SimulatedClock
from readbell.core.board.fold import replay
from readbell.core.board.trail import Trail
from readbell.core.cartridge.acts import TakeBackStep
from readbell.core.cartridge.events import CartridgeRead, StepDone, TakeBackReason
from readbell.core.cartridge.stage import Stage
from readbell.journal.codec import encode_each
from readbell.journal.envelope import Envelope
from readbell.journal.errors import BrokenChainError
from readbell.journal.record import Head
from readbell.journal.snapshot import taking
from readbell.journal.sqlite import SqliteJournal
from readbell.phrases.trace_words import retell

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.event import Event

TODAY = date(2026, 3, 29)


def put(events: list[Event]) -> SqliteJournal:
    """Return a journal in memory with `events`, each recorded when it happened."""
    journal = SqliteJournal.open(None)
    envelopes = [
        Envelope(
            id=f"event-{number}",
            event=event,
            stamp=replace(STAMP, at=event.at, wall=event.at),
            assay=None,
        )
        for number, event in enumerate(events, 1)
    ]
    journal.append(encode_each(envelopes, Head()), Head())
    return journal


@pytest.fixture
def day() -> Day:
    """A day on which two people were tested."""
    made = Day()
    visit(made, "C1", "P-001")
    visit(made, "C2", "P-002")
    return made


@pytest.fixture
def journal(day: Day) -> Iterator[SqliteJournal]:
    """That day in a journal."""
    found = put(day.events)
    yield found
    found.close()


@pytest.mark.parametrize("at_once", [1, 7, 5_000])
def test_each_line_is_told_with_the_board_as_it_was_then(
    journal: SqliteJournal, at_once: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However many events are taken in together by the way."""
    monkeypatch.setattr(tracing, "AT_ONCE", at_once)
    seen: list[int] = []
    told = list(story(journal, Trail(cartridges=("id-C2",)), Bounds(), seen.append))
    steps = [each for each in told if isinstance(each.event, StepDone)]
    first = steps[0].board.cartridge("id-C2")
    assert first is not None
    assert first.applied is None
    assert [len(each.board.running) for each in told][-1] == 0
    assert seen == list(range(1, journal.head().seq + 1))


def test_what_is_older_or_of_another_day_is_left_out(journal: SqliteJournal) -> None:
    """By the clock of the site, as it stood then."""
    everything = list(story(journal, Trail(), Bounds()))
    assert len(list(story(journal, Trail(), Bounds(day=TODAY)))) == len(everything)
    assert list(story(journal, Trail(), Bounds(day=date(2026, 3, 30)))) == []
    since = list(story(journal, Trail(), Bounds(since=at("10:00"))))
    assert {type(each.event) for each in since} == {CartridgeRead}


def test_what_the_first_reader_saw_is_told_to_nobody_before_the_second(
    journal: SqliteJournal, day: Day
) -> None:
    """Not by a trace either."""
    board = replay(day.events)
    cartridge = board.cartridge("id-C1")
    assert cartridge is not None
    waiting = replace(cartridge, stage=Stage.SECOND_READING_DUE)
    unseen = awaiting_second(replace(board, running={"id-C1": waiting}))
    assert unseen == {"id-C1"}
    told = list(story(journal, Trail(), Bounds(unseen=unseen)))
    assert [each.event.cartridge for each in told if isinstance(each.event, CartridgeRead)] == [
        "id-C2"
    ]
    assert any(isinstance(each.event, StepDone) for each in told)


def test_a_changed_event_ends_the_story(day: Day) -> None:
    """What was not written that way is not told."""
    journal = put(day.events)
    journal._connection.execute("DROP TRIGGER event_stays")
    journal._connection.execute("UPDATE event SET body = replace(body, 'L-100', 'L-999')")
    with pytest.raises(BrokenChainError):
        list(story(journal, Trail(), Bounds()))
    journal.close()


def test_a_label_is_found_by_the_day_on_which_it_was_given(journal: SqliteJournal) -> None:
    """It comes again after a shift."""
    assert borne_on(journal, "C2", TODAY) == "id-C2"
    assert borne_on(journal, "C2", date(2026, 3, 30)) is None
    assert borne_on(journal, "C", TODAY) is None


def test_a_glance_is_the_same_with_and_without_a_snapshot(day: Day) -> None:
    """And one that does not fit is passed over."""
    clock = SimulatedClock(at("30:00"), boot="boot-1")
    plain = put(day.events)
    board = glance(plain, clock).board
    assert board == replay(day.events)
    some = put(day.events[:-3])
    last, head = replace(STAMP, at=day.events[-4].at, wall=day.events[-4].at), some.head()
    (*_, written) = taking(replay(day.events[:-3]), last, head)
    assert written is not None
    assert plain.keep_snapshot(written.parts, written.stay, plain.erasures())
    assert glance(plain, clock).board == board
    (*_, wrong) = taking(board, last, Head(seq=3, hash=bytes(32)))
    assert wrong is not None
    assert plain.keep_snapshot(wrong.parts, wrong.stay, plain.erasures())
    assert glance(plain, clock).board == board
    for each in (plain, some):
        each.close()


def test_a_press_that_was_taken_back_is_told_as_it_was_and_so_is_what_was_done_in_its_place() -> (
    None
):
    """Three lines: each says what was so then, and the window of each is that of its own drops."""
    made = Day()
    made.to_well("C1", "P-001")
    act = TakeBackStep(aim=made.aim(), step="apply", reason=TakeBackReason.PRESSED_TOO_EARLY)
    made.must(act, "2:40")
    made.must(made.step_act("apply"), "3:10")
    told = [
        retell(each.event, each.board, each.face)
        for each in story(put(made.events), Trail(cartridges=("id-C1",)), Bounds())
    ]

    assert [each.partition("  ")[2] for each in told[-3:]] == [
        "Drops onto the well: done. Read it from 01:10:50 to 01:15:50.",
        (
            "Drops onto the well, confirmed 00:55:50: taken back, pressed too early. "
            "Confirm it once it is done."
        ),
        "Drops onto the well: done. Read it from 01:11:30 to 01:16:30.",
    ]
