"""Rehearsals: a scenario played by itself, or attempted by somebody, through a bay of its own.

Beside the assembly the only file that names concrete parts. What one of the two ways has
no use for is imported by the function that needs it.
"""

from __future__ import annotations

import hashlib
from contextlib import asynccontextmanager
from typing import TYPE_CHECKING

from readbell.alert.alarm import Alarm
from readbell.alert.bell import TerminalBell
from readbell.assembly import library, old_journal, ready_place
from readbell.bay.bay import Bay
from readbell.bay.identifiers import DerivedIdentifiers
from readbell.bay.opening import Founding
from readbell.bay.recorder import Recorder
from readbell.bay.site_time import time_zone
from readbell.core.board.events import Ending, Mode
from readbell.core.cartridge.events import AlertRaised
from readbell.core.errors import ReadbellError
from readbell.core.made_later import dataclass
from readbell.core.practice.assist import Assist
from readbell.journal.errors import JournalError
from readbell.journal.keeper import Keeper
from readbell.journal.lock import JournalLock
from readbell.journal.sqlite import SqliteJournal
from readbell.phrases.clock_time import ClockFace
from readbell.settings.version import program_version
from readbell.toml_tables import WrongFileError, read_text

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable
    from pathlib import Path

    from readbell.bay.desk import Desk
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import Answer, Listener, News, Return
    from readbell.bay.rehearsal import Method
    from readbell.bay.rehearsal_replay import PlayedAgain
    from readbell.clock.clock import Clock
    from readbell.clock.paced import PacedClock
    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.board.entry import Entry
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.rehearsal.scenario import Scenario
    from readbell.journal.record import Head

REHEARSAL_BAY = "rehearsal"
REHEARSAL_STATION = "rehearsal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A scenario with its assays, checked, and the digest everything follows from."""

    scenario: Scenario
    methods: dict[str, Method]
    digest: bytes
    face: ClockFace


def load_script(path: Path) -> Script:
    """Return the scenario in the file `path`, with the assays it names.

    Raises:
        WrongFileError: the file, or an assay or a time zone it names, is wrong.
    """
    return script_of(read_text(path), path)


def script_of(text: str, path: Path) -> Script:
    """Return the scenario that `text` writes; `path` is where it stands, or is to stand.

    Raises:
        WrongFileError: the text, or an assay or a time zone it names, is wrong.
    """
    from readbell.assays.content_hash import content_hash
    from readbell.bay.rehearsal import Method
    from readbell.core.rehearsal.check import faults_of
    from readbell.scenarios.scenario_file import read_scenario

    scenario = read_scenario(text, str(path))
    shelf = library()
    try:
        zone = time_zone(scenario.timezone)
        found = {
            reference: shelf.find(reference, path.parent)
            for reference in sorted(
                {
                    scenario.assay,
                    *(lot.assay for lot in scenario.lots),
                    *(each.assay for each in scenario.samples),
                }
            )
        }
    except ReadbellError as error:
        raise WrongFileError([f"{path}: {error}"]) from None
    methods = {
        reference: Method(assay=assay, content_hash=content_hash(assay))
        for reference, assay in found.items()
    }
    faults = list(faults_of(scenario, [method.assay for method in methods.values()]))
    if faults:
        raise WrongFileError([f"{path}: {fault}" for fault in faults])
    # Same file, same assays: same run, to the last byte.
    digest = hashlib.sha256(text.encode())
    for method in methods.values():
        digest.update(method.content_hash.encode())
    return Script(
        scenario=scenario,
        methods=methods,
        digest=digest.digest(),
        face=ClockFace(zone=zone),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What a rehearsal came to."""

    starts: Instant
    ends: Instant
    alerts: list[AlertRaised]
    board: Board
    head: Head


async def rehearse(
    script: Script,
    journal: Path | None,
    pace: float | None,
    listener: Listener,
    told: Callable[[Entry, Answer], None],
    practised: Path | None = None,
) -> Run:
    """Play `script` by itself; keep its journal only where `journal` says so.

    With `practised`, the journal of somebody who sat at the keys, their acts are played.

    Raises:
        JournalError: something stands at `journal` already, or it cannot be made; or what was
            practised cannot be played again, and the text says why.
    """
    from readbell.bay.rehearsal import PLAYER_RANK, Rehearsal
    from readbell.clock.simulated import SimulatedClock

    identifiers = DerivedIdentifiers(script.digest)
    clock = SimulatedClock(
        script.scenario.starts,
        boot=identifiers.new("boot"),
        naps=tuple((nap.shut, nap.open) for nap in script.scenario.naps),
        pace=pace,
    )
    played = None if practised is None else _played_in(practised, script, identifiers)
    keeper = Keeper(_new_journal(journal), journal)
    recorder = _recorder(keeper, clock, identifiers)
    alerts: list[AlertRaised] = []

    def note(news: News) -> None:
        alerts.extend(each for each in news.events if isinstance(each, AlertRaised))
        listener(news)

    recorder.subscribe(note)
    bay = Bay(recorder=recorder, keeper=keeper, clock=clock, identifiers=identifiers)
    sleeper = clock.sleeper(PLAYER_RANK)
    await bay.open(_practice(script.scenario))
    rehearsal = Rehearsal(
        bay=bay,
        scenario=script.scenario,
        methods=script.methods,
        identifiers=identifiers,
        sleeper=sleeper,
        told=told,
        played_again=played,
    )
    await rehearsal.play()
    return Run(
        starts=rehearsal.starts,
        ends=bay.now(),
        alerts=alerts,
        board=bay.board,
        head=keeper.head,
    )


def steered_clock(script: Script) -> PacedClock:
    """Return the clock of a rehearsal with a person at the keys; it stands still."""
    from readbell.clock.paced import PacedClock

    return PacedClock(
        script.scenario.starts,
        boot=DerivedIdentifiers(script.digest).new("boot"),
        naps=tuple((nap.shut, nap.open) for nap in script.scenario.naps),
    )


class Attempt:
    """One attempt of somebody at a scenario.

    Args:
        script: what is attempted.
        journal: a file that is not there yet.
        clock: steered by whoever sits at the keys.
        assist: how much help they get.
        trainee: who that is, as they said.
        sounds: whether the bell of the terminal rings.
    """

    def __init__(
        self,
        script: Script,
        journal: Path,
        clock: PacedClock,
        assist: Assist,
        *,
        trainee: str | None = None,
        sounds: bool = True,
    ) -> None:
        self._script = script
        self._journal = journal
        self._clock = clock
        self._assist = assist
        self._trainee = trainee
        self._sounds = sounds and assist is not Assist.SILENT
        # Of bay and desk: none is ever given twice.
        self._ids = DerivedIdentifiers(script.digest + _ATTENDED)

    def desk(self) -> Desk:
        """Return the desk that serves it and keeps what is asked."""
        return _desk(self._script, self._ids)

    @asynccontextmanager
    async def bay(self, listener: Listener) -> AsyncIterator[tuple[Bay, Return]]:
        """Open its bay, everything set up, for as long as the context lasts.

        Raises:
            JournalError: something stands at the journal's place, or it cannot be made.
        """
        journal = ready_place(self._journal)
        stored = _new_journal(journal)  # before the lock, which would leave a file beside it
        lock = JournalLock(journal)
        lock.take()
        alarm = Alarm(bell=TerminalBell.find(), command=None) if self._sounds else None
        try:
            keeper = Keeper(stored, journal)
            recorder = _recorder(keeper, self._clock, self._ids)
            recorder.subscribe(listener)
            bay = Bay(
                recorder=recorder,
                keeper=keeper,
                clock=self._clock,
                identifiers=self._ids,
                bell=alarm,
            )
            try:
                found = await bay.open(_practice(self._script.scenario))
                await self._set_up(bay)
                yield bay, found
                await bay.close(Ending.LEFT)
            finally:
                await keeper.close()
        finally:
            if alarm is not None:
                alarm.close()
            lock.release()

    async def _set_up(self, bay: Bay) -> None:
        from readbell.bay.rehearsal_setup import set_up
        from readbell.core.practice.acts import BeginPractice
        from readbell.core.private import Private

        def private(value: str) -> Private:
            return Private(key=self._ids.new("key"), salt=self._ids.new("salt"), value=value)

        scenario = self._script.scenario
        for act in list(set_up(scenario, self._script.methods, private, attended=True)):
            await bay.do(act)
        await bay.do(
            BeginPractice(
                scenario=self._script.digest.hex(),
                title=scenario.title,
                assist=self._assist,
                trainee=None if self._trainee is None else private(self._trainee),
            )
        )


_ATTENDED = b"attended"
"""Set behind a digest: an attempt and the script played by itself share no id."""


def _recorder(keeper: Keeper, clock: Clock, identifiers: Identifiers) -> Recorder:
    return Recorder(
        keeper=keeper,
        clock=clock,
        identifiers=identifiers,
        station=REHEARSAL_STATION,
        program=program_version(),
    )


def _desk(script: Script, identifiers: Identifiers) -> Desk:
    from readbell.bay.rehearsal_desk import RehearsalDesk

    def find(reference: str) -> tuple[Assay, str]:
        for method in script.methods.values():
            if method.assay.id == reference:
                return method.assay, method.content_hash
        msg = f"assay {reference!r} is not one of this rehearsal: name one that its file names"
        raise WrongFileError([msg])

    return RehearsalDesk(identifiers=identifiers, find_assay=find)


def events_in(journal: Path) -> list[Event]:
    """Return every event of `journal`, in order.

    Raises:
        JournalError: there is no journal, or it is broken.
    """
    from readbell.journal.codec import decode
    from readbell.journal.verify import chained

    source = old_journal(journal)
    try:
        return [decode(each, source.private).event for each in chained(source)]
    finally:
        source.close()


def _played_in(journal: Path, script: Script, identifiers: Identifiers) -> PlayedAgain:
    from readbell.bay.rehearsal_replay import NotPlayableError, played_again

    try:
        desk = _desk(script, identifiers)
        return played_again(events_in(journal), script.digest.hex(), desk)
    except NotPlayableError as error:
        msg = f"{journal}: {error}"
        raise JournalError(msg) from None


def _practice(scenario: Scenario) -> Founding:
    return Founding(
        bay=REHEARSAL_BAY,
        timezone=scenario.timezone,
        mode=Mode.REHEARSAL,
        policy=scenario.policy,
    )


def _new_journal(path: Path | None) -> SqliteJournal:
    if path is not None and path.exists():
        msg = f"{path}: something stands there already: a rehearsal begins a new journal"
        raise JournalError(msg)
    return SqliteJournal.open(path)
