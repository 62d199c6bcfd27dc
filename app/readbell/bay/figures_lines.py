"""What is asked of the program that counts the figures, and what it says, as lines of JSON."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from readbell.core.figures.view import (
    Answered,
    Asked,
    By,
    CountFailed,
    Counting,
    Sheet,
    Stretch,
)

if TYPE_CHECKING:
    from readbell.core.figures.view import Said


def question(asked: Asked) -> str:
    """Return `asked` as a line."""
    return json.dumps(asdict(asked), ensure_ascii=False)


def asked_in(line: str) -> Asked:
    """Return what a line asks.

    Raises:
        ValueError: it is no question.
        TypeError: as before.
        KeyError: as before.
    """
    return _asked(json.loads(line))


def _asked(found: dict[str, Any]) -> Asked:
    picture = found.pop("picture")
    return Asked(
        **found
        | {
            "sheet": Sheet(found["sheet"]),
            "by": By(found["by"]),
            "stretch": Stretch(found["stretch"]),
            "picture": None if picture is None else (picture[0], picture[1]),
        }
    )


def answer(said: Said) -> str:
    """Return `said` as a line."""
    kind = {Answered: "answered", Counting: "counting", CountFailed: "failed"}[type(said)]
    return json.dumps({kind: asdict(said)}, ensure_ascii=False)


def said_in(line: str) -> Said:
    """Return what a line says.

    Raises:
        ValueError: it says nothing.
        TypeError: as before.
        KeyError: as before.
    """
    ((kind, found),) = json.loads(line).items()
    if kind == "counting":
        return Counting(**found)
    if kind == "failed":
        return CountFailed(**found)
    return Answered(
        asked=_asked(found["asked"]),
        as_of=found["as_of"],
        head=found["head"],
        rows=tuple((key, text) for key, text in found["rows"]),
        notes=tuple(found["notes"]),
        picture=tuple(found["picture"]),
    )
