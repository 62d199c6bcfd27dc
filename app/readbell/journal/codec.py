"""Between events and the bytes that are chained.

Bytes are written in one fixed way (sorted keys, no spaces, UTF-8), because they
are hashed. Identifiers and free text leave the event here: the chain gets a key
and a salted digest, the value goes to the erasable side.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from json.encoder import encode_basestring as _text
from typing import TYPE_CHECKING, Any

from readbell.core.catalogue import BY_NAME, NAMES, VERSIONS
from readbell.core.making import maker_of
from readbell.core.private import Private
from readbell.journal.envelope import Envelope, Stamp
from readbell.journal.errors import BrokenChainError, NewerJournalError
from readbell.journal.record import Head, PrivateRow, Record, digest_of, link
from readbell.journal.upcast import lift
from readbell.shapes import shape_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

Lookup = Callable[[str], PrivateRow | None]

_parse = json.JSONDecoder().raw_decode
"""`json.loads` without a look for white space, which no body has."""
_record = maker_of(Record)
_envelope = maker_of(Envelope)


def encode(envelope: Envelope, before: Head) -> Record:
    """Return the stored form of `envelope` as the event after `before`."""
    return encode_each((envelope,), before)[0]


def encode_each(envelopes: Iterable[Envelope], before: Head) -> list[Record]:
    """Return the stored form of `envelopes` as the events after `before`."""
    seq, hashed = before.seq, before.hash
    records: list[Record] = []
    private: list[PrivateRow] = []
    take_out = _takes_out_into(private)
    stamp, stamped = None, ""
    for each in envelopes:
        write, name, version = _form_of(type(each.event))
        if each.stamp is not stamp:
            stamp, stamped = each.stamp, shape_of(Stamp).write(each.stamp, _no_private)
        seq += 1
        assay = "null" if each.assay is None else _text(each.assay)
        body = (
            f'{{"assay":{assay},"event":{write(each.event, take_out)},"id":{_text(each.id)},'
            f'"kind":"{name}","rules":{each.rules},"seq":{seq},"stamp":{stamped},'
            f'"version":{version}}}'
        )
        hashed = link(hashed, body)
        records.append(_record(seq, body, hashed, tuple(private)))
        private.clear()
    return records


def decode(record: Record, lookup: Lookup) -> Envelope:
    """Return the event that `record` stores; `lookup` finds what was kept apart.

    Raises:
        BrokenChainError: the bytes, or an identifier beside them, are not what was written.
        NewerJournalError: a newer version of the program wrote them.
    """
    return next(decode_each((record,), lookup))


def decode_each(records: Iterable[Record], lookup: Lookup) -> Iterator[Envelope]:
    """Yield the event that each of `records` stores; a whole journal is read through this.

    Raises:
        BrokenChainError: the bytes, or an identifier beside them, are not what was written.
        NewerJournalError: a newer version of the program wrote them.
    """
    put_back, read_stamp = _Back(lookup), shape_of(Stamp).read
    for record in records:
        put_back.seq = record.seq
        try:
            body, end = _parse(record.body)
            if end != len(record.body):
                raise ValueError  # noqa: TRY301  # said below, with the rest
            name = body["kind"]
            kind = BY_NAME.get(name)
            if kind is None:
                msg = (
                    f"event kind {name!r} is not known here: "
                    "a newer readbell wrote it, use that one"
                )
                raise NewerJournalError(msg)
            event = shape_of(kind).read(lift(name, body["version"], body["event"]), put_back)
            stamp = read_stamp(body["stamp"], put_back)
            found = _envelope(_str(body["id"]), event, stamp, body["assay"], body["rules"])
        except (ValueError, KeyError, TypeError) as error:
            what = f"its bytes do not make sense ({type(error).__name__}): restore a backup"
            raise BrokenChainError(record.seq, what) from None
        yield found


_Form = tuple[Callable[[Any, Callable[[Private], str]], str], str, int]
"""What writes an event, its name, and the version that it is written in."""
_FORMS: dict[type, _Form] = {}


def _form_of(kind: type) -> _Form:
    found = _FORMS.get(kind)
    if found is None:
        name = NAMES[kind]
        found = _FORMS[kind] = shape_of(kind).write, name, VERSIONS.get(name, 1)
    return found


def _takes_out_into(rows: list[PrivateRow]) -> Callable[[Private], str]:
    """Return what leaves of a `Private` only what may be chained; the rest goes to `rows`."""

    def take_out(kept: Private) -> str:
        rows.append(PrivateRow(key=kept.key, salt=kept.salt, value=kept.value))
        digest = digest_of(kept.salt, kept.value or "")
        return f'{{"digest":"{digest}","key":{_text(kept.key)}}}'

    return take_out


class _Back:
    """Brings back what was taken out of the event numbered `seq`."""

    def __init__(self, lookup: Lookup) -> None:
        self._lookup = lookup
        self.seq = 0

    def __call__(self, chained: dict[str, Any]) -> Private:
        key = _str(chained["key"])
        row = self._lookup(key)
        if row is None or row.value is None:
            return Private(key=key, salt="", value=None)
        if digest_of(row.salt, row.value) != chained["digest"]:
            what = "the identifier kept beside it was changed: restore a backup"
            raise BrokenChainError(self.seq, what)
        return Private(key=row.key, salt=row.salt, value=row.value)


def _no_private(_: Any) -> str:
    raise TypeError


def _str(found: Any) -> str:
    if not isinstance(found, str):
        raise TypeError
    return found
