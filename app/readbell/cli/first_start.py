"""Asks the questions of a first start on a plain terminal."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from readbell.cli.spelt_out import spelt_out
from readbell.core.board.events import Mode
from readbell.core.errors import ReadbellError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from pathlib import Path

    from readbell.bay.opening import Founding
    from readbell.hand.first_start import FirstQuestion
    from readbell.hand.scene import AtHand
    from readbell.scenarios.line import Request

REHEARSAL = "rehearsal"

WELCOME = """\
readbell: first start. Nine short questions, under three minutes.
The kit's own instructions for use come first. Local rules and licensed practice go before this
program. Wear gloves and what else your site asks for. A negative does not exclude infection.
Type rehearsal at any question to see a household rehearsed first. Ctrl+C leaves; nothing is kept.
"""


class NotStartedError(ReadbellError):
    """The person left before the bay was founded, or the figures did not agree."""

    exit_status = 0


class RehearseFirst(Exception):  # noqa: N818  # a wish, not an error
    """The person wants to see a rehearsal first."""


def founding_for(path: Path, shelf: Sequence[AtHand]) -> tuple[Founding, tuple[Request, ...]]:
    """Return how the bay in `path` is founded, asking a person if there is none yet.

    Raises:
        NotStartedError: the person left, or says that the figures do not agree.
        RehearseFirst: the person wants to see a rehearsal first.
    """
    from readbell.bay.opening import Founding
    from readbell.bay.site_time import knows_zone, site_date, time_zone
    from readbell.clock.system import SystemClock
    from readbell.hand.first_start import first_questions, first_requests
    from readbell.settings.places import local_time_zone

    if path.exists():
        # An old bay keeps the name and the time zone that its journal says.
        return Founding(bay="Bay", timezone="UTC", mode=Mode.LIVE), ()
    today = site_date(SystemClock().read().wall, time_zone(local_time_zone()))
    said = ask_all(first_questions(shelf, local_time_zone(), today, knows_zone))
    founding = Founding(bay=said["bay"], timezone=said["zone"], mode=Mode.LIVE)
    return founding, first_requests(said, shelf)


def ask_all(
    questions: Iterable[FirstQuestion], read: Callable[[str], str] = input
) -> dict[str, str]:
    """Return the answers, each of which its question accepted.

    Raises:
        NotStartedError: the person left, or says that the figures do not agree.
        RehearseFirst: the person wants to see a rehearsal first.
    """
    print(WELCOME)
    said: dict[str, str] = {}
    for question in questions:
        said[question.key] = _ask(question, read)
        if question.key == "checked" and said["checked"].lower() != "yes":
            msg = (
                "Nothing was kept. Copy the assay into your own assay folder (readbell doctor says "
                "where), change what differs, check it with readbell assay FILE, and start again."
            )
            raise NotStartedError(msg)
    return said


def _ask(question: FirstQuestion, read: Callable[[str], str]) -> str:
    usual = f" [{question.usual}]" if question.usual else ""
    while True:
        try:
            print(f"{question.asks}{usual}")
            text = read("> ").strip() or question.usual
        except (EOFError, KeyboardInterrupt):
            msg = "Left before anything was kept."
            raise NotStartedError(msg) from None
        if text.lower() == REHEARSAL:
            raise RehearseFirst
        fault = question.accepts(text)
        if fault is None:
            return text
        print(spelt_out(fault), file=sys.stderr)
