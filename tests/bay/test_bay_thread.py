"""The bay lives in a thread of its own; whoever shows it asks, and learns of its end."""

from __future__ import annotations

import asyncio
import gc
import threading
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import asynccontextmanager, suppress
from typing import TYPE_CHECKING

import pytest

from builders import private
from patience import PATIENCE_SECONDS
from readbell.assembly import live_bay
from readbell.bay.bay_thread import BayThread
from readbell.bay.errors import BayClosedError
from readbell.bay.opening import Founding
from readbell.core.board.acts import RegisterOperator
from readbell.core.board.events import Ending, Mode, ProgramStopped
from readbell.core.errors import ReadbellError
from readbell.journal.codec import decode
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained
from readbell.settings.site_settings import SiteSettings

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Iterator
    from pathlib import Path

    from readbell.bay.bay import Bay
    from readbell.bay.news import Answer, News, Return
    from readbell.core.board.event import Event

LIVE = Founding(bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE)


class BrokenError(Exception):
    """Whatever makes a bay die by itself."""


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of these bays may land in the folders of whoever runs the tests."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


@pytest.fixture
def told() -> list[News]:
    """What the bay's listener hears."""
    return []


@pytest.fixture
def thread(tmp_path: Path, told: list[News]) -> Iterator[BayThread]:
    """A live bay on the system's clock, started and in the end stopped."""
    bay = BayThread(
        lambda: live_bay(tmp_path / "bay.journal", LIVE, told.append, lambda: Ending.SIGNAL)
    )
    yield bay
    bay.stop()


def events_in(path: Path) -> list[Event]:
    """What stands in a journal that nobody has open."""
    journal = SqliteJournal.open(path, read_only=True)
    try:
        return [decode(each, journal.private).event for each in chained(journal)]
    finally:
        journal.close()


async def register(bay: Bay) -> Answer:
    """Register the first operator."""
    return await bay.do(RegisterOperator(by=None, operator=private("op-1")))


async def where(_: Bay) -> str:
    """Say in which thread the bay answers."""
    return threading.current_thread().name


async def break_it(bay: Bay) -> None:
    """Let the bay's own task fail, as a fault in the program would."""

    async def fail() -> None:
        raise BrokenError

    bay._scheduler._watch = fail
    bay._scheduler.look_again()


def test_starting_returns_what_is_to_be_told_first(thread: BayThread) -> None:
    """Whoever starts a bay shows first what happened while nobody watched."""
    found = thread.start()

    assert found.is_new


def test_a_question_is_answered_in_the_thread_of_the_bay(thread: BayThread) -> None:
    """The bay's parts are never touched by two threads at once."""
    thread.start()

    assert thread.ask(where) == "readbell-bay"


def test_an_act_asked_for_is_recorded_and_told(
    thread: BayThread, told: list[News], tmp_path: Path
) -> None:
    """The answer comes when the act is on the disk."""
    thread.start()
    answer = thread.ask(register)

    assert answer.accepted
    assert events_in(tmp_path / "bay.journal")[-1] == answer.events[0]
    assert answer.events in [each.events for each in told]


def test_a_screen_says_that_it_lives_without_waiting_for_anything(tmp_path: Path) -> None:
    """Before the bay is open and after it has ended nobody listens, and it does no harm."""
    path, site = tmp_path / "bay.journal", SiteSettings(bell=False)
    bay = BayThread(lambda: live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL, site))
    bay.beat()
    bay.in_hand("id-C1")
    bay.start()
    bay.beat()
    bay.in_hand("id-C2")

    async def known(bay: Bay) -> tuple[int, str | None]:
        assert bay._sounder is not None
        held = bay._sounder._held
        return bay._sounder.heartbeat._beats, None if held is None else held[0]

    assert bay.ask(known) == (1, "id-C2")
    bay.stop()
    bay.beat()
    bay.in_hand(None)


def test_a_silent_bay_takes_heartbeats_and_hands_for_nothing(thread: BayThread) -> None:
    """Whoever shows a bay need not know whether it can ring."""

    async def test(bay: Bay) -> bool:
        return (await bay.ring_test()).accepted

    thread.start()
    thread.beat()
    thread.in_hand("id-C1")

    assert thread.ask(test) is False


def test_a_failing_question_fails_for_the_asker_alone(thread: BayThread) -> None:
    """One bad question must not end a bay with strips on its bench."""

    async def fail(_: Bay) -> None:
        raise BrokenError

    thread.start()
    with pytest.raises(BrokenError):
        thread.ask(fail)

    assert thread.ask(register).accepted


def test_stopping_puts_the_clean_mark(tmp_path: Path) -> None:
    """When `stop` returns, the mark is on the disk."""
    path = tmp_path / "bay.journal"
    thread = BayThread(lambda: live_bay(path, LIVE, lambda _: None, lambda: Ending.END_OF_INPUT))
    thread.start()
    thread.stop()

    last = events_in(path)[-1]
    assert isinstance(last, ProgramStopped)
    assert last.why is Ending.END_OF_INPUT


def test_stopping_twice_does_no_harm(thread: BayThread) -> None:
    """A signal may come while the program is ending already."""
    thread.start()
    thread.stop()
    thread.stop()


def test_the_journal_is_free_once_the_bay_has_stopped(thread: BayThread, tmp_path: Path) -> None:
    """The next program must not be told that this one still writes."""
    thread.start()
    thread.stop()
    again = BayThread(
        lambda: live_bay(
            tmp_path / "bay.journal", LIVE, lambda _: None, lambda: Ending.END_OF_INPUT
        )
    )

    assert again.start().clean
    again.stop()


def test_a_bay_that_cannot_be_opened_tells_whoever_started_it(tmp_path: Path) -> None:
    """The reason belongs before the person who named the file."""
    path = tmp_path / "bay.journal"
    path.write_text("this is a shopping list, not a journal")
    thread = BayThread(lambda: live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL))

    with pytest.raises(ReadbellError, match="it is not a database"):
        thread.start()


def test_a_bay_that_could_not_be_opened_leaves_the_journal_free(tmp_path: Path) -> None:
    """A wrong time zone, mended, must not need a new file."""
    path = tmp_path / "bay.journal"
    wrong = Founding(bay="Harrow Quay", timezone="Nowhere/Bay", mode=Mode.LIVE)
    with pytest.raises(ReadbellError, match="time zone"):
        BayThread(lambda: live_bay(path, wrong, lambda _: None, lambda: Ending.SIGNAL)).start()
    thread = BayThread(lambda: live_bay(path, LIVE, lambda _: None, lambda: Ending.SIGNAL))

    assert thread.start().is_new
    thread.stop()


def test_a_second_bay_on_one_journal_is_refused(thread: BayThread, tmp_path: Path) -> None:
    """Two programs would ring and write past each other."""
    thread.start()
    second = BayThread(
        lambda: live_bay(tmp_path / "bay.journal", LIVE, lambda _: None, lambda: Ending.SIGNAL)
    )

    with pytest.raises(ReadbellError, match="another readbell is writing to this journal"):
        second.start()


def test_the_end_of_a_bay_is_told_in_every_case(thread: BayThread) -> None:
    """A screen over a bay that has ended must go dark, not pretend."""
    ended: Future[None] = Future()
    thread.start()
    thread.when_ended(lambda _: ended.set_result(None))
    thread.stop()

    assert ended.done()


def test_a_bay_that_dies_by_itself_is_reported(tmp_path: Path) -> None:
    """Silence from a dead bay would look like a quiet bench."""
    thread = BayThread(
        lambda: live_bay(
            tmp_path / "bay.journal", LIVE, lambda _: None, lambda: Ending.END_OF_INPUT
        )
    )
    ended: Future[None] = Future()
    thread.start()
    thread.when_ended(lambda _: ended.set_result(None))
    thread.ask(break_it)
    ended.result(PATIENCE_SECONDS)

    with pytest.raises(BrokenError):
        thread.stop()


def test_a_bay_that_died_by_itself_leaves_no_clean_mark(tmp_path: Path) -> None:
    """The next start must say that something went wrong."""
    path = tmp_path / "bay.journal"
    thread = BayThread(lambda: live_bay(path, LIVE, lambda _: None, lambda: Ending.END_OF_INPUT))
    thread.start()
    thread.ask(break_it)
    with pytest.raises(BrokenError):
        thread.stop()

    assert not isinstance(events_in(path)[-1], ProgramStopped)


def test_a_question_to_a_bay_that_has_ended_is_refused_and_leaves_nothing_behind(
    thread: BayThread,
) -> None:
    """Whoever asks too late must neither wait for ever nor be shown a crash."""
    thread.start()
    thread.stop()

    with pytest.raises(BayClosedError):
        thread.ask(where)

    gc.collect()  # a question that was never put would be complained of here


def test_a_question_under_way_as_the_bay_ends_is_refused(thread: BayThread) -> None:
    """It has no answer: what it asked for is not vouched for."""
    asked: Future[None] = Future()

    async def never(_: Bay) -> None:
        asked.set_result(None)
        await asyncio.Future()

    def ask() -> type[BaseException] | None:
        try:
            thread.ask(never)
        except BayClosedError as error:
            return type(error)
        return None

    thread.start()
    with ThreadPoolExecutor(max_workers=1) as elsewhere:
        error = elsewhere.submit(ask)
        asked.result(PATIENCE_SECONDS)
        thread.stop()

    assert error.result(PATIENCE_SECONDS) is BayClosedError


def test_a_bay_opened_by_something_else_runs_just_the_same(tmp_path: Path) -> None:
    """The thread knows nothing of files: what opens the bay is handed to it."""
    entered: list[str] = []

    @asynccontextmanager
    async def opened() -> AsyncIterator[tuple[Bay, Return]]:
        entered.append(threading.current_thread().name)
        async with live_bay(
            tmp_path / "other.journal", LIVE, lambda _: None, lambda: Ending.SIGNAL
        ) as found:
            yield found
        entered.append("left")

    thread = BayThread(opened)
    thread.start()
    thread.stop()

    assert entered == ["readbell-bay", "left"]


def test_no_asker_waits_for_a_bay_that_has_ended(thread: BayThread) -> None:
    """A screen that waited for ever would freeze at the very moment it should say why."""
    thread.start()
    ended: list[bool] = []

    def ask_on() -> None:
        with suppress(BayClosedError):
            while True:
                thread.ask(where)
        ended.append(True)

    askers = [threading.Thread(target=ask_on, daemon=True) for _ in range(4)]
    for asker in askers:
        asker.start()
    thread.stop()
    for asker in askers:
        asker.join(PATIENCE_SECONDS)

    assert ended == [True] * 4
