"""Write a closed period of the record into a file that proves itself; while no board runs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse

    from readbell.journal.archiving import Archived


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("archive", help=__doc__, description=__doc__)
    parser.add_argument(
        "--through", required=True, metavar="DAY", help="the last day that may be in it"
    )
    parser.add_argument("--out", type=Path, required=True, metavar="FILE", help="a new file")
    parser.add_argument("--by", required=True, metavar="OPERATOR", help="a supervisor")
    parser.add_argument("--reason", required=True, metavar="TEXT", help="why, in your own words")
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="one JSON object on standard output")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write it, check it, and note in the record that it was written."""
    from readbell.bay.keeping_desk import KeepingDesk
    from readbell.cli.progress import Progress
    from readbell.cli.record_asked import (
        ask_alone,
        journal_at,
        keeping_apart,
        length_of,
        say_answer,
        the_day,
    )
    from readbell.core.keeping.events import ArchiveWritten
    from readbell.journal.archiving import write_archive
    from readbell.settings.station_file import record_of

    day, journal = the_day("--through", options.through), journal_at(options.journal)
    target: Path = options.out.resolve()
    end = length_of(journal)
    with Progress() as progress:
        desk = KeepingDesk(
            private=keeping_apart(),
            told=lambda done: progress.tell("events read", done, end),
        )

        def write(events: int) -> Archived:
            return write_archive(
                record_of(journal),
                target,
                events,
                lambda done: progress.tell("events written", done, events),
            )

        answer, present = ask_alone(
            journal,
            options.by,
            lambda bay: desk.archive(bay, options.by, day, options.reason, str(target), write),
            undisturbed=True,
        )
    written = next((each for each in answer.events if isinstance(each, ArchiveWritten)), None)
    fields = (
        {}
        if written is None
        else {
            "file": str(target),
            "events": written.events,
            "head": written.head,
            "sha256": written.digest,
        }
    )
    return say_answer(answer, present, fields, as_json=options.json)
