"""What was asked of a bay, kept as JSON, so that a rehearsal can be played again.

An entry keeps every field it has, how a thing was made sure of among them; all else is
kept as the line that a bay without a screen would be given. A PIN is never kept.
"""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING, Any

from pydantic import BeforeValidator

from readbell.core.board.entry import Entry
from readbell.core.instant import Span
from readbell.core.span_text import write_span
from readbell.scenarios.line import SOURCE, EntryLine, Question, Request, read_line
from readbell.scenarios.staff_lines import Secret
from readbell.shapes import shape_of
from readbell.shapes import write as written
from readbell.toml_tables import Table, WrongFileError, as_span

if TYPE_CHECKING:
    from pydantic.fields import FieldInfo

ENTRY = "entry"
AGO = "ago"


def kept_line(request: Request) -> str | None:
    """Return `request` as it is kept; None where a PIN is all that it says."""
    if isinstance(request, EntryLine):
        ago = "" if request.ago is None else f',"{AGO}":{int(request.ago)}'
        return f'{{"{ENTRY}":{written(request.entry)}{ago}}}'
    text = json.dumps(_plain_table(request), sort_keys=True, ensure_ascii=False)
    try:
        read_line(text)
    except WrongFileError:
        return None
    return text


def asked_by(text: str) -> Request:
    """Return the request that `kept_line` kept as `text`.

    Raises:
        WrongFileError: it is none.
    """
    try:
        found: Any = json.loads(text)
        if ENTRY in found:
            ago = found.get(AGO)
            entry = shape_of(Entry).read(found[ENTRY], _no_private)
            return EntryLine(entry=entry, ago=ago)
    except (ValueError, TypeError, KeyError):
        raise WrongFileError([f"{SOURCE}: this is no act that was kept"]) from None
    line = read_line(text)
    if isinstance(line, Question):
        raise WrongFileError([f"{SOURCE}: this asks for no act"])
    return line


def _no_private(_: Any) -> Any:
    raise TypeError


def _plain_table(table: Table) -> dict[str, Any]:
    """Return `table` as somebody would write it."""
    kept: dict[str, Any] = {}
    for name, field in type(table).model_fields.items():
        value = getattr(table, name)
        said = field.is_required() or value != field.default
        if said and not isinstance(value, Secret):
            kept[field.alias or name] = _plain(value, field)
    return kept


def _plain(value: Any, field: FieldInfo) -> Any:
    if isinstance(value, Table):
        return _plain_table(value)
    if isinstance(value, tuple | list):
        return [_plain(each, field) for each in value]
    if isinstance(value, dict):
        return {key: _plain(each, field) for key, each in value.items()}
    if isinstance(value, date):
        return value.isoformat()
    is_time = any(
        isinstance(each, BeforeValidator) and each.func is as_span for each in field.metadata
    )
    return write_span(Span(value)) if is_time and isinstance(value, int) else value
