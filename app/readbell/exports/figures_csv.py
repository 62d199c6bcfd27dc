"""Every table of the figures as a file for spreadsheets (RFC 4180, UTF-8), a row for each group.

A field that a spreadsheet might run gets an apostrophe before it (see `csv_table`).
"""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

from readbell.exports.csv_table import is_formula

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence


def tables_of(fields: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Yield the name and the text of each table of `fields`, as `cli.figures_fields` gives them."""
    groups = {"whole": [{"whole": "all", **fields["whole"]}]} | fields["by"]
    for by, rows in groups.items():
        yield f"by-{by}.csv" if by != "whole" else "whole.csv", _text([_flat(row) for row in rows])
    for by, rows in groups.items():
        waits = [{by: row[by], **_flat(each)} for row in rows for each in row["waits"]]
        yield f"waits-by-{by}.csv" if by != "whole" else "waits.csv", _text(waits)
    hours = [
        {"hour": hour, "begun": count}
        for hour, count in enumerate(fields["whole"]["begun_by_hour"])
    ]
    yield "begun-by-hour.csv", _text(hours)
    yield "control-samples.csv", _text(fields["control_samples"])
    near = fields["near_misses"]
    for of in ("code", "lot", "hour", "operator"):
        rows = [{of: key, "refused": count} for key, count in near[f"by_{of}"].items()]
        yield f"near-misses-by-{of}.csv", _text(rows)


def watching_tables_of(fields: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Yield the tables of what watching came to, of `fields` as `cli.quality_fields` gives them."""
    yield "proposals.csv", _text([_flat(each) for each in _alike(fields["proposals"])])
    points = [
        {
            "assay": chart["assay"],
            "by": chart["by"],
            "sign": chart["sign"],
            "group": point[chart["by"]],
        }
        | {key: value for key, value in point.items() if key != chart["by"]}
        for chart in fields["charts"]
        for point in chart["points"]
    ]
    yield "charts.csv", _text(points)
    yield "readers.csv", _text([_flat(each) for each in _alike(fields["readers"])])
    said = [
        {"assay": each["assay"], "first": first, "second": second, "strips": count}
        for each in fields["readers"]
        for first, row in zip(each["said"], each["table"], strict=True)
        for second, count in zip(each["said"], row, strict=True)
    ]
    yield "readers-said.csv", _text(said)
    pairs = [
        {"assay": each["assay"], **pair} for each in fields["readers"] for pair in each["pairs"]
    ]
    yield "readers-pairs.csv", _text([_flat(each) for each in _alike(pairs)])


def _alike(rows: Sequence[Mapping[str, Any]]) -> Iterator[Mapping[str, Any]]:
    """Yield `rows` with the same columns each: a part that one has and another has not is empty there."""
    parts = {
        key: dict.fromkeys(value)
        for row in rows
        for key, value in row.items()
        if isinstance(value, dict)
    }
    for row in rows:
        yield dict(row) | {key: row[key] or empty for key, empty in parts.items()}


def _flat(row: Mapping[str, Any]) -> dict[str, Any]:
    """Return the cells of a row: of a share its count, whole and interval, each a column."""
    made: dict[str, Any] = {}
    for key, value in row.items():
        if isinstance(value, list):
            continue  # a table of its own
        if isinstance(value, dict):
            made |= {f"{key}_{part}": each for part, each in value.items()}
        else:
            made[key] = value
    return made


def _text(rows: Sequence[Mapping[str, Any]]) -> str:
    written = io.StringIO()
    # Each field in quotes: else a semicolon in one would begin another where that parts them.
    writer = csv.writer(written, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    if rows:
        writer.writerow(rows[0])
    writer.writerows([_cell(each) for each in row.values()] for row in rows)
    return written.getvalue()


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.6g}"
    text = str(value)
    return f"'{text}" if is_formula(text) else text
