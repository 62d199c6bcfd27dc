"""Join a shared bay on a server: this computer becomes one station of it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, WRONG_INPUT
from readbell.core.errors import ReadbellError

if TYPE_CHECKING:
    import argparse

    from readbell.stations.joining import Joined


class NotJoinedError(ReadbellError):
    """An option is wrong; the text says which one, and what to write."""

    exit_status = WRONG_INPUT


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("join", help=__doc__, description=__doc__)
    parser.add_argument("address", metavar="ADDRESS", help="postgresql://USER@HOST:PORT/DATABASE")
    parser.add_argument("--bay", metavar="NAME", help="which bay (default: the only one there)")
    parser.add_argument("--new", action="store_true", help="begin a bay of this name")
    parser.add_argument("--station", metavar="NAME", help="default: the name of this computer")
    parser.add_argument(
        "--hears",
        default="waits,windows",
        metavar="WHAT",
        help="which calls ring here: waits, windows, or waits,windows (default)",
    )
    parser.add_argument(
        "--lane", action="append", default=[], metavar="LANE", help="only calls of this lane ring"
    )
    parser.add_argument(
        "--sets-policy", action="store_true", help="this computer's settings are the bay's policy"
    )
    parser.add_argument("--journal", type=Path, metavar="FILE", help="the station file to make")
    parser.add_argument("--json", action="store_true", help="one JSON object on standard output")
    parser.set_defaults(run=run, opens_journal=False)


def run(options: argparse.Namespace) -> int:
    """Connect, check, bring the record home and write the station file."""
    import json

    from readbell.cli.progress import Progress
    from readbell.cli.spelt_out import spelt_out
    from readbell.settings.places import default_station_file, station_name
    from readbell.stations.joining import Asked, join

    asked = Asked(
        address=options.address,
        bay=options.bay,
        is_new=options.new,
        station=(options.station or station_name()).strip(),
        hears=_hears(options.hears),
        lanes=frozenset(options.lane),
        sets_policy=options.sets_policy,
        path=options.journal or default_station_file(),
    )
    with Progress() as progress:
        found = join(asked, lambda done, of: progress.tell("events brought home", done, of))
    if options.json:
        print(json.dumps(_fields(found), ensure_ascii=False))
    else:
        print(spelt_out(_words(found, is_usual=options.journal is None)))
    return DONE


def _hears(text: str) -> frozenset[str]:
    from readbell.settings.station_file import HEARS

    found = frozenset(each.strip() for each in text.split(",") if each.strip())
    if not found or not found <= set(HEARS):
        msg = f"--hears {text!r}: write waits, windows, or waits,windows"
        raise NotJoinedError(msg)
    return found


def _fields(found: Joined) -> dict[str, object]:
    file = found.file
    return {
        "bay": file.bay,
        "station": file.station,
        "mark": file.mark if found.has_mark else None,
        "server": found.told,
        "journal": str(found.path),
        "events": found.events,
        "head": found.head,
        "wall_apart_ms": found.wall_apart,
    }


def _words(found: Joined, *, is_usual: bool) -> str:
    file = found.file
    where = "" if is_usual else f" --journal {found.path}"
    # A new station is given the first free mark as its board is opened, and not before.
    mark = f" (mark {file.mark})" if found.has_mark else ""
    record = f"{found.events} events are here" if found.events else "nothing is on record yet"
    return (
        f"This computer is station {file.station}{mark} of bay {file.bay} "
        f"on {found.told}; {record}.\nOpen its board with: readbell board{where}"
    )
