"""Where the parts are put together: beside `rehearsals` the only file that names concrete ones.

What a live bay has no use for is imported by the function that needs it, so that
a board opens sooner.
"""

from __future__ import annotations

import asyncio
from contextlib import asynccontextmanager, contextmanager, suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.alert.alarm import Alarm
from readbell.alert.bell import TerminalBell
from readbell.alert.command import SoundCommand
from readbell.bay.aside import beside
from readbell.bay.bay import Bay
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.bay.receipts import RANK, entering_receipts
from readbell.bay.recorder import Recorder
from readbell.clock.system import SystemClock, clock_is_set
from readbell.core.board.sound import HEARD
from readbell.core.errors import ReadbellError
from readbell.core.instant import SECOND, Span
from readbell.hand.scene import AtHand
from readbell.hand.shelf import Shelf
from readbell.journal.errors import JournalError, LinkLostError
from readbell.journal.keeper import Keeper
from readbell.journal.lock import JournalLock
from readbell.journal.locked import KEYRING
from readbell.journal.openings import forget_openings, take_openings
from readbell.journal.pin_file import PinFile, pins_beside
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.taking_up import sound_journal
from readbell.settings.places import assay_folder, spill_folders, station_name
from readbell.settings.station_file import (
    is_station_file,
    read_station_file,
    record_of,
    refuse_mirror,
)
from readbell.settings.version import program_version

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable, Iterable, Iterator, Sequence
    from pathlib import Path

    from readbell.assays.library import Library
    from readbell.bay.lookout import Looking
    from readbell.bay.lookout_thread import LookoutThread
    from readbell.bay.news import Listener, News, Return
    from readbell.bay.onlooker import Onlooker
    from readbell.bay.opening import Founding
    from readbell.bay.pins import Pins
    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.board.events import Ending
    from readbell.core.climate.events import ThermometerFault, Where
    from readbell.core.results.telling import ResultTold
    from readbell.core.shift.checks import Facts
    from readbell.settings.site_settings import SiteSettings

LOOK_EACH = Span(250)
"""How often an onlooker looks again."""


def library() -> Library:
    """Return every assay at hand: the site's own, then the bundled ones."""
    from readbell.assays.library import Library

    return Library(folders=(assay_folder(),))


def shelf() -> Sequence[AtHand]:
    """Return the assays at hand with their figures, to be chosen from."""
    return Shelf(lambda: map(_at_hand, library().every()))


def _at_hand(assay: Assay) -> AtHand:
    from readbell.phrases.assay_words import say_figures

    return AtHand(id=assay.id, title=assay.title, figures=say_figures(assay))


def old_journal(path: Path) -> SqliteJournal:
    """Return the journal in `path`, or the mirror of that station file, to be read alone.

    Raises:
        JournalError: there is none, or it cannot be read.
    """
    if not path.is_file():
        msg = f"{path}: there is no journal: check the name"
        raise JournalError(msg)
    return SqliteJournal.open(record_of(path), read_only=True)


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

    def hand_over(board: Board, telling: ResultTold) -> object:
        from readbell.bay.slip_desk import hand_over

        return hand_over(board, telling)

    def find(reference: str) -> tuple[Assay, str]:
        from readbell.assays.content_hash import content_hash

        assay = library().find(reference)
        return assay, content_hash(assay)

    pins = None if journal is None else _pins_of(journal.resolve())

    def look_about(board: Board) -> Facts:
        from readbell.settings.own_facts import own_facts

        def hash_of(reference: str) -> str | None:
            try:
                return find(reference)[1]
            except ReadbellError:
                return None

        place = None if journal is None else journal.resolve()
        return own_facts(board, place, clock_is_set=clock_is_set(), hash_of=hash_of)

    return Desk(
        identifiers=RandomIdentifiers(),
        find_assay=find,
        pins=pins,
        look_about=look_about,
        hand_over=hand_over,
    )


def _pins_of(journal: Path) -> Pins:
    if not is_station_file(journal):
        return PinFile(pins_beside(journal))
    from readbell.stations.pins import StationPins

    return StationPins(journal)


async def follow(journal: Path, *, once: bool = False) -> AsyncIterator[News]:
    """Yield how the bay in `journal` stands, then everything its program records.

    A link that is lost ends nothing: it is told since when it is, and gone on with once it is back.

    Raises:
        JournalError: there is no journal, or it cannot be read.
    """
    from readbell.bay.lookout import AGAIN_EACH
    from readbell.bay.onlooker import Onlooker
    from readbell.bay.rehearsal import PLAYER_RANK

    source = old_journal(journal)
    clock = SystemClock()
    onlooker, sleeper = (
        _reaching_out(journal, Onlooker(source, journal, spill_folders(), clock)),
        clock.sleeper(PLAYER_RANK),
    )
    try:
        seen = onlooker.look()
        yield seen
        while not once:
            await sleeper.sleep(LOOK_EACH if seen.lost_since is None else AGAIN_EACH)
            try:
                news = onlooker.look()
            except LinkLostError:
                since = seen.at if seen.lost_since is None else seen.lost_since
                news = replace(seen, events=(), lost_since=since)
            if news.events or _is_otherwise(news, seen):
                yield news
            seen = news
    finally:
        onlooker.close()


def _is_otherwise(news: News, seen: News) -> bool:
    """Say whether a bay is saved, shared or followed otherwise than it was when `seen`."""
    return (
        news.not_saved != seen.not_saved
        or news.lost_since != seen.lost_since
        or _is_alone(news) is not _is_alone(seen)
    )


def _is_alone(news: News) -> bool:
    return news.around is not None and news.around.alone is not None


def _reaching_out(journal: Path, onlooker: Onlooker) -> Looking:
    """Return `onlooker`; of a shared bay with what is new on the server."""
    if not is_station_file(journal):
        return onlooker
    from readbell.stations.looking import StationLookout

    return StationLookout(journal, onlooker, SystemClock())


def looking_on(journal: Path) -> Looking:
    """Open the bay in `journal` to be looked at again and again, as a wall does.

    Raises:
        JournalError: there is no journal, or it cannot be read.
    """
    from readbell.bay.onlooker import Onlooker

    source = old_journal(journal)
    onlooker = Onlooker(source, journal, spill_folders(), SystemClock())
    onlooker.take_up(source.snapshot())
    return _reaching_out(journal, onlooker)


def lookouts(journals: Iterable[Path]) -> tuple[LookoutThread, ...]:
    """Return what looks on at each of `journals` from when it is started, whatever happens to it.

    Raises:
        JournalError: one of them cannot be looked at now.
    """
    from readbell.bay.lookout import Lookout
    from readbell.bay.lookout_thread import LookoutThread

    made = []
    for each in journals:
        old_journal(each).close()
        clock = SystemClock()
        made.append(LookoutThread(Lookout(each, looking_on, clock), clock, lambda: None))
    return tuple(made)


def alarm_of(site: SiteSettings) -> Alarm:
    """Return what makes the sounds of a bay, as far as this site and this terminal have it."""
    return Alarm(
        bell=TerminalBell.find() if site.bell else None,
        command=SoundCommand(site.sound_command) if site.sound_command else None,
    )


@contextmanager
def _listened_to(site: SiteSettings | None, bay: Bay) -> Iterator[None]:
    """Listen to the thermometers of the site that speak for themselves, while the context lasts."""
    commands = {} if site is None else {**site.thermometers}
    if not any(commands.values()):
        yield
        return
    from readbell.bay.thermometers import hear_thermometer
    from readbell.instruments.thermometer import Thermometer

    loop = asyncio.get_running_loop()

    def ear(where: Where) -> Callable[[float | ThermometerFault], None]:
        def told(said: float | ThermometerFault) -> None:
            with suppress(RuntimeError):  # the bay and its loop may just have ended
                asyncio.run_coroutine_threadsafe(hear_thermometer(bay, where, said), loop)

        return told

    thermometers = [Thermometer(each, ear(where)) for where, each in commands.items() if each]
    for each in thermometers:
        each.start()
    try:
        yield
    finally:
        for each in thermometers:
            each.close()


async def _enter_openings(bay: Bay, journal: Path) -> None:
    """Enter who looked into the record while another program, or this one, wrote to it."""
    openings = take_openings(journal)
    if openings:
        await bay.note(openings)
    forget_openings(journal)


@asynccontextmanager
async def _at_work(site: SiteSettings | None, bay: Bay, journal: Path) -> AsyncIterator[None]:
    """Listen to the thermometers, and see that whoever looked into the record is in it."""
    await _enter_openings(bay, journal)
    with _listened_to(site, bay):
        yield
    await _enter_openings(bay, journal)


def _kept(
    journal: Path,
    listener: Listener,
    site: SiteSettings | None,
    alarm: Alarm | None,
    clock: SystemClock,
    identifiers: RandomIdentifiers,
    *,
    brief: bool,
) -> tuple[Keeper, Bay]:
    """Return the bay whose record is in `journal`, and what keeps the record.

    Raises:
        JournalError: it cannot be used.
    """
    if is_station_file(journal):
        from readbell.stations.one_bay import shared_bay

        return shared_bay(journal, listener, _rest_of(site), alarm, clock, identifiers, brief=brief)
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
    keyring = KEYRING.of(journal)
    bay = Bay(
        recorder=recorder,
        keeper=keeper,
        clock=clock,
        identifiers=identifiers,
        bell=alarm,
        rest=_rest_of(site),
        asides=beside(journal, stored, snapshot, recorder, keeper, clock, keyring, brief=brief),
    )
    return keeper, bay


def _rest_of(site: SiteSettings | None) -> Span:
    return HEARD if site is None else Span(site.heard_seconds * SECOND)


@asynccontextmanager
async def live_bay(
    journal: Path,
    founding: Founding,
    listener: Listener,
    why_closed: Callable[[], Ending],
    site: SiteSettings | None = None,
    *,
    quiet: bool = False,
    brief: bool = False,
) -> AsyncIterator[tuple[Bay, Return]]:
    """Take up the live bay in `journal` for as long as the context lasts.

    It sounds as `site` says; without one, or if it is to be `quiet`, it is silent. If it is taken
    up for one thing alone, `brief`, no check of the whole record is begun.

    Raises:
        InUseError: another program is writing to it.
        JournalError: it cannot be used; the text says why.
    """
    journal = ready_place(journal)
    refuse_mirror(journal)
    lock = JournalLock(journal)
    lock.take()
    alarm = None if site is None or quiet else alarm_of(site)
    try:
        clock, identifiers = SystemClock(), RandomIdentifiers()
        keeper, bay = _kept(journal, listener, site, alarm, clock, identifiers, brief=brief)
        try:
            if founding.bay is None and is_station_file(journal):
                founding = replace(founding, bay=read_station_file(journal).bay)
            if site is not None:
                founding = replace(founding, policy=site.policy)
            found = await bay.open(founding)
            sleeper = clock.sleeper(RANK)
            waiting = entering_receipts(bay, keeper, journal, identifiers, sleeper)
            async with waiting, _at_work(site, bay, journal):
                yield bay, found
            await bay.close(why_closed())
        finally:
            # Whatever went wrong: nothing is written any more once the lock is given back.
            bay.let_go()
            await keeper.close()
    finally:
        if alarm is not None:
            alarm.close()
        lock.release()
