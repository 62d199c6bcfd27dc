"""One event of a story for a program: codes and values, with the sentence beside them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from readbell.core.board.concerns import actors_in
from readbell.core.catalogue import NAMES
from readbell.phrases.trace_words import retell
from readbell.shapes import shape_of

if TYPE_CHECKING:
    from readbell.bay.tracing import Told
    from readbell.core.private import Private


def story_fields(told: Told) -> dict[str, Any]:
    """Return all that is on record of one event, erased values as null, instants as local times."""
    event, board = told.event, told.board
    named = getattr(event, "cartridge", None)
    cartridge = board.cartridge(named) if isinstance(named, str) else None
    done = getattr(event, "done", None)
    return {
        "event": told.number,
        "at": told.face.local(event.at).isoformat(timespec="milliseconds"),
        "mode": str(told.envelope.stamp.mode),
        "kind": NAMES[type(event)],
        "by": [board.name(key) for key in dict.fromkeys(actors_in(event))],
        "cartridge": None if cartridge is None else cartridge.label,
        "done": None
        if done is None
        else told.face.local(done.said).isoformat(timespec="milliseconds"),
        "stated": done is not None and done.stated,
        "says": retell(event, board, told.face),
        "fields": json.loads(shape_of(type(event)).write(event, _value)),
    }


def _value(kept: Private) -> str:
    return json.dumps(kept.value, ensure_ascii=False)
