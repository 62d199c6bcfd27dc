"""List the assays at hand, show or check one, or copy one to be changed."""

from __future__ import annotations

import json
import re
import sys
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, WRONG_INPUT

if TYPE_CHECKING:
    import argparse
    from pathlib import Path
    from typing import Any

    from readbell.assays.library import Library
    from readbell.core.assay.assay import Assay


AN_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,59}", re.ASCII)


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("assay", help=__doc__, description=__doc__)
    parser.add_argument(
        "assay",
        nargs="?",
        metavar="ID or FILE",
        help="show the assay of this id, or check this file; left out: list them all",
    )
    parser.add_argument(
        "--copy",
        metavar="ID",
        help="put a copy of it under an id of its own among this site's assays, to be changed",
    )
    parser.add_argument("--json", action="store_true", help="JSON on standard output")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read the assays and say what they are, or what is wrong with them."""
    from readbell.assays.library import read_assay
    from readbell.assembly import library
    from readbell.toml_tables import WrongFileError

    shelf, asked = library(), options.assay
    if options.copy is not None:
        print(_copied(shelf, asked, options.copy))
        return DONE
    status, found = DONE, []
    paths = list(shelf.files()) if asked is None else [_file_of(shelf, asked)]
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


def _file_of(shelf: Library, asked: str) -> Path:
    """Return the file that was named, or that of the assay with this id.

    Raises:
        WrongFileError: no assay at hand has this id.
    """
    from pathlib import Path

    named = Path(asked)
    return named if named.exists() or len(named.parts) > 1 else shelf.file_of(asked)


def _copied(shelf: Library, asked: str | None, own: str) -> str:
    """Put a copy where a site's own assays are, and return what is to be done with it.

    Raises:
        WrongFileError: nothing was said to be copied, it is wrong itself, or its place is taken.
    """
    from readbell.assays.library import SUFFIX, read_assay, renamed
    from readbell.settings.places import assay_folder
    from readbell.toml_tables import WrongFileError, read_text

    if asked is None:
        fault = "--copy: say which assay is to be copied, by its id or its file"
        raise WrongFileError([fault])
    if AN_ID.fullmatch(own) is None:
        fault = f"--copy: {own!r} is no id: use small letters, digits and hyphens, such as our-kit"
        raise WrongFileError([fault])
    file = _file_of(shelf, asked)
    copied, path = read_assay(file), assay_folder() / f"{own}{SUFFIX}"
    if path.exists():
        raise WrongFileError([f"{path}: something stands there already: say another id"])
    if any(each.id == own for each in shelf.every()):
        fault = f"--copy: an assay at hand is called {own} already: say another id"
        raise WrongFileError([fault])
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("x", encoding="utf-8") as made:
            made.write(renamed(read_text(file), own))
    except OSError as error:
        fault = f"{path}: {error.strerror}: make room or see to the rights, and copy it again"
        raise WrongFileError([fault]) from None
    return (
        f"{path}: a copy of {copied.id}, called {own}. Change its title and what differs from your "
        f"kit's instructions, check it with 'readbell assay {own}', and adopt it then."
    )


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
