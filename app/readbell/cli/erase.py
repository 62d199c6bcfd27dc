"""Erase who is in the record for ever: one person, or all last seen in a closed period."""

from __future__ import annotations

import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import argparse
    from collections.abc import Awaitable, Callable

    from readbell.bay.bay import Bay
    from readbell.bay.keeping_desk import KeepingDesk
    from readbell.bay.news import Answer, News

FOR_EVER = "for ever"
WHAT_IT_MEANS = (
    "What is erased cannot be brought back: IDs, names and words of those who are to be forgotten. "
    "Results, times and lots stay, under keys that name nobody, and the chain stays whole."
)


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("erase", help=__doc__, description=__doc__)
    whom = parser.add_mutually_exclusive_group(required=True)
    whom.add_argument(
        "--patient", "--person", metavar="ID", help="one person; - asks for the ID, unseen"
    )
    whom.add_argument(
        "--through", metavar="DAY", help="all last seen in the closed period up to that day"
    )
    parser.add_argument("--by", required=True, metavar="OPERATOR", help="a supervisor")
    parser.add_argument(
        "--reason", required=True, metavar="TEXT", help="why; it stays, so name nobody in it"
    )
    parser.add_argument(
        "--for-ever",
        action="store_true",
        help="say beforehand that it cannot be undone; a script has to",
    )
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="one JSON object on standard output")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Erase, see to it that nothing is left in the file, and name what is out of reach."""
    from readbell.bay.keeping_desk import KeepingDesk
    from readbell.cli.progress import Progress
    from readbell.cli.record_asked import (
        ask_alone,
        journal_at,
        keeping_apart,
        length_of,
        say_answer,
    )
    from readbell.core.keeping.events import RecordErased
    from readbell.journal.errors import JournalError
    from readbell.phrases.keeping_words import OUT_OF_REACH, STILL_OLD_BYTES, say_erasing

    journal = journal_at(options.journal)
    end = length_of(journal)
    with Progress() as progress:
        desk = KeepingDesk(
            private=keeping_apart(),
            told=lambda done: progress.tell("events read", done, end),
        )
        question = _question(options, desk)
        if not options.for_ever and not _says_for_ever():
            msg = f"{journal}: left as it was: say --for-ever, which means what it says"
            raise JournalError(msg)
        answer, present = ask_alone(journal, options.by, question, undisturbed=True)
    erased = [each for each in answer.events if isinstance(each, RecordErased)]
    is_clean = _leave_nothing(journal) if erased else True
    fields: dict[str, Any] = {
        "values": sum(len(each.keys) for each in erased),
        "persons": sum(each.people for each in erased),
        "kept": sum(each.kept for each in erased),
        "file_is_clean": is_clean,
        "archives": _archives(present),
        "exports": len(present.board.exports),
    }
    words = say_erasing(erased, present.board) if erased else None
    status = say_answer(answer, present, fields, as_json=options.json, words=words)
    if erased and not options.json:
        print(OUT_OF_REACH)
        for each in _archives(present):
            print(f"On record as archived: {each}")
        if present.board.exports:
            print(f"On record as exported, in so many files: {len(present.board.exports)}")
    if not is_clean:
        print(STILL_OLD_BYTES, file=sys.stderr)
    return status


def _question(options: argparse.Namespace, desk: KeepingDesk) -> Callable[[Bay], Awaitable[Answer]]:
    from readbell.cli.record_asked import the_day, the_id

    if options.patient is not None:
        patient = the_id(options.patient)
        return lambda bay: desk.erase_person(bay, options.by, patient, options.reason)
    day = the_day("--through", options.through)
    return lambda bay: desk.erase_through(bay, options.by, day, options.reason)


def _says_for_ever() -> bool:
    print(WHAT_IT_MEANS, file=sys.stderr)
    if not sys.stdin.isatty():
        return False
    try:
        return input(f'Type "{FOR_EVER}" to go on: ').strip() == FOR_EVER
    except EOFError:
        return False


def _leave_nothing(journal: Path) -> bool:
    """Have the file written anew; say whether nothing of what was erased is in it any more."""
    from readbell.journal.lock import JournalLock
    from readbell.journal.sqlite import SqliteJournal
    from readbell.settings.station_file import record_of

    lock = JournalLock(journal)
    lock.take()
    try:
        with closing(SqliteJournal.open(record_of(journal))) as opened:
            return not opened.holds_old_bytes
    finally:
        lock.release()


def _archives(present: News) -> list[str]:
    return [each.file.value for each in present.board.archives if each.file.value is not None]
