"""The file in which a site keeps the figures of attempts: one JSON object a line, only added to."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BeforeValidator, Field, ValidationError

from readbell.core.rehearsal.attempt import AttemptFigures
from readbell.scenarios.act_table import Name
from readbell.toml_tables import Table, WrongFileError, faults_of, read_text

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path


def _as_pair(written: object) -> object:
    return tuple(written) if isinstance(written, list) else written


Pair = Annotated[
    tuple[Annotated[int, Field(ge=0)], Annotated[int, Field(ge=0)]], BeforeValidator(_as_pair)
]
Count = Annotated[int, Field(ge=0)]
Seconds = Annotated[float, Field(ge=0, strict=False)]


class _Line(Table):
    trainee: Name
    title: Name
    scenario: Name
    head: Name
    assist: str
    windows: Pair
    waits: Pair
    lines: Pair
    faint: Pair
    went_through: Count
    refused: Count
    took: Seconds
    best: Seconds | None
    kappa: Annotated[float, Field(ge=-1, le=1, strict=False)] | None
    strips: Count
    left_early: bool = False


def read_attempts(path: Path) -> list[AttemptFigures]:
    """Return the attempts that stand in the file, in order; none where there is no file yet.

    Raises:
        WrongFileError: it cannot be read, or a line is none of this program's.
    """
    if not path.exists():
        return []
    found = []
    # Not by every sign that ends a line somewhere: one may stand in a name.
    for number, line in enumerate(read_text(path).split("\n"), start=1):
        if line.strip():
            found.append(_attempt(f"{path}, line {number}", line))
    return found


def keep_attempts(path: Path, attempts: Sequence[AttemptFigures]) -> list[AttemptFigures]:
    """Add those of `attempts` that are not in the file yet, and return all that then are.

    Raises:
        WrongFileError: it cannot be read or written, or a name is none.
    """
    known = read_attempts(path)
    heads = {(each.trainee, each.head) for each in known}
    fresh = [each for each in attempts if (each.trainee, each.head) not in heads]
    lines = [json.dumps(_as_kept(each), ensure_ascii=False) for each in fresh]
    for each in lines:
        _attempt("--keep", each)  # what could not be read again would spoil the file for good
    try:
        with path.open("a", encoding="utf-8") as file:
            if known and not read_text(path).endswith("\n"):
                file.write("\n")  # whoever edited it by hand left the last line open
            file.writelines(f"{each}\n" for each in lines)
    except OSError as error:
        msg = f"{path}: {error.strerror}: name another file"
        raise WrongFileError([msg]) from None
    return [*known, *fresh]


def _as_kept(attempt: AttemptFigures) -> dict[str, Any]:
    """Return what is written: what says nothing new is left out, so an older program reads it too."""
    found = asdict(attempt)
    return found if attempt.left_early else {k: v for k, v in found.items() if k != "left_early"}


def _attempt(where: str, line: str) -> AttemptFigures:
    try:
        found: Any = json.loads(line)
    except (ValueError, RecursionError):
        raise WrongFileError([f"{where}: this is no JSON: take the line out"]) from None
    try:
        table = _Line.model_validate(found)
    except ValidationError as error:
        raise WrongFileError(faults_of(where, error)) from None
    return AttemptFigures(**table.model_dump())
