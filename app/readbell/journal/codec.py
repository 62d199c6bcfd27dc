"""Between events and the bytes that are chained.

Bytes are written in one fixed way (sorted keys, no spaces, UTF-8), because they
are hashed. Identifiers and free text leave the event here: the chain gets a key
and a salted digest, the value goes to the erasable side.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import fields
from typing import Any, get_type_hints

from pydantic import TypeAdapter, ValidationError
from pydantic_core import from_json

from readbell.core.board.events import Mode
from readbell.core.catalogue import BY_NAME, NAMES
from readbell.core.private import Private
from readbell.journal.envelope import Envelope, Stamp
from readbell.journal.errors import BrokenChainError, NewerJournalError
from readbell.journal.record import Head, PrivateRow, Record, digest_of, link
from readbell.journal.upcast import VERSIONS, lift

Lookup = Callable[[str], PrivateRow | None]

_AS_CHAINED = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False)
_MODES = {mode.value: mode for mode in Mode}
_ADAPTERS: dict[type, TypeAdapter[Any]] = {}
_PRIVATE: dict[type, tuple[str, ...]] = {}


def encode(envelope: Envelope, before: Head) -> Record:
    """Return the stored form of `envelope` as the event after `before`."""
    kind = type(envelope.event)
    name = NAMES[kind]
    event = _adapter(kind).dump_python(envelope.event, mode="json")
    private = tuple(_take_out(event, field) for field in _private_fields(kind) if event[field])
    seq = before.seq + 1
    body = _AS_CHAINED.encode(
        {
            "seq": seq,
            "id": envelope.id,
            "kind": name,
            "version": VERSIONS.get(name, 1),
            "rules": envelope.rules,
            "assay": envelope.assay,
            "stamp": _stamp_fields(envelope.stamp),
            "event": event,
        }
    )
    return Record(seq=seq, body=body, hash=link(before.hash, body), private=private)


def decode(record: Record, lookup: Lookup) -> Envelope:
    """Return the event that `record` stores; `lookup` finds what was kept apart.

    Raises:
        BrokenChainError: the bytes, or an identifier beside them, are not what was written.
        NewerJournalError: a newer version of the program wrote them.
    """
    try:
        body = from_json(record.body)
        name, event = body["kind"], body["event"]
        kind = BY_NAME.get(name)
        if kind is None:
            msg = f"event kind {name!r} is not known here: a newer readbell wrote it, use that one"
            raise NewerJournalError(msg)
        event = lift(name, body["version"], event)
        for field in _private_fields(kind):
            if event[field] is not None:
                event[field] = _put_back(record.seq, event[field], lookup)
        return Envelope(
            id=body["id"],
            event=_adapter(kind).validate_python(event),
            stamp=_stamp(body["stamp"]),
            assay=body["assay"],
            rules=body["rules"],
        )
    except (ValueError, KeyError, TypeError, ValidationError) as error:
        what = f"its bytes do not make sense ({type(error).__name__}): restore a backup"
        raise BrokenChainError(record.seq, what) from None


# Field by field: dataclasses.asdict copies each value deeply, and took half the time of an append.
def _stamp_fields(stamp: Stamp) -> dict[str, Any]:
    return {
        "bay": stamp.bay,
        "station": stamp.station,
        "mode": stamp.mode,
        "program": stamp.program,
        "at": stamp.at,
        "wall": stamp.wall,
        "counting": stamp.counting,
        "boot": stamp.boot,
    }


def _stamp(found: dict[str, Any]) -> Stamp:
    return Stamp(**{**found, "mode": _MODES[found["mode"]]})


def _take_out(event: dict[str, Any], field: str) -> PrivateRow:
    kept = event[field]
    row = PrivateRow(key=kept["key"], salt=kept["salt"], value=kept["value"])
    event[field] = {"key": row.key, "digest": digest_of(row.salt, row.value or "")}
    return row


def _put_back(seq: int, chained: dict[str, Any], lookup: Lookup) -> dict[str, Any]:
    row = lookup(chained["key"])
    if row is None or row.value is None:
        return {"key": chained["key"], "salt": "", "value": None}
    if digest_of(row.salt, row.value) != chained["digest"]:
        raise BrokenChainError(seq, "the identifier kept beside it was changed: restore a backup")
    return {"key": row.key, "salt": row.salt, "value": row.value}


def _adapter(kind: type) -> TypeAdapter[Any]:
    if kind not in _ADAPTERS:
        _ADAPTERS[kind] = TypeAdapter(kind)
    return _ADAPTERS[kind]


def _private_fields(kind: type) -> tuple[str, ...]:
    if kind not in _PRIVATE:
        hints = get_type_hints(kind)
        _PRIVATE[kind] = tuple(
            field.name for field in fields(kind) if hints[field.name] in (Private, Private | None)
        )
    return _PRIVATE[kind]
