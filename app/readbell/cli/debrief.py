"""Say what attempts at rehearsals came to, what to practise next, and how they went on."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.cli.exit_codes import DONE, WRONG_INPUT

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from readbell.cli.attempts_read import Scored
    from readbell.core.rehearsal.attempt import AttemptFigures
    from readbell.core.rehearsal.passing import Lacking

NARROWEST, WIDEST = 60, 400


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("debrief", help=__doc__, description=__doc__)
    add = parser.add_argument
    add(
        "attempts",
        nargs="+",
        type=Path,
        metavar="JOURNAL",
        help="journals of rehearsals, the oldest first; the last is debriefed",
    )
    add(
        "--scenario",
        action="append",
        default=[],
        type=Path,
        metavar="FILE",
        help="what was rehearsed, or a folder to find it in (default: the journal's, and this one)",
    )
    add("--trainee", metavar="NAME", help="who practised, where the journals do not say")
    add("--wide", type=int, default=80, metavar="N", help="columns of a line (default: 80)")
    add("--json", action="store_true", help="one JSON object on standard output")
    add("--pdf", type=Path, metavar="FILE", help="write it there as well")
    add("--picture", type=Path, metavar="FILE", help="draw the time line: .svg, .pdf or .png")
    add(
        "--keep", type=Path, metavar="FILE", help="add the figures to this file, and show its trend"
    )
    add("--clear", metavar="OPERATOR", help="clear this operator, if the site's rule is passed")
    add("--by", metavar="OPERATOR", help="who signs for that: a supervisor")
    add("--until", metavar="DAY", help="to the end of which day, such as 2027-12-31")
    add("--vision-checked", metavar="DAY", help="when their eyes were looked at")
    add("--journal", type=Path, metavar="FILE", help="of the bay; default: this computer's own")
    parser.set_defaults(run=run, opens_journal=False)  # only a clearance needs it


def run(options: argparse.Namespace) -> int:
    """Print the debrief, and do what else was asked for."""
    from readbell.cli.attempts_read import score_attempts
    from readbell.cli.spelt_out import spelt_out
    from readbell.core.rehearsal.passing import lacking
    from readbell.phrases.debrief_text import debrief_lines, pass_lines
    from readbell.phrases.trend_text import trend_lines
    from readbell.settings.settings_table import read_settings_table

    wrong = _wrong(options)
    if wrong is not None:
        print(spelt_out(wrong), file=sys.stderr)
        return WRONG_INPUT
    training = read_settings_table().training
    rule = None if training is None else training.to_rule()
    scored = score_attempts(options.attempts, options.scenario)
    last = scored[-1]
    trend = _trend(scored, options)
    lacks = None if rule is None else lacking([each.score for each in scored], rule)
    lines = debrief_lines(last.score, last.script.face, options.wide)
    if len(trend) > 1:
        lines += ["", *trend_lines(trend)]
    lines += ["", *pass_lines(lacks, options.wide)]
    if options.pdf is not None:
        _write_pdf(options.pdf, lines, last.score.title)
    if options.picture is not None:
        _draw(options.picture, last)
    if options.json:
        print(json.dumps(_fields(scored, trend, lacks), ensure_ascii=False, indent=2))
    else:
        for each in lines:
            print(spelt_out(each))
    sys.stdout.flush()
    if options.clear is None:
        return DONE
    return _clear(options, scored, lacks)


def _wrong(options: argparse.Namespace) -> str | None:
    """Return the sentence for what does not go together, or None."""
    if not NARROWEST <= options.wide <= WIDEST:
        return f"--wide {options.wide}: name a number from {NARROWEST} to {WIDEST}."
    if options.clear is not None and (options.by is None or options.until is None):
        return "--clear needs --by and --until: say which supervisor signs, and to the end of which day."
    if options.clear is None and (options.by or options.until or options.vision_checked):
        return "--by, --until and --vision-checked go with --clear: say who is to be cleared."
    from readbell.cli.picture_file import why_no_picture

    wrong = None if options.picture is None else why_no_picture(options.picture)
    if wrong is not None:
        return f"{wrong}."
    if options.trainee is not None and not options.trainee.strip():
        return "--trainee: give a name."
    return None


def _trend(scored: Sequence[Scored], options: argparse.Namespace) -> list[AttemptFigures]:
    """Return the attempts of whoever made the last one, the oldest first.

    Raises:
        WrongFileError: the file that keeps them cannot be used; nobody said who practised, or a
            journal says that it was somebody else.
    """
    from readbell.cli.attempts_file import keep_attempts
    from readbell.core.rehearsal.attempt import figures_of
    from readbell.toml_tables import WrongFileError

    for each in scored:
        said = each.score.trainee
        if options.trainee is not None and said and said != options.trainee:
            msg = (
                f"--trainee {options.trainee}: {each.stored.journal} says that {said} practised: "
                "leave --trainee out, or name another journal"
            )
            raise WrongFileError([msg])
    figures = [
        figures_of(
            each.score,
            trainee=options.trainee or each.score.trainee or "",
            scenario=each.script.digest.hex(),
            head=each.stored.head.hex,
        )
        for each in scored
    ]
    if options.keep is not None:
        if not all(each.trainee for each in figures):
            msg = "--keep: the journals do not say who practised: add --trainee NAME"
            raise WrongFileError([msg])
        figures = keep_attempts(options.keep, figures)
    who = options.trainee or scored[-1].score.trainee or ""
    return [each for each in figures if each.trainee == who]


def _fields(
    scored: Sequence[Scored],
    trend: Sequence[AttemptFigures],
    lacks: tuple[Lacking, ...] | None,
) -> dict[str, Any]:
    from dataclasses import asdict

    from readbell.reports.debrief_report import debrief_report

    return {
        **debrief_report(scored[-1].score),
        "journal": {
            "events": scored[-1].stored.head.seq,
            "head": scored[-1].stored.head.hex,
        },
        "scenario": scored[-1].script.digest.hex(),
        "trend": [asdict(each) for each in trend],
        "pass_rule": None
        if lacks is None
        else {
            "passed": not lacks,
            "lacks": [
                {
                    "what": str(each.what),
                    "attempt": each.attempt or None,
                    "found": each.found,
                    "asked": each.asked,
                }
                for each in lacks
            ],
        },
    }


def _write_pdf(path: Path, lines: list[str], title: str) -> None:
    """Write the pages; never over a file that stands there.

    Raises:
        NoPaperError: what draws PDF is not installed.
        WrongFileError: it cannot be written there.
    """
    from readbell.exports.out_file import OutFile
    from readbell.reports.debrief_pdf import debrief_pdf

    made = debrief_pdf(lines, title=f"Debrief: {title}")
    with OutFile(path) as out:
        out.write(made)


def _draw(path: Path, scored: Scored) -> None:
    """Draw the time line; never over a file that stands there.

    Raises:
        NoPaperError: it is to be a PDF, and what draws one is not installed.
        WrongFileError: it cannot be written there.
    """
    from readbell.phrases.debrief_words import (
        NO_PROOF,
        PICTURE,
        PICTURE_LEGEND,
        PICTURE_SIGNS,
    )
    from readbell.reports.day_sheet_pdf import NoPaperError
    from readbell.reports.debrief_picture import picture_of
    from readbell.reports.drawing import write_picture
    from readbell.toml_tables import WrongFileError

    found = scored.score
    words = (PICTURE.format(title=found.title), found.goal, PICTURE_SIGNS, *NO_PROOF)
    if path.exists():
        msg = f"{path}: something stands there already: name another file"
        raise WrongFileError([msg])
    try:
        write_picture(picture_of(found, words, PICTURE_LEGEND), path)
    except ImportError:
        raise NoPaperError from None
    except OSError as error:
        msg = f"{path}: {error.strerror}: name another file"
        raise WrongFileError([msg]) from None


def _clear(
    options: argparse.Namespace, scored: Sequence[Scored], lacks: tuple[Lacking, ...] | None
) -> int:
    """Put the clearance to the bay: it is a supervisor's, and they sign in as for any."""
    from readbell.cli.clearing import clear

    return clear(options, scored, lacks)
