"""A clearance that rests on attempts at rehearsals: a supervisor signs for it, nobody else can."""

from __future__ import annotations

import json
import sys
from datetime import timedelta
from typing import TYPE_CHECKING, cast

from readbell.cli.exit_codes import WRONG_INPUT

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from readbell.cli.attempts_read import Scored
    from readbell.core.rehearsal.passing import Lacking
    from readbell.scenarios.line import Request


def clear(
    options: argparse.Namespace, scored: Sequence[Scored], lacks: tuple[Lacking, ...] | None
) -> int:
    """Put the clearance to the bay, if the site's rule is passed; return the exit status.

    Raises:
        WrongFileError: what was given is wrong.
        JournalError: the bay cannot be asked.
    """
    from readbell.cli.asking_the_bay import ask_the_bay
    from readbell.cli.passphrase import unlock
    from readbell.cli.signing_in import look_at, signing_in
    from readbell.phrases.debrief_words import NO_RULE, NOT_PASSED
    from readbell.scenarios.line import read_line
    from readbell.settings.places import default_journal

    if lacks is None or lacks:
        print(NO_RULE if lacks is None else NOT_PASSED, file=sys.stderr)
        return WRONG_INPUT
    assays = {each.assay.id for one in scored for each in one.stored.board.assays.values()}
    trainees = {each.score.trainee for each in scored if each.score.trainee}
    wrong = _wrong(assays, trainees, options.until)
    if wrong is not None:
        print(wrong, file=sys.stderr)
        return WRONG_INPUT
    path = options.journal or default_journal()
    if path.is_file():
        unlock(path)
    board = look_at(path)
    if board.running:
        print(
            f"{path}: {len(board.running)} running: wait until they are read, then clear.",
            file=sys.stderr,
        )
        return WRONG_INPUT
    vision = {} if options.vision_checked is None else {"vision_checked": options.vision_checked}
    line = {
        "do": "state-competence",
        "by": options.by,
        "operator": options.clear,
        "assay": next(iter(assays)),
        "until": options.until,
        "practised": [each.stored.head.hex for each in scored],
        **vision,
    }
    requests = [*signing_in(board, options.by), cast("Request", read_line(json.dumps(line)))]
    return ask_the_bay(options.journal, iter(requests), as_json=options.json)


def _wrong(assays: set[str], trainees: set[str], until: str) -> str | None:
    """Return what stands in the way, or None."""
    from readbell.bay.site_time import site_date, time_zone
    from readbell.clock.system import SystemClock
    from readbell.scenarios.act_table import as_day
    from readbell.settings.settings_table import read_settings_table

    if len(assays) != 1:
        return f"the attempts are of {len(assays)} assays: clear for one at a time."
    if len(trainees) > 1:
        return f"the attempts are of {len(trainees)} trainees: clear on those of one alone."
    try:
        day = as_day(until)
    except ValueError as error:
        return f"--until {until!r}: {error}."
    training = read_settings_table().training
    today = site_date(SystemClock().read().wall, time_zone("UTC"))
    days = 0 if training is None else training.clears_days
    if day > today + timedelta(days=days):
        return (
            f"--until {until}: the site's rule lets a clearance that rests on attempts hold for "
            f"{days} days: name a day up to {today + timedelta(days=days)}."
        )
    return None
