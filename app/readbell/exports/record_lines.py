"""The whole record, an event a line, from which the same bytes can be read back.

Each line is one JSON object: `seq`, `hash` (hexadecimal), `body` (the chained bytes as
they stand, put in as they are) and `private` (what was kept apart: `key`, `salt`, and
`value`, null once it was erased). The body is in one fixed form (sorted keys, no blanks,
UTF-8), so `body` written in that form again has the same bytes, and
`hash(n) = SHA-256(hash(n-1) + body(n))` can be checked by anybody.
"""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from readbell.journal.record import PrivateRow, Record

_DIGEST = re.compile(r'\{"digest":"[0-9a-f]{64}","key":')
"""Stands in the bytes of every event beside which something is kept."""


def lines_of(
    records: Iterable[Record], lookup: Callable[[str], PrivateRow | None]
) -> Iterator[str]:
    """Yield the line of each of `records`; `lookup` finds what was kept apart."""
    for record in records:
        private = [
            {"key": row.key, "salt": row.salt, "value": row.value}
            for key in _keys_in(record.body)
            if (row := lookup(key)) is not None
        ]
        beside = json.dumps(private, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
        yield (
            f'{{"body":{record.body},"hash":"{record.hash.hex()}",'
            f'"private":{beside},"seq":{record.seq}}}\n'
        )


def _keys_in(body: str) -> list[str]:
    if _DIGEST.search(body) is None:
        return []
    found: list[str] = []

    def look(each: dict[str, Any]) -> dict[str, Any]:
        if set(each) == {"digest", "key"}:
            found.append(each["key"])
        return each

    json.loads(body, object_hook=look)
    return found
