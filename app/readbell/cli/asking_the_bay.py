"""A command that asks one bay for something and leaves: the bay is taken up, asked, laid down."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, WRONG_INPUT
from readbell.cli.spelt_out import spelt_out
from readbell.core.board.events import Ending, Mode
from readbell.core.errors import ReadbellError

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from readbell.bay.bay import Bay
    from readbell.bay.news import News
    from readbell.scenarios.line import Request


def ask_the_bay(journal: Path | None, requests: Iterable[Request], *, as_json: bool) -> int:
    """Put `requests` to the bay in `journal`, say what became of each, and return the exit status.

    One that cannot be read is told and the next goes on, so nothing that was said before or
    after it is lost.

    Args:
        journal: the bay's record; None: this computer's own.
        requests: an iterator that goes on after it raised, as `map` does.
        as_json: say it as one JSON object a line.

    Raises:
        InUseError: a program runs this bay; it is to be asked there.
        JournalError: there is no journal, or it cannot be used.
    """
    from functools import partial

    from readbell.assembly import desk, live_bay
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.opening import Founding
    from readbell.cli.line_mode import LineMode
    from readbell.cli.private_memory import keep_memory_private
    from readbell.journal.errors import JournalError
    from readbell.settings.places import default_journal

    keep_memory_private()
    path = journal or default_journal()
    if not path.is_file():
        msg = f"{path}: there is no journal: check the name"
        raise JournalError(msg)
    # An old journal knows its own name and zone; this would be a new one's.
    founding = Founding(timezone="UTC", mode=Mode.LIVE)
    thread = BayThread(lambda: live_bay(path, founding, _nobody, lambda: Ending.END_OF_INPUT))
    thread.start()
    voice, clerk, all_done = LineMode(), desk(path), True
    try:
        for request in _each(requests):
            if isinstance(request, ReadbellError):
                print(spelt_out(str(request)), file=sys.stderr)
                all_done = False
                continue
            answer = thread.ask(partial(clerk.serve, line=request))
            said = voice.answer(request, answer, thread.ask(_present))
            print(said.as_text(as_json=as_json), flush=True)
            all_done = all_done and answer.accepted
    finally:
        thread.stop()
    return DONE if all_done else WRONG_INPUT


def _each(requests: Iterable[Request]) -> Iterable[Request | ReadbellError]:
    """Yield each request, or why the next one could not be read."""
    waiting = iter(requests)
    while True:
        try:
            yield next(waiting)
        except StopIteration:
            return
        except ReadbellError as error:
            yield error


def _nobody(_news: News) -> None:
    """Nobody listens: what becomes of each request is its answer."""


async def _present(bay: Bay) -> News:
    return bay.present()
