"""Run a live bay without a screen: one JSON object a line in, one line a happening out."""

from __future__ import annotations

import io
import queue
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.bay.errors import BayClosedError
from readbell.cli.ending import (
    OutputBlockedError,
    give_up_output,
    has_room,
    listen_for_signals,
)
from readbell.cli.exit_codes import DONE
from readbell.cli.starting import started
from readbell.core.board.events import Ending, Mode
from readbell.core.errors import ReadbellError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable, Iterable

    from readbell.bay.bay import Bay
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.desk import Desk
    from readbell.bay.news import News
    from readbell.cli.line_mode import LineMode, Said
    from readbell.core.plan.answer import Answer
    from readbell.scenarios.plan_lines import NextStartLine

    Told = queue.SimpleQueue[Callable[[], None] | None]


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("bay", help=__doc__, description=__doc__)
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--name", help="what a new bay is called (default: Bay)")
    parser.add_argument(
        "--timezone", default="UTC", help="a new bay's time zone, such as Europe/London"
    )
    parser.add_argument("--quiet", action="store_true", help="no sound: whoever looks is the alarm")
    parser.add_argument("--json", action="store_true", help="one JSON object a line out, too")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Open the bay, serve its lines and tell what happens, until told to stop.

    The bay lives in a thread of its own and one more waits for input; this one
    only prints, so output that nobody reads holds up nothing but itself.
    """
    from readbell.assembly import desk, live_bay
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.opening import Founding
    from readbell.cli.line_mode import LineMode
    from readbell.cli.private_memory import keep_memory_private
    from readbell.settings.places import default_journal
    from readbell.settings.site_settings import read_settings

    keep_memory_private()
    path = options.journal or default_journal()
    _warn(path)
    site = read_settings()
    voice, why = LineMode(), [Ending.END_OF_INPUT]
    told: Told = queue.SimpleQueue()

    def say(lines: Iterable[Said]) -> None:
        for each in lines:
            if why[-1] is Ending.SIGNAL and not has_room(sys.stdout.fileno()):
                # Asked to end: a line that nobody reads must not be waited for any more.
                raise OutputBlockedError
            print(each.as_text(as_json=options.json), flush=True)

    thread = BayThread(
        lambda: live_bay(
            path,
            Founding(bay=options.name, timezone=options.timezone, mode=Mode.LIVE),
            lambda news: told.put(lambda: say(voice.news(news))),
            lambda: why[-1],
            site,
            quiet=options.quiet,
        )
    )
    found = thread.start()
    started()
    thread.when_ended(lambda _: told.put(None))

    def end() -> None:
        why.append(Ending.SIGNAL)
        told.put(None)

    listen_for_signals(end)
    try:
        # What happened while nobody watched goes before everything else.
        say(voice.welcome(found, thread.ask(_present)))
        reader = _Reader(thread, desk(path), voice, told, say)
        threading.Thread(target=reader.read, name="readbell-input", daemon=True).start()
        while (saying := told.get()) is not None:
            saying()
    except OutputBlockedError:
        give_up_output()
    finally:
        thread.stop()
    _say_rest(told)
    return DONE


def _warn(journal: Path) -> None:
    """Say in a line each what this computer is not to be trusted with."""
    from readbell.clock.system import counts_sleep, describe
    from readbell.journal.disk import doubt_about

    for warning in (doubt_about(journal), None if counts_sleep() else describe()):
        if warning is not None:
            print(warning, file=sys.stderr)


def _say_rest(told: Told) -> None:
    """Say what was told while the bay ended, as far as somebody reads it."""
    try:
        while not told.empty():
            saying = told.get()
            if saying is not None:
                saying()
    except OutputBlockedError:
        give_up_output()


def _ahead(line: NextStartLine, present: News) -> tuple[Answer | None, str]:
    """Return when the next person may be begun, or why that cannot be said."""
    from readbell.bay.outlook import breaks_of, outlook_of
    from readbell.settings.site_settings import read_settings

    known = present.board.operators
    unknown = [each.operator for each in line.breaks if each.operator not in known]
    if unknown:
        return None, f'"{unknown[0]}" is no operator here: name one who is registered'
    breaks = breaks_of(line.breaks, present.board, present.at)
    return outlook_of(read_settings()).worked_out(present.board, present.at, breaks=breaks), ""


async def _present(bay: Bay) -> News:
    return bay.present()


class _Reader:
    """Serves what is written on standard input, line by line, in its own thread."""

    def __init__(
        self,
        thread: BayThread,
        desk: Desk,
        voice: LineMode,
        told: Told,
        say: Callable[[Iterable[Said]], None],
    ) -> None:
        self._thread = thread
        self._voice = voice
        self._told = told
        self._say = say
        self._desk = desk

    def read(self) -> None:
        """Read until there is no more, then let the program end."""
        if isinstance(sys.stdin, io.TextIOWrapper):
            # A byte that is no text must not end the bay, nor pass for another one.
            sys.stdin.reconfigure(encoding="utf-8", errors="surrogateescape")
        try:
            for text in sys.stdin:
                if text.strip():
                    self._serve(text)
        finally:
            self._told.put(None)

    def _serve(self, text: str) -> None:
        from readbell.scenarios.line import Question, read_line
        from readbell.scenarios.plan_lines import NextStartLine
        from readbell.scenarios.staff_lines import HeldLine
        from readbell.scenarios.station_lines import StationsLine
        from readbell.scenarios.telling_lines import ToTellLine

        voice = self._voice
        try:
            line = read_line(text)
            answer = (
                None
                if isinstance(line, Question)
                else self._thread.ask(lambda bay: self._desk.serve(bay, line))
            )
            present = self._thread.ask(_present)
            ahead = _ahead(line, present) if isinstance(line, NextStartLine) else None
        except BayClosedError:
            return  # the program is ending, and an act without an answer is not vouched for
        except ReadbellError as error:
            fault = str(error)
            self._tell(lambda: [voice.fault(fault)])
            return
        except Exception as error:  # noqa: BLE001  # one bad line must never make a bay deaf
            fault = f"this line could not be served ({type(error).__name__}): write it otherwise"
            self._tell(lambda: [voice.fault(fault)])
            return
        if ahead is not None:
            self._tell(lambda: [voice.next_start(present, *ahead)])
        elif isinstance(line, HeldLine):
            self._tell(lambda: voice.held(present))
        elif isinstance(line, StationsLine):
            self._tell(lambda: voice.stations(present))
        elif isinstance(line, ToTellLine):
            self._tell(lambda: voice.to_tell(present))
        elif answer is None:
            self._tell(lambda: voice.standing(present))
        else:
            self._tell(lambda: [voice.answer(line, answer, present)])

    def _tell(self, lines: Callable[[], Iterable[Said]]) -> None:
        """Have words found and printed where all others are: in the thread that prints."""
        self._told.put(lambda: self._say(lines()))
