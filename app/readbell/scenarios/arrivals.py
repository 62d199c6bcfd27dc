"""Reads when people come: a TOML file with a list, or a CSV file with a time a line."""

from __future__ import annotations

import csv
from itertools import pairwise
from typing import TYPE_CHECKING, Annotated

from pydantic import Field

from readbell.core.instant import MINUTE, Span
from readbell.core.span_text import write_span
from readbell.toml_tables import Table, Time, WrongFileError, as_span, read_tables, read_text

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

LATEST = Span(24 * 60 * MINUTE)
"""Whoever comes later belongs to another batch."""
MOST_PEOPLE = 500
HEADING = "arrives"


class _Arrivals(Table):
    arrivals: Annotated[list[Time], Field(min_length=1, max_length=MOST_PEOPLE)]


def read_arrivals(path: Path) -> tuple[Span, ...]:
    """Return when people come, after the start of the batch, in the order of the file.

    Raises:
        WrongFileError: it cannot be read, a time is none, or the times are not in order.
    """
    text = read_text(path)
    if path.suffix.lower() == ".csv":
        times = _of_csv(path, text)
        places = [f"line {line}" for line, _ in times]
        found = [time for _, time in times]
    else:
        found = read_tables(text, _Arrivals, str(path)).arrivals
        places = [f"arrivals.{place}" for place in range(1, len(found) + 1)]
    _check(path, places, found)
    return tuple(found)


def _of_csv(path: Path, text: str) -> list[tuple[int, Span]]:
    found: list[tuple[int, Span]] = []
    for line, row in enumerate(csv.reader(text.splitlines()), start=1):
        if not any(cell.strip() for cell in row) or (not found and row[0].strip() == HEADING):
            continue
        if len(row) != 1:
            fault = f"{path}, line {line}: write one time a line, under the heading {HEADING}"
            raise WrongFileError([fault])
        try:
            found.append((line, as_span(row[0].strip())))
        except ValueError as error:
            raise WrongFileError([f"{path}, line {line}: {row[0][:60]!r}: {error}"]) from None
    if not 1 <= len(found) <= MOST_PEOPLE:
        fault = f"{path}: it names {len(found)} arrivals: name from 1 to {MOST_PEOPLE}"
        raise WrongFileError([fault])
    return found


def _check(path: Path, places: Sequence[str], found: Sequence[Span]) -> None:
    for place, time in zip(places, found, strict=True):
        if time > LATEST:
            fault = (
                f"{path}, {place}: {write_span(time)} is more than a day after the start: "
                "write an earlier time"
            )
            raise WrongFileError([fault])
    for place, (before, after) in zip(places[1:], pairwise(found), strict=True):
        if after < before:
            fault = (
                f"{path}, {place}: {write_span(after)} stands after {write_span(before)}: "
                "write arrivals in the order of time"
            )
            raise WrongFileError([fault])
