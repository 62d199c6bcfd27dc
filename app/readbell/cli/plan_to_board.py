"""`readbell plan --to-board`: the plan is loaded into a bay that no program runs just now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.cli.capacity_asked import WrongNumberError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from readbell.core.plan.batch.job import Break
    from readbell.core.plan.batch.plan import Plan


def check(options: argparse.Namespace) -> None:
    """See that what is said about the board fits together, before anything is worked out.

    Raises:
        WrongNumberError: it does not.
    """
    if options.to_board and options.by is None:
        msg = "--to-board: say who loads the plan, with --by OPERATOR."
        raise WrongNumberError(msg)
    if options.to_board and options.line is not None:
        msg = "--to-board loads the plan and --line prints the line that does: name one of them."
        raise WrongNumberError(msg)
    if not options.to_board and (options.by is not None or options.journal is not None):
        msg = "--by and --journal go with --to-board: say --to-board as well, or leave them out."
        raise WrongNumberError(msg)


def load(options: argparse.Namespace, found: Plan, assay: str, breaks: Sequence[Break]) -> int:
    """Load the plan with its breaks, say what became of it, and return the exit status.

    Raises:
        InUseError: a program runs this bay.
        JournalError: there is no journal, or it cannot be used.
    """
    from readbell.cli.asking_the_bay import ask_the_bay
    from readbell.cli.passphrase import unlock
    from readbell.cli.signing_in import after_signing_in
    from readbell.journal.errors import InUseError
    from readbell.reports.plan_report import as_line
    from readbell.scenarios.plan_loading import LoadPlanLine
    from readbell.settings.places import default_journal

    path = options.journal or default_journal()
    if path.is_file():
        unlock(path)
    line = LoadPlanLine.model_validate(as_line(found, assay, options.by, breaks))
    try:
        requests = after_signing_in(path, options.by, [line])
        return ask_the_bay(path, requests, as_json=options.json)
    except InUseError:
        msg = (
            f"{path}: a board runs this bay: make the plan in its room (F9, Plan, F2), or give it "
            "the line that --line prints."
        )
        raise InUseError(msg) from None
