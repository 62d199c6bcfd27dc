"""One line given to a bay without a screen: a JSON object that asks for one thing."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationError

from readbell.scenarios.act_table import ActTable, Name
from readbell.toml_tables import Table, WrongFileError, as_span, faults_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.board.entry import Entry
    from readbell.core.instant import Span

SOURCE = "this line"


def _as_day(written: object) -> date:
    if isinstance(written, date):
        return written
    try:
        return date.fromisoformat(written if isinstance(written, str) else "")
    except ValueError:
        msg = 'write a day that exists, as "2026-12-31"'
        raise ValueError(msg) from None


class OperatorLine(Table):
    """Register an operator; the first needs nobody to vouch."""

    do: Literal["register-operator"]
    id: Name
    by: Name | None = None


class PersonLine(Table):
    """Register a person to be tested."""

    do: Literal["register-person"]
    id: Name
    by: Name


class AdoptionLine(Table):
    """Adopt an assay that was checked against the kit's instructions for use."""

    do: Literal["adopt-assay"]
    assay: Name
    instructions: Name
    by: Name


class LotLine(Table):
    """Receive a lot."""

    do: Literal["receive-lot"]
    number: Name
    assay: Name
    expires: Annotated[date, BeforeValidator(_as_day)]
    units: Annotated[int, Field(ge=0)] | None = None
    by: Name


class BoardLine(Table):
    """Say where every running cartridge stands."""

    do: Literal["board"]


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryLine:
    """An act on a cartridge or a lot; `ago` says how long since it was done."""

    entry: Entry
    ago: Span | None


Request = OperatorLine | PersonLine | AdoptionLine | LotLine | EntryLine
Line = Request | BoardLine

_REGISTERS: Mapping[str, type[OperatorLine | PersonLine | AdoptionLine | LotLine | BoardLine]] = {
    "register-operator": OperatorLine,
    "register-person": PersonLine,
    "adopt-assay": AdoptionLine,
    "receive-lot": LotLine,
    "board": BoardLine,
}


def read_line(text: str) -> Line:
    """Return what `text` asks for.

    A byte that was no text (it comes as a lone surrogate) is refused, never
    replaced: two IDs would become one.

    Raises:
        WrongFileError: it is no UTF-8, no JSON object, or a key or value is wrong.
    """
    try:
        text.encode()
    except UnicodeEncodeError:
        raise WrongFileError([f"{SOURCE}: this is not UTF-8 text: scan or type it again"]) from None
    try:
        found: Any = json.loads(text)
    except (ValueError, RecursionError):
        raise WrongFileError([f"{SOURCE}: this is not JSON: write one object a line"]) from None
    if not isinstance(found, dict):
        raise WrongFileError([f'{SOURCE}: write one JSON object, as in {{"do": "board"}}'])
    try:
        kind = _REGISTERS.get(str(found.get("do")))
        if kind is not None:
            return kind.model_validate(found)
        return _entry(found)
    except ValidationError as error:
        # The table is a scenario's, which counts from its start; a line counts back from now.
        faults = [fault.replace("done_at", "ago") for fault in faults_of(SOURCE, error)]
        raise WrongFileError(faults) from None


def _entry(found: dict[str, Any]) -> EntryLine:
    if "done_at" in found:
        raise WrongFileError([f'{SOURCE}: done_at is for scenarios: write "ago": "2:00" instead'])
    ago = found.pop("ago", None)
    if ago is not None:
        # The rules about which key goes where are the same; only the point it counts from differs.
        found["done_at"] = ago
    table = ActTable.model_validate(found)
    return EntryLine(entry=table.to_entry(), ago=None if ago is None else as_span(ago))
