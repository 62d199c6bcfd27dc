"""What `readbell export` was asked for, checked: which form, and which of the results."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse

    from readbell.core.exports.events import Choice
    from readbell.core.policy.sending import ReportFormat


def asked_of(options: argparse.Namespace) -> tuple[ReportFormat, Choice]:
    """Return what was asked for.

    Raises:
        WrongFileError: it cannot be understood, or does not go together.
    """
    from readbell.cli.record_asked import the_days
    from readbell.core.exports.events import EVERYTHING, Choice
    from readbell.core.policy.sending import OF_RESULTS, ReportFormat
    from readbell.core.reading.interpretation import Outcome
    from readbell.toml_tables import WrongFileError

    form = ReportFormat(options.what)
    if options.out is None:
        msg = f"export {form}: say where to, with --out and the name of a new file"
        raise WrongFileError([msg])
    outcomes = {str(each): each for each in Outcome if each is not Outcome.WITHHELD}
    for each in options.outcome:
        if each not in outcomes:
            msg = f"--outcome {each}: say one of {', '.join(outcomes)}"
            raise WrongFileError([msg])
    since, until = the_days(options.since, options.until)
    choice = Choice(
        since=None if since is None else date.fromisoformat(since),
        until=None if until is None else date.fromisoformat(until),
        lots=tuple(options.lot),
        assays=tuple(options.assay),
        outcomes=tuple(outcomes[each] for each in options.outcome),
        unsent=options.unsent,
    )
    if form is ReportFormat.JSONL and choice != EVERYTHING:
        msg = "jsonl is the whole record, line by line: leave --since and its like out"
        raise WrongFileError([msg])
    if options.unsent and form not in OF_RESULTS:
        msg = f"--unsent goes with {', '.join(OF_RESULTS)}: of a {form} nothing is counted as sent"
        raise WrongFileError([msg])
    if options.shift is not None and form is not ReportFormat.PDF:
        msg = "--shift goes with pdf: say the days with --since and --until"
        raise WrongFileError([msg])
    if options.shift is not None and choice != EVERYTHING:
        msg = "--shift is the whole day sheet of a shift: leave --since and its like out"
        raise WrongFileError([msg])
    return form, choice
