"""Tell the whole story of a person, a cartridge, a lot, an operator or a day, in its order."""

from __future__ import annotations

import json
import sys
from contextlib import closing
from dataclasses import field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    import argparse
    from datetime import date

    from readbell.bay.glance import Glance
    from readbell.bay.tracing import Bounds
    from readbell.core.board.acts import Act
    from readbell.core.board.trail import Trail
    from readbell.core.keeping.events import TraceOpened
    from readbell.core.staff.events import RecordOpened
    from readbell.journal.sqlite import SqliteJournal
    from readbell.phrases.clock_time import ClockFace

NAMED = ("patient", "cartridge", "lot", "operator")


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("trace", help=__doc__, description=__doc__)
    parser.add_argument("--patient", "--person", metavar="ID", help="- asks for the ID, unseen")
    parser.add_argument("--cartridge", metavar="LABEL", help="its label, or its opaque id")
    parser.add_argument("--lot", metavar="NUMBER")
    parser.add_argument("--operator", metavar="ID")
    parser.add_argument("--day", metavar="DAY", help="alone, or to narrow one of the others")
    parser.add_argument(
        "--everything",
        action="store_true",
        help="of a patient: all that is kept, to be handed over, into the folder of --out",
    )
    parser.add_argument(
        "--out", type=Path, metavar="FOLDER", help="a new folder, with --everything"
    )
    parser.add_argument("--by", metavar="OPERATOR", help="who looks; it is recorded")
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="one JSON object a line")
    parser.set_defaults(run=run)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is to be told, as it was given."""

    name: str
    """One of `NAMED`, or "day"."""
    value: str = field(repr=False)
    day: date | None
    by: str | None
    out: Path | None


def run(options: argparse.Namespace) -> int:
    """Judge who asks, note it, and tell the story."""
    from readbell.assembly import old_journal
    from readbell.bay.glance import glance
    from readbell.bay.tracing import awaiting_second
    from readbell.cli.record_asked import journal_at
    from readbell.clock.system import SystemClock
    from readbell.core.staff.events import RecordOpened

    asked = _asked(options)
    path = journal_at(options.journal)
    with closing(old_journal(path)) as journal:
        seen = glance(journal, SystemClock())
        opened = _opened(asked, seen, path, journal)
        trail, bounds = _thread(asked, opened)
        bounds = replace(bounds, unseen=awaiting_second(seen.board))
        if isinstance(opened, RecordOpened) and asked.out is not None:
            return _hand_over(asked, journal, opened, trail, seen)
        practice = _is_practice(seen)
        status = _tell(journal, trail, bounds, practice=practice, as_json=options.json)
    _name_others(asked, seen)
    return status


def _name_others(asked: Asked, seen: Glance) -> None:
    """Say that other devices bore the label as well: this may be the story of somebody else's."""
    from readbell.cli.bearers import bearers
    from readbell.cli.looking_on import face_of
    from readbell.cli.spelt_out import spelt_out

    if asked.name != "cartridge" or asked.day is not None:
        return
    face = face_of(seen)
    found = [seen.board.cartridge(key) for key in bearers(seen.board, asked.value)]
    last, *others = [
        f"{each.id} (begun {face.local(each.labelled.at).date()} {face.minute(each.labelled.at)})"
        for each in found
        if each is not None
    ] or [""]
    if others:
        words = f"{asked.value}: this is {last}; others bore that label: {', '.join(others)}"
        print(spelt_out(words), file=sys.stderr)


def _asked(options: argparse.Namespace) -> Asked:
    """Return what is asked for.

    Raises:
        WrongFileError: nothing, or too much, is named.
    """
    from readbell.cli.record_asked import the_day, the_id
    from readbell.toml_tables import WrongFileError

    named = [each for each in NAMED if getattr(options, each) is not None]
    day = None if options.day is None else the_day("--day", options.day)
    if len(named) > 1 or (not named and day is None):
        msg = "name one of --patient, --cartridge, --lot, --operator, or a --day"
        raise WrongFileError([msg])
    if options.everything is not (options.out is not None) or (
        options.everything and (named != ["patient"] or day is not None)
    ):
        msg = "--everything goes with --patient and --out FOLDER, and with nothing else"
        raise WrongFileError([msg])
    name = named[0] if named else "day"
    value = getattr(options, name) if named else str(day)
    return Asked(
        name=name,
        value=the_id(value) if name == "patient" else value,
        day=day,
        by=options.by,
        out=options.out,
    )


def _opened(
    asked: Asked, seen: Glance, path: Path, journal: SqliteJournal
) -> RecordOpened | TraceOpened:
    """Return that the story was opened, on record before anything of it is shown.

    Nobody has to be named, and nothing is noted, where nobody is in the record but people
    that were made up. An archive is closed: whoever may look into it may, and it takes no note.

    Raises:
        WrongFileError: nobody says who looks, or they may not, or what is named is unknown.
        JournalError: it could not be noted.
    """
    from readbell.cli.record_asked import recorded
    from readbell.core.board.decide import decide
    from readbell.core.refusal import Refusal, RefusalCode
    from readbell.phrases.refusals import Tried, say_refusal
    from readbell.toml_tables import WrongFileError

    board = seen.board
    practice = _is_practice(seen)
    by = asked.by if asked.by is not None or not practice else next(iter(board.operators), None)
    if by is None:
        raise WrongFileError(["say who looks: --by OPERATOR; it is recorded"])
    act = _act(asked, by, seen, journal)
    if practice or journal.is_archive:
        decided = decide(board, act, seen.now)
    else:
        decided = recorded(path, by, act, seen)
    if isinstance(decided, Refusal) and decided.code is RefusalCode.UNKNOWN_CARTRIDGE:
        raise WrongFileError([f"No cartridge {decided.subject} is on record here: check the label"])
    if isinstance(decided, Refusal):
        words = say_refusal(decided, Tried(cartridge=decided.subject, now=seen.now), _face(seen))
        raise WrongFileError([words])
    (event,) = decided
    return event  # type: ignore[return-value]  # of no other act comes another


def _is_practice(seen: Glance) -> bool:
    from readbell.core.board.events import Mode

    founded = seen.board.founded
    return founded is not None and founded.mode is Mode.REHEARSAL


def _act(asked: Asked, by: str, seen: Glance, journal: SqliteJournal) -> Act:
    from readbell.core.keeping.acts import OpenTrace
    from readbell.core.keeping.events import TraceOf
    from readbell.core.staff.acts import OpenRecord
    from readbell.core.staff.events import Opened

    if asked.name == "patient":
        what = Opened.TRACE if asked.out is None else Opened.EXPORT
        return OpenRecord(by=by, person=asked.value, what=what, since=seen.day_began)
    of, about = TraceOf(asked.name), asked.value
    if of is TraceOf.CARTRIDGE:
        about = _cartridge(asked, seen, journal)
    return OpenTrace(by=by, of=of, about=about, since=seen.day_began)


def _cartridge(asked: Asked, seen: Glance, journal: SqliteJournal) -> str:
    """Return the opaque id of the cartridge that is meant, or what was given of none.

    A label comes again after a shift: it means whichever bears it last, or bore it that day;
    where no cartridge does, the last run on paper.
    """
    from readbell.bay.tracing import borne_on
    from readbell.core.board.layered import newest

    board = seen.board
    if board.cartridge(asked.value) is not None:
        return asked.value
    if asked.day is None:
        on_paper = (each.run for each in newest(board.paper_runs) if each.label == asked.value)
        known = board.labelled(asked.value) is not None
        return asked.value if known else next(on_paper, asked.value)
    return borne_on(journal, asked.value, asked.day) or f"{asked.value} of {asked.day}"


def _thread(asked: Asked, opened: RecordOpened | TraceOpened) -> tuple[Trail, Bounds]:
    """Return what belongs to the story, and how far back it is told."""
    from readbell.bay.tracing import Bounds
    from readbell.core.board.trail import Trail
    from readbell.core.keeping.events import TraceOf, TraceOpened

    if not isinstance(opened, TraceOpened):
        trail = Trail(person=opened.person, called=asked.value)
        return trail, Bounds(day=asked.day, since=opened.since)
    match opened.of:
        case TraceOf.CARTRIDGE:
            # Its day chose it; what came of it later belongs to it all the same.
            return Trail(cartridges=(opened.about,)), Bounds(since=opened.since)
        case TraceOf.LOT:
            return Trail(lot=opened.about), Bounds(day=asked.day, since=opened.since)
        case TraceOf.OPERATOR:
            return Trail(operator=opened.about), Bounds(day=asked.day, since=opened.since)
        case TraceOf.DAY | TraceOf.FIGURES:
            return Trail(), Bounds(day=asked.day, since=opened.since)


def _tell(
    journal: SqliteJournal, trail: Trail, bounds: Bounds, *, practice: bool, as_json: bool
) -> int:
    from readbell.bay.tracing import story
    from readbell.cli.progress import Progress
    from readbell.cli.spelt_out import spelt_out
    from readbell.cli.trace_fields import story_fields
    from readbell.phrases.trace_words import (
        CAUTION,
        NOTHING_ON_RECORD,
        OLDER_IS_HIDDEN,
        REHEARSAL,
        SECOND_FIRST,
        story_line,
    )

    end, found = journal.head().seq, False
    if practice and not as_json:
        print(REHEARSAL)
    with Progress() as progress:
        for told in story(journal, trail, bounds, lambda n: progress.tell("events read", n, end)):
            found = True
            progress.wipe()
            if as_json:
                print(json.dumps(story_fields(told), ensure_ascii=False))
            else:
                print(spelt_out(story_line(told.event, told.board, told.face)))
    if as_json:
        if not found:
            print(NOTHING_ON_RECORD, file=sys.stderr)
    else:
        for each in (
            *(() if found else (NOTHING_ON_RECORD,)),
            *(() if bounds.since is None else (OLDER_IS_HIDDEN,)),
            *((SECOND_FIRST,) if bounds.unseen else ()),
            CAUTION,
        ):
            print(each)
    sys.stdout.flush()
    return DONE


def _face(seen: Glance) -> ClockFace:
    from readbell.bay.site_face import face_now

    return face_now(seen.board, seen.apart)


def _hand_over(
    asked: Asked, journal: SqliteJournal, opened: RecordOpened, trail: Trail, seen: Glance
) -> int:
    """Write all that is kept of one person into a folder, and say what is in it."""
    from readbell.cli.handing_over import hand_over
    from readbell.cli.spelt_out import spelt_out

    assert asked.out is not None  # noqa: S101  # asked by the caller
    for path in hand_over(asked.out, journal, opened.person, trail, seen, _face(seen)):
        print(spelt_out(str(path)))
    return DONE
