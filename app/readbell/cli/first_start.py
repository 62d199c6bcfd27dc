"""Asks the questions of a first start on a plain terminal."""

from __future__ import annotations

import shutil
import sys
import textwrap
from getpass import getpass
from typing import TYPE_CHECKING

from readbell.cli.spelt_out import spelt_out
from readbell.core.board.events import Mode
from readbell.core.errors import ReadbellError
from readbell.core.policy.staffing import SignInBy

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from readbell.bay.opening import Founding
    from readbell.hand.first_start import FirstQuestion
    from readbell.hand.scene import AtHand
    from readbell.scenarios.line import Request

REHEARSAL = "rehearsal"
NARROWEST = 20
HANGING = 3
"""Further in stands what of an indented line has no room in it."""
COUNTS = {8: "Eight", 9: "Nine", 10: "Ten"}
CALLED = {"expires": "good to", "gtin": "item number"}
"""What the parts of a box's code are called where they are held against what is printed beside it."""

WELCOME = """\
readbell: first start. {count} short questions, under three minutes.
The kit's own instructions for use come first. Local rules and licensed practice go before this \
program. Wear gloves and what else your site asks for. A negative does not exclude infection.
Type rehearsal at any question to see a household rehearsed first. Ctrl+C leaves; nothing is kept.
"""


class NotStartedError(ReadbellError):
    """The person left before the bay was founded, or the figures did not agree."""

    exit_status = 0


class RehearseFirst(Exception):  # noqa: N818  # a wish, not an error
    """The person wants to see a rehearsal first."""


def founding_for(
    path: Path, shelf: Sequence[AtHand], sign_in: SignInBy = SignInBy.NONE
) -> tuple[Founding, tuple[Request, ...]]:
    """Return how the bay in `path` is founded, asking a person if there is none yet.

    Args:
        path: its journal.
        shelf: the assays at hand.
        sign_in: what signing in takes at this site.

    Raises:
        NotStartedError: the person left, or says that the figures do not agree.
        RehearseFirst: the person wants to see a rehearsal first.
    """
    from readbell.bay.opening import Founding

    if path.exists() and not _is_empty(path):
        # An old bay keeps the name and the time zone that its journal says.
        return Founding(timezone="UTC", mode=Mode.LIVE), ()
    from readbell.bay.site_time import knows_zone, site_date, time_zone, zones_like
    from readbell.clock.system import SystemClock
    from readbell.hand.first_start import first_questions, first_requests
    from readbell.settings.places import local_time_zone

    today = site_date(SystemClock().read().wall, time_zone(local_time_zone()))
    named = _name_of_shared(path)
    zone, is_named = local_time_zone(), named is not None
    said = ask_all(
        first_questions(
            shelf, zone, today, knows_zone, sign_in, is_named=is_named, zones_like=zones_like
        )
    )
    founding = Founding(bay=named or said["bay"], timezone=said["zone"], mode=Mode.LIVE)
    return founding, first_requests(said, shelf, sign_in)


def _name_of_shared(path: Path) -> str | None:
    """Return what a shared bay was called when it was begun on its server; None: it is not one."""
    from readbell.settings.station_file import is_station_file, read_station_file

    return read_station_file(path).bay if is_station_file(path) else None


def _is_empty(path: Path) -> bool:
    """Say whether `path` is the station file of a shared bay in which nothing is on record yet."""
    from contextlib import closing

    from readbell.assembly import old_journal
    from readbell.settings.station_file import is_station_file, mirror_of

    if not is_station_file(path) or not mirror_of(path).exists():
        return False
    with closing(old_journal(path)) as journal:
        return journal.head().seq == 0


def ask_all(
    questions: Sequence[FirstQuestion],
    read: Callable[[str], str] = input,
    unseen: Callable[[str], str] = getpass,
) -> dict[str, str]:
    """Return the answers, each of which its question accepted.

    Args:
        questions: in order.
        read: asks for a line.
        unseen: asks for one that is not shown.

    Raises:
        NotStartedError: the person left, or says that the figures do not agree.
        RehearseFirst: the person wants to see a rehearsal first.
    """
    print(_laid(WELCOME.format(count=COUNTS.get(len(questions), str(len(questions))))))
    said: dict[str, str] = {}
    for question in questions:
        if question.key in said:
            continue  # an answer before it said that too
        shown = question.shows(said)
        if shown:
            print(_laid(shown))
        text = _ask(question, unseen if question.is_secret else read)
        found = question.settles(text)
        if found != {question.key: text}:
            parts = ", ".join(f"{CALLED.get(key, key)} {each}" for key, each in found.items())
            print(_laid(f"By its code: {parts}. Hold it against the box."))
        said.update(found)
        if question.key == "checked" and said["checked"].lower() != "yes":
            msg = (
                "Nothing was kept. 'readbell assay ID --copy our-kit' copies the assay, by the ID that "
                "stands beside it in the list, and says into which file: change there what differs, "
                "check it with 'readbell assay our-kit', and start again."
            )
            raise NotStartedError(_laid(msg))
    return said


def _ask(question: FirstQuestion, read: Callable[[str], str]) -> str:
    usual = f" [{question.usual}]" if question.usual else ""
    while True:
        try:
            print(_laid(f"{question.asks}{usual}"))
            text = read("> ").strip() or question.usual
        except (EOFError, KeyboardInterrupt):
            msg = "Left before anything was kept."
            raise NotStartedError(msg) from None
        if text.lower() == REHEARSAL:
            raise RehearseFirst
        fault = question.accepts(text)
        if fault is None and question.is_secret and _once_more(read) != text:
            fault = "Those were two. Type it again."
        if fault is None:
            return text
        print(_laid(spelt_out(fault)), file=sys.stderr)


def _laid(words: str) -> str:
    """Return `words` in lines that the terminal does not break; what is indented stays so."""
    wide = max(NARROWEST, shutil.get_terminal_size().columns - 1)
    return "\n".join(
        textwrap.fill(
            each,
            wide,
            subsequent_indent=" " * (len(each) - len(each.lstrip()) + HANGING),
            break_long_words=False,
            break_on_hyphens=False,
        )
        if each.startswith(" ")
        else textwrap.fill(each, wide, break_long_words=False, break_on_hyphens=False)
        for each in words.split("\n")
    )


def _once_more(read: Callable[[str], str]) -> str:
    try:
        print("Once more.")
        return read("> ").strip()
    except (EOFError, KeyboardInterrupt):
        msg = "Left before anything was kept."
        raise NotStartedError(msg) from None
