"""Check that a journal is whole: every event, its hash, and the identifiers beside it."""

from __future__ import annotations

import argparse
import json
import re
import sys
from contextlib import closing
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.cli.exit_codes import BROKEN, DONE
from readbell.cli.spelt_out import spelt_out

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.journal.verify import Verdict

HEAD = re.compile(r"[0-9a-f]{64}")


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("verify", help=__doc__, description=__doc__)
    parser.add_argument(
        "journal",
        nargs="?",
        action=_Once,
        default=argparse.SUPPRESS,  # or it would wipe out what --journal said
        metavar="FILE",
        help="the journal; default: this computer's own",
    )
    parser.add_argument("--journal", action=_Once, metavar="FILE", help="the same, as elsewhere")
    parser.add_argument(
        "--head",
        metavar="HASH",
        help="also check that this hash, noted earlier, is still part of it",
    )
    parser.add_argument("--json", action="store_true", help="one JSON object on standard output")
    parser.set_defaults(run=run)


class _Once(argparse.Action):
    """Takes a journal that is named in one way or the other: of two one would go unchecked."""

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        values: Any,
        option_string: str | None = None,  # noqa: ARG002  # the signature is argparse's
    ) -> None:
        if getattr(namespace, self.dest, None) is not None:
            parser.error("two journals are named: verify one after the other")
        setattr(namespace, self.dest, Path(values))


def run(options: argparse.Namespace) -> int:
    """Verify the journal and say what was found."""
    from readbell.assembly import old_journal
    from readbell.cli.of_station import RESTORE, of_mirror
    from readbell.cli.progress import Progress
    from readbell.journal.continuation import lying_beside
    from readbell.journal.errors import BrokenChainError, JournalError, NewerJournalError
    from readbell.journal.verify import verify
    from readbell.settings.places import default_journal, spill_folders

    head = None if options.head is None else _head(options.head)
    path = options.journal or default_journal()
    if not path.is_file():
        msg = f"{path}: there is no journal: check the name"
        raise JournalError(msg)
    fault: str | None = None
    seq: int | None = None
    found = None
    beside: list[Path] = []
    try:
        with closing(old_journal(path)) as journal, Progress() as progress:
            found = verify(journal, partial(progress.tell, "checked"))
            damage = journal.damage(thorough=True)
            beside = lying_beside(journal, path.resolve(), spill_folders())
        if damage is not None:
            fault = f"the file is damaged ({damage}): restore a backup"
        elif head is not None and head not in found.heads_seen:
            fault = f"head {options.head.strip()} is not part of it: events were taken off its end"
    except BrokenChainError as error:
        fault, seq = str(error), error.seq
    except NewerJournalError:
        raise
    except JournalError as error:
        # Whatever is said of it names it already.
        fault = str(error).removeprefix(f"{path}: ")
    if fault is not None and fault.endswith(RESTORE):
        fault = of_mirror(fault, path).removeprefix(f"{path}: ")
    whole = fault is None
    if options.json:
        said: dict[str, Any] = {"journal": str(path), "whole": whole, "fault": fault, "event": seq}
        said |= {"events": None, "head": None} if found is None else _end(found)
        said |= {"beside": [str(file) for file in beside]}
        print(json.dumps(said | _gone(found)))
    elif whole and found is not None:
        mode = "" if found.board.founded is None else f", {found.board.founded.mode}"
        print(f"{path}: whole. {found.head.seq} events{mode}, head {found.head.hex}")
        for words in _erasures(found):
            print(f"{path}: {spelt_out(words)}")
        for file in beside:
            print(f"{path}: more events lie beside it in {file}: open the bay to join them")
    else:
        print(f"{path}: broken: {fault}", file=sys.stderr)
    return DONE if whole else BROKEN


def _head(said: str) -> str:
    """Return a head as it stands in the record.

    Raises:
        WrongFileError: it is none: a slip of the pen is no broken record.
    """
    from readbell.toml_tables import WrongFileError

    found = said.strip().lower()
    if HEAD.fullmatch(found) is None:
        msg = f"--head {said!r}: a head is 64 digits and letters from a to f: copy it whole"
        raise WrongFileError([msg])
    return found


def _end(found: Verdict) -> dict[str, Any]:
    return {"events": found.head.seq, "head": found.head.hex}


def _gone(found: Verdict | None) -> dict[str, Any]:
    """Return what was erased, for a program."""
    if found is None:
        return {"erased": None, "erased_by_no_act": None, "erasures": []}
    return {
        "erased": found.erased,
        "erased_by_no_act": found.unexplained,
        "erasures": [
            {
                "event": number,
                "values": len(each.keys),
                "persons": each.people,
                "scope": str(each.scope),
                "by": found.board.name(each.by),
            }
            for number, each in found.erasures
        ],
    }


def _erasures(found: Verdict) -> Iterator[str]:
    """Yield how many values are gone, and by which acts."""
    from readbell.bay.site_time import time_zone
    from readbell.phrases.clock_time import ClockFace
    from readbell.phrases.keeping_words import erasures_told

    founded = found.board.founded
    face = ClockFace(
        zone=time_zone("UTC" if founded is None else founded.timezone),
        jumps=found.board.clock_jumps,
    )
    yield from erasures_told(found.erasures, found.unexplained, found.board, face)
