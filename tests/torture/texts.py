"""Texts that have broken screens, files and IDs elsewhere, and how one sees that none broke anything."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Mapping
from datetime import date, datetime
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from readbell.journal.codec import decode
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from torture.trial import Ground

LONG = 10_000
NO_UTF8 = "A\udcffB"
"""Stands for a byte that is no text: it is written as that byte."""
HALF = "\ud83d"
TEXTS: dict[str, str] = {
    "markup that ends nothing": "[/",
    "markup that ends everything": "[/]",
    "markup around a number": "LOT [A12]",
    "markup that is an action": "[@click=app.quit]x[/]",
    "markup of colours": "[red on white]A[/red on white]",
    "a format": "{0.__class__} %s %(x)d ${HOME} `id`",
    "a formula": "=1+1",
    "quotes": "\"'\\\"'",
    "a colour code": "A\x1b[31mB",
    "a title code": "A\x1b]0;title\x07B",
    "a code of one byte": "A\x9b31mB",
    "a null": "A\x00B",
    "a bell": "A\x07B",
    "a tab": "A\tB",
    "a carriage return": "A\rB",
    "a line feed": "A\nB",
    "a delete": "A\x7fB",
    "an override of direction": "A\u202e12B",
    "an isolate of direction": "A\u206612B",
    "a mark of direction": "A\u200f12B",
    "letters from right to left": "\u05d0\u05d1\u05d2-12",
    "a combined letter": "Zoe\u0301",
    "many marks on one letter": "Z" + "\u0301" * 60,
    "a mark on nothing": "\u0301A",
    "a blank of no width": "A\u200bB",
    "a joiner of no width": "A\u2060B",
    "a mark of byte order": "\ufeffA",
    "a soft hyphen": "A\u00adB",
    "a blank that does not break": "A\u00a0B",
    "a separator of lines": "A\u2028B",
    "wide letters": "\u6f22\u5b57-12",
    "a picture of several signs": "\U0001f469\u200d\U0001f52c",
    "a letter of no use yet": "A\ue000B",
    "half a letter": f"A{HALF}B",
    "a byte that is no text": NO_UTF8,
    "nothing": "",
    "a blank": " ",
    "blanks at its ends": " A ",
    "ten thousand letters": "x" * LONG,
    "ten thousand blanks": " " * LONG,
    "ten thousand marks": "A" + "\u0301" * LONG,
}


def texts(ground: Ground, short: int) -> dict[str, str]:
    """Return all texts, or some of them by chance when there is little time."""
    if ground.long:
        return TEXTS
    return dict(ground.chance("texts").sample(sorted(TEXTS.items()), short))


def as_bytes(text: str) -> bytes:
    """Return the bytes of a text, with the ones in it that are none."""
    before, no_text, behind = text.partition("\udcff")
    whole = before.encode("utf-8", "surrogatepass")
    return whole + b"\xff" + as_bytes(behind) if no_text else whole


def as_json(said: object) -> bytes:
    """Return a line of JSON that holds every sign as it is where it may, else spelt out."""
    text = json.dumps(said, ensure_ascii=False)
    return json.dumps(said).encode() if HALF in text else as_bytes(text)


def as_toml(table: Mapping[str, Any]) -> bytes:
    """Return a file that says what `table` does."""
    return as_bytes("".join(f"{_quoted(key)} = {_value(each)}\n" for key, each in table.items()))


def _value(value: object) -> str:
    match value:
        case bool():
            return str(value).lower()
        case datetime() | date():
            return value.isoformat()
        case Mapping():
            inner = ", ".join(
                f"{_quoted(str(key))} = {_value(each)}" for key, each in value.items()
            )
            return f"{{{inner}}}"
        case list() | tuple():
            return f"[{', '.join(map(_value, value))}]"
        case str():
            return _quoted(value)
        case _:
            return str(value)


def _quoted(text: str) -> str:
    spelt = (
        sign if sign.isprintable() or sign == "\udcff" else _escape(sign)
        for sign in text.replace("\\", "\\\\").replace('"', '\\"')
    )
    return f'"{"".join(spelt)}"'


def _escape(sign: str) -> str:
    return f"\\u{ord(sign):04x}" if ord(sign) < 0x10000 else f"\\U{ord(sign):08x}"


def places_of(table: object, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield where in nested tables a value stands, each place once."""
    if isinstance(table, Mapping):
        for key, each in table.items():
            yield (*path, key)
            yield from places_of(each, (*path, key))
    elif isinstance(table, (list, tuple)):
        for number, each in enumerate(table):
            yield from places_of(each, (*path, number))


def with_text(table: Any, path: tuple[str | int, ...], text: str) -> Any:
    """Return `table` with `text` at one place."""
    if not path:
        return text
    first, *rest = path
    if isinstance(table, Mapping):
        changed = with_text(table[first], tuple(rest), text)
        return {key: changed if key == first else each for key, each in table.items()}
    assert isinstance(first, int)
    return [
        with_text(each, tuple(rest), text) if number == first else each
        for number, each in enumerate(table)
    ]


def with_key(table: Any, path: tuple[str | int, ...], text: str) -> Any:
    """Return `table` with the key at one place called `text`."""
    first, *rest = path
    if isinstance(table, Mapping):
        if not rest:
            return {text if key == first else key: each for key, each in table.items()}
        changed = with_key(table[first], tuple(rest), text)
        return {key: changed if key == first else each for key, each in table.items()}
    assert isinstance(first, int)
    return [
        with_key(each, tuple(rest), text) if number == first else each
        for number, each in enumerate(table)
    ]


def strings_in(value: object) -> Iterator[str]:
    """Yield every text in a value made of values."""
    match value:
        case StrEnum():
            return
        case str():
            yield value
        case Mapping():
            for key, each in value.items():
                yield from strings_in(key)
                yield from strings_in(each)
        case list() | tuple() | set() | frozenset():
            for each in value:
                yield from strings_in(each)
        case _ if dataclasses.is_dataclass(value):
            for each in dataclasses.fields(value):
                yield from strings_in(getattr(value, each.name))
        case _:
            return


def recorded(journal: Path) -> set[str]:
    """Return every text that the events of a journal hold, identifiers included."""
    source = SqliteJournal.open(journal, read_only=True)
    try:
        return {
            text
            for each in chained(source)
            for envelope in (decode(each, source.private),)
            for text in (*strings_in(envelope.event), envelope.stamp.bay)
        }
    finally:
        source.close()


def unseen(text: str) -> str:
    """Return the signs of a line on a screen that nobody sees, or that are codes."""
    return "".join(sign for sign in text if not sign.isprintable())
