"""A whole day of a busy bay on the simulated clock, with the real board on a real terminal.

The same bay, the same hands and the same painter as ever; only time goes faster. It writes
down how often it has painted and how much memory it has, for each stretch of the day.
"""

from __future__ import annotations

import asyncio
import json
import resource
import sys
from contextlib import asynccontextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.assembly import desk
from readbell.bay.bay import Bay
from readbell.bay.bay_thread import BayThread
from readbell.bay.identifiers import DerivedIdentifiers
from readbell.bay.opening import Founding
from readbell.bay.recorder import Recorder
from readbell.bay.rehearsal import PLAYER_RANK, Rehearsal
from readbell.clock.simulated import SimulatedClock
from readbell.core.board.events import Mode
from readbell.core.instant import MINUTE
from readbell.journal.keeper import Keeper
from readbell.journal.sqlite import SqliteJournal
from readbell.rehearsals import REHEARSAL_BAY, REHEARSAL_STATION, load_script
from readbell.settings.version import program_version
from readbell.ui.app import run_board
from readbell.ui.board_screen import BoardScreen
from readbell.ui.front import Front
from readbell.ui.glyphs import UNICODE
from readbell.ui.look import Look

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from readbell.bay.news import News, Return
    from readbell.ui.app import Shell
    from readbell.ui.ink import Line

NOTED_EACH = 10 * MINUTE
"""Of the simulated day."""


class SeenClock(SimulatedClock):
    """A simulated clock that may be looked at from another thread than the one it runs in."""

    @property
    def passed(self) -> int:
        """Milliseconds gone by; while the clock is just arriving, where it was before."""
        try:
            return super().passed
        except (IndexError, TypeError, RuntimeError):
            return self._passed


class CountingScreen(BoardScreen):
    """The board, which also notes how it is doing."""

    def __init__(self, front: Front, look: Look, pace: float, notes: Path) -> None:
        super().__init__(front, look)
        self._pace, self._notes = pace, notes
        self._frames, self._begun, self._noted = 0, front.wall(), -1
        self._beats = 0

    def lines(self, width: int, height: int) -> tuple[Line, ...]:
        """Paint, and note how much was painted at each stretch of the day."""
        self._frames += 1
        passed = self._front.wall() - self._begun
        if passed // NOTED_EACH > self._noted:
            self._noted = passed // NOTED_EACH
            board = self._front.present().news.board
            noted = {
                "minutes": passed / MINUTE,
                "frames": self._frames,
                "beats": self._beats,
                "memory": memory(),
                "cartridges": len(board.labels),
            }
            with self._notes.open("a", encoding="ascii") as file:
                file.write(json.dumps(noted) + "\n")
        return super().lines(width, height)

    def beat(self) -> None:
        """Count the seconds for each of which there is to be a picture."""
        self._beats += 1
        super().beat()

    def until_next_tick(self) -> float:
        """A second of the day is over so much sooner."""
        return super().until_next_tick() / self._pace


def memory() -> int:
    """Return the bytes of memory that this program now has, as far as the system says."""
    try:
        pages = int(Path("/proc/self/statm").read_text("ascii").split()[1])
    except OSError:
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    return pages * resource.getpagesize()


def run(scenario: Path, journal: Path, notes: Path, pace: float) -> None:
    """Play the day to its end."""
    script = load_script(scenario)
    heard: list[Front] = []

    def hear(news: News) -> None:
        for front in heard:
            front.hear(news)

    @asynccontextmanager
    async def day() -> AsyncIterator[tuple[Bay, Return]]:
        identifiers = DerivedIdentifiers(script.digest)
        clock = SeenClock(script.scenario.starts, boot=identifiers.new("boot"), pace=pace)
        keeper = Keeper(SqliteJournal.open(journal), journal)
        recorder = Recorder(
            keeper=keeper,
            clock=clock,
            identifiers=identifiers,
            station=REHEARSAL_STATION,
            program=program_version(),
        )
        recorder.subscribe(hear)
        bay = Bay(recorder=recorder, keeper=keeper, clock=clock, identifiers=identifiers)
        sleeper = clock.sleeper(PLAYER_RANK)
        zone = script.scenario.timezone
        found = await bay.open(Founding(bay=REHEARSAL_BAY, timezone=zone, mode=Mode.REHEARSAL))
        rehearsal = Rehearsal(
            bay=bay,
            scenario=script.scenario,
            methods=script.methods,
            identifiers=identifiers,
            sleeper=sleeper,
            told=lambda _, __: None,
        )
        playing = asyncio.create_task(rehearsal._play())
        try:
            yield bay, found
            await playing
        finally:
            await keeper.close()

    thread = BayThread(day)
    thread.start()
    front = Front(thread, desk())
    heard.append(front)

    def screen(shell: Shell) -> BoardScreen:
        front.changed = lambda: shell.leave() if front.left.is_set() else shell.repaint_soon()
        return CountingScreen(front, Look(glyphs=UNICODE), pace, notes)

    front.start()
    ending = run_board(screen)
    front.stop()
    thread.stop()
    sys.stdout.write(f"{type(ending).__name__}\n")


if __name__ == "__main__":
    run(Path(sys.argv[1]), Path(sys.argv[2]), Path(sys.argv[3]), float(sys.argv[4]))
