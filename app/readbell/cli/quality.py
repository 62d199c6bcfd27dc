"""Write a report on quality: what is proposed, rates, charts, times, readers; and hold nothing by itself.

Who looked is recorded first. Where there are roles it takes a supervisor.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse

    from readbell.cli.figures_asked import Shown
    from readbell.core.figures.table import Chosen
    from readbell.reports.quality_paper import QualityPaper

KINDS = (".html", ".pdf")
OWNER_ALONE = 0o700


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "quality", help="a report on quality as HTML or PDF; proposes", description=__doc__
    )
    add = parser.add_argument
    add("--out", type=Path, metavar="FILE", help="a new file, .html or .pdf")
    add("--pictures", type=Path, metavar="FOLDER", help="every picture, in a new folder")
    add("--png", action="store_true", help="the pictures as PNG instead of SVG")
    add("--week", metavar="WEEK", help="these seven days: 2026-W13")
    add("--since", metavar="DAY", help="begun on this day or later: 2026-03-29")
    add("--until", metavar="DAY", help="begun on this day or sooner")
    add("--by", metavar="OPERATOR", help="who looks; it is recorded")
    add("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    add("--json", action="store_true", help="all of it as one JSON object")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Judge who asks, note it, add up, and write it."""
    from readbell.cli.figures_asked import ask_for_figures
    from readbell.cli.proposals import proposal_lines
    from readbell.cli.quality_parts import quality_paper
    from readbell.core.figures.view import By
    from readbell.phrases.quality_words import NOTHING
    from readbell.settings.settings_table import read_settings_table

    chosen = _chosen(options)
    _refuse_unclear(options)
    shown = ask_for_figures(options.journal, options.by, "--by OPERATOR", chosen, tuple(By))
    paper = quality_paper(shown, chosen)
    if options.out is not None:
        _write(options.out, paper, read_settings_table().fonts)
    if options.pictures is not None:
        _draw(options.pictures, paper, "png" if options.png else "svg")
    if options.json:
        _print_json(shown, chosen)
    else:
        if not shown.figures.table.whole.total:
            print(NOTHING)
        for line in proposal_lines(shown):
            print(line)
        for what, place in (("The report is", options.out), ("Every picture is", options.pictures)):
            if place is not None:
                print(f"{what} in {place}.")
    sys.stdout.flush()
    return DONE


def _chosen(options: argparse.Namespace) -> Chosen:
    """Return which days are asked about.

    Raises:
        WrongFileError: a day or a week is none, or they do not go together.
    """
    from readbell.cli.record_asked import the_days
    from readbell.core.figures.calendar_weeks import days_of
    from readbell.core.figures.table import Chosen
    from readbell.toml_tables import WrongFileError

    if options.week is None:
        since, until = the_days(options.since, options.until)
        return Chosen(since=since, until=until)
    if options.since is not None or options.until is not None:
        msg = "--week says all days: leave --since and --until out, or --week"
        raise WrongFileError([msg])
    days = days_of(options.week)
    if days is None:
        msg = f"--week: {options.week!r} is no week: write it as 2026-W13"
        raise WrongFileError([msg])
    return Chosen(since=days[0].isoformat(), until=days[1].isoformat())


def _refuse_unclear(options: argparse.Namespace) -> None:
    """See before anything is read that there is somewhere for the report to go.

    Raises:
        WrongFileError: there is not, or what draws PDF or PNG is not installed.
    """
    from readbell.toml_tables import WrongFileError

    out = options.out
    if options.png:
        _refuse_png(options.pictures)
    if options.pictures is not None and options.pictures.exists():
        msg = f"{options.pictures}: something stands there already: name a new folder"
        raise WrongFileError([msg])
    if out is None:
        if not options.json and options.pictures is None:
            msg = "name a file for the report, --out FILE.html or FILE.pdf, or ask for --json"
            raise WrongFileError([msg])
        return
    if out.suffix.lower() not in KINDS:
        msg = f"--out {out}: name a file that ends in .html or .pdf"
        raise WrongFileError([msg])
    if out.exists() or out.is_symlink():
        msg = f"{out}: something stands there already: name another file"
        raise WrongFileError([msg])
    if out.suffix.lower() == ".pdf":
        from readbell.reports.day_sheet_pdf import NoPaperError
        from readbell.reports.letters import Letters

        try:
            Letters()
        except NoPaperError:
            msg = (
                f"--out {out}: a PDF takes the extra paper; install it with "
                "pip install 'readbell[paper]', or name an .html file"
            )
            raise WrongFileError([msg]) from None


def _refuse_png(pictures: Path | None) -> None:
    """See that there are pictures to be made as PNG, and that they can be.

    Raises:
        WrongFileError: there are none, or what draws PNG is not installed.
    """
    from readbell.reports.drawing import need_png
    from readbell.toml_tables import WrongFileError

    if pictures is None:
        msg = "--png goes with --pictures: name a new folder, --pictures FOLDER, or leave --png out"
        raise WrongFileError([msg])
    try:
        need_png()
    except ImportError:
        msg = (
            f"--png --pictures {pictures}: a PNG takes the extra paper; install it with "
            "pip install 'readbell[paper]', or leave --png out"
        )
        raise WrongFileError([msg]) from None


def _write(path: Path, paper: QualityPaper, fonts: tuple[str, ...]) -> None:
    """Write the report, whole or not at all.

    Raises:
        WrongFileError: it cannot be written.
        FontError: a file of letters that the site names cannot be used.
    """
    from readbell.exports.out_file import OutFile
    from readbell.reports.letters import Letters
    from readbell.reports.quality_paper import quality_html
    from readbell.reports.quality_pdf import quality_pdf

    if path.suffix.lower() == ".pdf":
        made: str | bytes = quality_pdf(paper, Letters(fonts))
    else:
        made = quality_html(paper)
    with OutFile(path) as out:
        out.write(made)


def _draw(folder: Path, paper: QualityPaper, kind: str) -> None:
    """Write every picture of the report into the new `folder`, as "svg" or "png".

    Raises:
        WrongFileError: it cannot be made, or not be written into.
    """
    from readbell.reports.drawing import Drawing, write_picture
    from readbell.toml_tables import WrongFileError

    try:
        folder.mkdir(mode=OWNER_ALONE)
    except OSError as error:
        msg = f"{folder}: {error.strerror}: choose a place where you may write"
        raise WrongFileError([msg]) from None
    drawings = (each for each in paper.parts if isinstance(each, Drawing))
    for place, drawing in enumerate(drawings, 1):
        path = folder / f"{place:02}-{_file_name(drawing.title)}.{kind}"
        try:
            write_picture(drawing, path)
        except OSError as error:
            msg = f"{path}: {error.strerror}: choose a place where you may write"
            raise WrongFileError([msg]) from None


def _file_name(title: str) -> str:
    """Return what a file may be called by: letters, numbers and hyphens."""
    return "-".join("".join(each if each.isalnum() else " " for each in title.lower()).split())


def _print_json(shown: Shown, chosen: Chosen) -> None:
    from readbell.cli.figures_fields import figures_fields
    from readbell.cli.quality_fields import quality_fields
    from readbell.core.figures.view import By

    founded = shown.board.founded
    fields = {
        "bay": None if founded is None else founded.bay,
        "mode": None if founded is None else str(founded.mode),
        "since": chosen.since,
        "until": chosen.until,
    }
    fields |= quality_fields(shown.watched, shown.figures.table.twice_by_assay(), shown.name)
    fields |= figures_fields(shown.figures, By, shown.name)
    print(json.dumps(fields, ensure_ascii=False))
