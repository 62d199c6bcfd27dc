"""Whom something names: every text in it, however deep, held against what somebody is called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any

from readbell.core.keeping.events import RecordErased
from readbell.core.private import Private

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.event import Event


def named_in(found: object, called: Sequence[str]) -> list[str]:
    """Give every text in `found` that has one of these names in it, with the way to it."""
    return [
        f"{way}: {text}"
        for way, text in _texts(found, type(found).__name__)
        if any(name.casefold() in text.casefold() for name in called)
    ]


def _texts(found: object, way: str) -> Iterator[tuple[str, str]]:
    match found:
        case str():
            yield way, found
        case Mapping():
            for key, value in found.items():
                yield from _texts(key, f"{way} key")
                yield from _texts(value, f"{way}[{key}]")
        case tuple() | list() | set() | frozenset():
            for each in found:
                yield from _texts(each, way)
        case _ if is_dataclass(found):
            for each in fields(found):
                yield from _texts(getattr(found, each.name), f"{way}.{each.name}")


def forgotten_in(event: Event, erased: Sequence[Event]) -> Event:
    """Give `event` as it is to be read once those who were `erased` are forgotten."""
    keys = {key for each in erased if isinstance(each, RecordErased) for key in each.keys}
    gone: dict[str, Any] = {
        each.name: replace(value, value=None, salt="")
        for each in fields(event)
        if isinstance(value := getattr(event, each.name), Private) and value.key in keys
    }
    return replace(event, **gone) if gone else event
