"""Try everything for long, say what was lost, and write the table to docs/torture.md."""

from __future__ import annotations

import argparse
import sys
import traceback
from typing import TYPE_CHECKING

from torture.report import say, write_paper
from torture.trial import Tried, every_trial, ground

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torture.trial import Ground, Trial


def main() -> int:
    """Run the trials that are asked for; 0 if each came out as it must."""
    trials = every_trial()
    names = [each.name for each in trials]
    parser = argparse.ArgumentParser(prog="torture", description=__doc__)
    parser.add_argument("trial", nargs="*", choices=[[], *names], help="default: every one")
    parser.add_argument("--seed", type=int, default=1, help="the same seed tries the same (1)")
    parser.add_argument("--short", action="store_true", help="as with the tests; writes no paper")
    options = parser.parse_args()
    found: dict[str, list[Tried]] = {}
    for trial in trials:
        if options.trial and trial.name not in options.trial:
            continue
        say(f"\n{trial.title} ({trial.name}, seed {options.seed})")
        rows = found.setdefault(trial.name, [])
        with ground(options.seed, long=not options.short) as place:
            for row in _tried(trial, place):
                rows.append(row)
                say(row)
        if not options.short:  # after each, as it takes long and may be stopped
            write_paper(trials, found, options.seed)
    if not options.short:
        say(f"\nWrote {write_paper(trials, found, options.seed)}")
    held = all(row.held for rows in found.values() for row in rows)
    say("\nEverything came out as it must." if held else "\nSOMETHING WAS LOST OR WRONG.")
    return 0 if held else 1


def _tried(trial: Trial, place: Ground) -> Iterator[Tried]:
    """Yield the rows of a trial; if it breaks off, the last of them says so and the rest go on."""
    try:
        yield from trial.run(place)
    except Exception as error:  # noqa: BLE001  # one trial must not take the others with it
        broken = Tried(what="the trial itself broke off", times=1)
        where = traceback.extract_tb(error.__traceback__)[-1]
        broken.fail(f"{type(error).__name__} in {where.name}, line {where.lineno}: {error}")
        yield broken


if __name__ == "__main__":
    sys.exit(main())
