"""List the assays at hand, or check an assay file."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, WRONG_INPUT

if TYPE_CHECKING:
    import argparse
    from typing import Any

    from readbell.core.assay.assay import Assay


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("assay", help=__doc__, description=__doc__)
    parser.add_argument(
        "file",
        type=Path,
        nargs="?",
        metavar="FILE",
        help="check this file; left out: list them all",
    )
    parser.add_argument("--json", action="store_true", help="JSON on standard output")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read the assays and say what they are, or what is wrong with them."""
    from readbell.assays.library import read_assay
    from readbell.assembly import library
    from readbell.toml_tables import WrongFileError

    shelf = library()
    paths = [options.file] if options.file is not None else list(shelf.files())
    status, found = DONE, []
    for path in paths:
        try:
            found.append(read_assay(path))
        except WrongFileError as error:
            status = WRONG_INPUT
            for fault in error.faults:
                print(fault, file=sys.stderr)
    if options.json:
        print(json.dumps([_as_json(assay) for assay in found], ensure_ascii=False, indent=2))
    else:
        for assay in found:
            print(_as_text(assay))
    return status


def _as_text(assay: Assay) -> str:
    from readbell.phrases.assay_words import say_figures

    figures = "\n".join(f"  {each}" for each in say_figures(assay))
    basis = dict(assay.basis).get("all", "see the file")
    return f"{assay.id}\n  {assay.title}\n{figures}\n  Where they come from: {basis}"


def _as_json(assay: Assay) -> dict[str, Any]:
    from readbell.assays.content_hash import content_hash
    from readbell.core.instant import seconds

    reading = assay.reading
    return {
        "id": assay.id,
        "title": assay.title,
        "content_hash": content_hash(assay),
        "steps": [step.key for step in assay.steps],
        "early_from_s": None if reading.early_from is None else seconds(reading.early_from),
        "opens_s": seconds(reading.opens),
        "closes_s": None if reading.closes is None else seconds(reading.closes),
        "lines": [
            {"key": line.key, "mark": line.mark, "name": line.name} for line in reading.lines
        ],
        "basis": dict(assay.basis),
    }
