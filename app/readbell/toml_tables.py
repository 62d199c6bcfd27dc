"""Files people write: read as TOML, checked key by key, refused in plain words.

Every refusal is one sentence that names the file, the key, what stands there
and what to do about it.
"""

from __future__ import annotations

import tomllib
from datetime import date
from typing import TYPE_CHECKING, Annotated, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationError

from readbell.core.errors import ReadbellError
from readbell.core.instant import MINUTE, Span
from readbell.core.span_text import read_span

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from pydantic_core import ErrorDetails

Tables = TypeVar("Tables", bound=BaseModel)

LONGEST_QUOTE = 60
LONGEST_TIME = Span(366 * 24 * 60 * MINUTE)
"""A longer time is taken for a slip of the keys."""
_INNER = ("str-enum[", "dict[", "literal[", "nullable[")
"""How pydantic begins the names of forms a value may take, which no file contains."""


class Table(BaseModel):
    """A table of a file: unknown keys are mistakes, not news."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, defer_build=True)


def as_span(written: object) -> Span:
    """Return the time that a file writes as text.

    Raises:
        ValueError: it writes none.
    """
    span = read_span(written) if isinstance(written, str) else None
    if span is None:
        msg = 'write a time as "15:00", or "0:15:00" with hours'
        raise ValueError(msg)
    if span > LONGEST_TIME:
        msg = "that is longer than a year: write a shorter time"
        raise ValueError(msg)
    return span


Time = Annotated[Span, BeforeValidator(as_span)]


class WrongFileError(ReadbellError):
    """A file cannot be used; the text says where it is wrong and what to do."""

    def __init__(self, faults: Sequence[str]) -> None:
        more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
        super().__init__(f"{faults[0]}{more}")
        self.faults = tuple(faults)


def read_text(path: Path) -> str:
    """Return what stands in `path`.

    Raises:
        WrongFileError: it cannot be opened, or it is not UTF-8 text.
    """
    try:
        return path.read_text(encoding="utf-8-sig")
    except ValueError as error:
        raise WrongFileError([_unreadable(path, error)]) from None
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise WrongFileError([f"{path}: {reason}: check the name and the rights"]) from None


def read_tables(text: str, kind: type[Tables], source: str) -> Tables:
    """Return `text` as checked tables of `kind`; `source` names the file in faults.

    Raises:
        WrongFileError: the text is no TOML, or a key or a value is wrong.
    """
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise WrongFileError([f"{source}: this is not TOML: {error}: mend that place"]) from None
    except (RecursionError, ValueError):
        fault = f"{source}: a number or a nesting in it is too long: write it shorter"
        raise WrongFileError([fault]) from None
    try:
        return kind.model_validate(found)
    except ValidationError as error:
        raise WrongFileError(faults_of(source, error)) from None


def faults_of(source: str, error: ValidationError) -> list[str]:
    """Return one sentence for each place of a file that is wrong."""
    # A value that may take several forms is refused once for each: one sentence is enough.
    found = {_where(each): _fault(source, each) for each in reversed(error.errors())}
    return list(reversed(found.values()))


def _fault(source: str, found: ErrorDetails) -> str:
    """Say in one sentence what pydantic found wrong."""
    where = _where(found)
    match found["type"]:
        case "missing":
            return f"{source}: {where} is missing: add it"
        case "extra_forbidden":
            return (
                f"{source}: {where} is not a key this file may have: take it out or mend its name"
            )
        case "value_error" if isinstance(found["input"], dict):
            return ": ".join(part for part in (source, where, _remedy(found)) if part)
        case _:
            return f"{source}: {where} = {_quote(found['input'])}: {_remedy(found)}"


def _unreadable(path: Path, error: ValueError) -> str:
    if isinstance(error, UnicodeDecodeError):
        return f"{path}: byte {error.start} is not UTF-8: save the file as UTF-8 text"
    return f"{str(path)!r}: no file can be called that: check the name"


def _where(found: ErrorDetails) -> str:
    *within, last = found["loc"] or ("",)
    shown = [part for part in within if not _is_inner(part)]
    if found["type"] == "extra_forbidden" or not _is_inner(last):
        shown.append(last)
    return ".".join(_place(part) for part in shown if part != "")


def _remedy(found: ErrorDetails) -> str:
    if found["type"] in ("enum", "literal_error"):
        return f"use {found['ctx']['expected']}"
    if found["type"] == "timezone_aware":
        return "add its offset from UTC, as in 2026-03-29T00:40:00+00:00"
    said = found["msg"].removeprefix("Value error, ")
    if said.startswith("Input should be "):
        return f"it should be {said.removeprefix('Input should be ')}"
    return f"{said[:1].lower()}{said[1:]}"


def _is_inner(part: int | str) -> bool:
    """Say whether `part` names a type of ours rather than a key of the file."""
    return isinstance(part, str) and part.startswith(_INNER)


def _quote(value: object) -> str:
    shown = value.isoformat() if isinstance(value, date) else repr(value)
    return shown if len(shown) <= LONGEST_QUOTE else f"{shown[:LONGEST_QUOTE]}..."


def _place(part: int | str) -> str:
    if isinstance(part, int):
        return str(part + 1)  # people count tables of a list from 1
    return part if part.isprintable() and len(part) <= LONGEST_QUOTE else _quote(part)
