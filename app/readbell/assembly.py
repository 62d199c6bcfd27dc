"""Where the parts are put together: the only file that names concrete ones.

What a live bay has no use for is imported by the function that needs it, so that
a board opens sooner.
"""

from __future__ import annotations

import asyncio
import hashlib
from contextlib import asynccontextmanager, contextmanager, suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from readbell.alert.alarm import Alarm
from readbell.alert.bell import TerminalBell
from readbell.alert.command import SoundCommand
from readbell.bay.aside import beside
from readbell.bay.bay import Bay
from readbell.bay.desk import Desk
from readbell.bay.identifiers import DerivedIdentifiers, RandomIdentifiers
from readbell.bay.opening import Founding
from readbell.bay.recorder import Recorder
from readbell.bay.site_time import time_zone
from readbell.bay.thermometers import hear_thermometer
from readbell.clock.system import SystemClock, clock_is_set
from readbell.core.board.events import Ending, Mode
from readbell.core.board.sound import HEARD
from readbell.core.cartridge.events import AlertRaised
from readbell.core.errors import ReadbellError
from readbell.core.instant import SECOND, Span
from readbell.hand.scene import AtHand
from readbell.hand.shelf import Shelf
from readbell.journal.errors import JournalError
from readbell.journal.keeper import Keeper
from readbell.journal.lock import JournalLock
from readbell.journal.locked import KEYRING
from readbell.journal.pin_file import PinFile, pins_beside
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.taking_up import sound_journal
from readbell.phrases.clock_time import ClockFace
from readbell.settings.places import assay_folder, spill_folders, station_name
from readbell.settings.version import program_version
from readbell.toml_tables import WrongFileError, read_text

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable, Iterator, Sequence
    from pathlib import Path

    from readbell.assays.library import Library
    from readbell.bay.news import Answer, Listener, News, Return
    from readbell.bay.rehearsal import Method
    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.board.entry import Entry
    from readbell.core.climate.events import ThermometerFault, Where
    from readbell.core.instant import Instant
    from readbell.core.rehearsal.scenario import Scenario
    from readbell.core.shift.checks import Facts
    from readbell.journal.record import Head
    from readbell.settings.site_settings import SiteSettings

LOOK_EACH = Span(250)
"""How often an onlooker looks again."""
REHEARSAL_BAY = "rehearsal"
REHEARSAL_STATION = "rehearsal"


def library() -> Library:
    """Return every assay at hand: the site's own, then the bundled ones."""
    from readbell.assays.library import Library

    return Library(folders=(assay_folder(),))


def shelf() -> Sequence[AtHand]:
    """Return the assays at hand by id and title, to be chosen from."""
    return Shelf(lambda: (AtHand(id=each.id, title=each.title) for each in library().every()))


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
    from readbell.assays.content_hash import content_hash
    from readbell.bay.rehearsal import Method
    from readbell.core.rehearsal.check import faults_of
    from readbell.scenarios.scenario_file import read_scenario

    text = read_text(path)
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
) -> Run:
    """Play `script` by itself; keep its journal only where `journal` says so.

    Raises:
        JournalError: something stands at `journal` already, or it cannot be made.
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
    keeper = Keeper(_new_journal(journal), journal)
    recorder = Recorder(
        keeper=keeper,
        clock=clock,
        identifiers=identifiers,
        station=REHEARSAL_STATION,
        program=program_version(),
    )
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
    )
    await rehearsal.play()
    return Run(
        starts=rehearsal.starts,
        ends=bay.now(),
        alerts=alerts,
        board=bay.board,
        head=keeper.head,
    )


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


def _old_journal(path: Path) -> SqliteJournal:
    if not path.is_file():
        msg = f"{path}: there is no journal: check the name"
        raise JournalError(msg)
    return SqliteJournal.open(path, read_only=True)


def ready_place(journal: Path) -> Path:
    """Return the one true path of `journal`, its folder made: by two names it is one journal."""
    try:
        journal.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        msg = f"{journal.parent}: {error.strerror}: choose a folder you may write in"
        raise JournalError(msg) from None
    return journal.resolve()


def desk(journal: Path | None = None) -> Desk:
    """Return the desk that turns lines into acts, with the assays of this computer.

    The PINs of the bay in `journal` are kept beside it; without one none can be.
    """

    def find(reference: str) -> tuple[Assay, str]:
        from readbell.assays.content_hash import content_hash

        assay = library().find(reference)
        return assay, content_hash(assay)

    pins = None if journal is None else PinFile(pins_beside(journal.resolve()))

    def look_about(board: Board) -> Facts:
        from readbell.settings.own_facts import own_facts

        def hash_of(reference: str) -> str | None:
            try:
                return find(reference)[1]
            except ReadbellError:
                return None

        place = None if journal is None else journal.resolve()
        return own_facts(board, place, clock_is_set=clock_is_set(), hash_of=hash_of)

    return Desk(identifiers=RandomIdentifiers(), find_assay=find, pins=pins, look_about=look_about)


async def follow(journal: Path, *, once: bool = False) -> AsyncIterator[News]:
    """Yield how the bay in `journal` stands, then everything its program records.

    Raises:
        JournalError: there is no journal, or it cannot be read.
    """
    from readbell.bay.onlooker import Onlooker
    from readbell.bay.rehearsal import PLAYER_RANK

    source = _old_journal(journal)
    clock = SystemClock()
    onlooker, sleeper = (
        Onlooker(source, journal, spill_folders(), clock),
        clock.sleeper(PLAYER_RANK),
    )
    try:
        seen = onlooker.look()
        yield seen
        while not once:
            await sleeper.sleep(LOOK_EACH)
            news = onlooker.look()
            if news.events or news.not_saved != seen.not_saved:
                yield news
            seen = news
    finally:
        source.close()


def alarm_of(site: SiteSettings) -> Alarm:
    """Return what makes the sounds of a bay, as far as this site and this terminal have it."""
    return Alarm(
        bell=TerminalBell.find() if site.bell else None,
        command=SoundCommand(site.sound_command) if site.sound_command else None,
    )


@contextmanager
def _listened_to(site: SiteSettings | None, bay: Bay) -> Iterator[None]:
    """Listen to the thermometers of the site that speak for themselves, while the context lasts."""
    from readbell.instruments.thermometer import Thermometer

    loop = asyncio.get_running_loop()

    def ear(where: Where) -> Callable[[float | ThermometerFault], None]:
        def told(said: float | ThermometerFault) -> None:
            with suppress(RuntimeError):  # the bay and its loop may just have ended
                asyncio.run_coroutine_threadsafe(hear_thermometer(bay, where, said), loop)

        return told

    commands = {} if site is None else site.thermometers
    thermometers = [Thermometer(each, ear(where)) for where, each in commands.items() if each]
    for each in thermometers:
        each.start()
    try:
        yield
    finally:
        for each in thermometers:
            each.close()


@asynccontextmanager
async def live_bay(
    journal: Path,
    founding: Founding,
    listener: Listener,
    why_closed: Callable[[], Ending],
    site: SiteSettings | None = None,
    *,
    quiet: bool = False,
) -> AsyncIterator[tuple[Bay, Return]]:
    """Take up the live bay in `journal` for as long as the context lasts.

    It sounds as `site` says; without one, or if it is to be `quiet`, it is silent.

    Raises:
        InUseError: another program is writing to it.
        JournalError: it cannot be used; the text says why.
    """
    journal = ready_place(journal)
    lock = JournalLock(journal)
    lock.take()
    alarm = None if site is None or quiet else alarm_of(site)
    try:
        clock, identifiers = SystemClock(), RandomIdentifiers()
        stored, snapshot = sound_journal(journal)
        keeper = Keeper(stored, journal, spill_folders())
        recorder = Recorder(
            keeper=keeper,
            clock=clock,
            identifiers=identifiers,
            station=station_name(),
            program=program_version(),
            snapshot=snapshot,
        )
        recorder.subscribe(listener)
        bay = Bay(
            recorder=recorder,
            keeper=keeper,
            clock=clock,
            identifiers=identifiers,
            bell=alarm,
            rest=HEARD if site is None else Span(site.heard_seconds * SECOND),
            asides=beside(journal, stored, snapshot, recorder, keeper, clock, KEYRING.of(journal)),
        )
        try:
            if site is not None:
                founding = replace(founding, policy=site.policy.to_policy())
            found = await bay.open(founding)
            with _listened_to(site, bay):
                yield bay, found
            await bay.close(why_closed())
        finally:
            # Whatever went wrong: nothing is written any more once the lock is given back.
            await keeper.close()
    finally:
        if alarm is not None:
            alarm.close()
        lock.release()
