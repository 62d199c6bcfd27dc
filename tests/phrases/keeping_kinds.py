"""Every kind of event and refusal about the record itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import at, private
from readbell.core.board.keeping import (
    NAMED_IN_REASON,
    NOT_DONE_WITH,
    NOTHING_CLOSED,
    NOTHING_TO_ERASE,
    SOMETHING_RUNS,
)
from readbell.core.keeping.events import (
    ArchiveWritten,
    ErasedScope,
    RecordErased,
    TraceOf,
    TraceOpened,
)
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.event import Event

NOW = at("18:00")
_ABOUT = {
    TraceOf.CARTRIDGE: "id-C1",
    TraceOf.LOT: "L-100",
    TraceOf.OPERATOR: "key-op-2",
    TraceOf.DAY: "2026-03-29",
    TraceOf.FIGURES: "",
}

KEEPING_EVENTS: list[Event] = [
    *(
        TraceOpened(at=NOW, by="key-op-1", of=of, about=about, since=None)
        for of, about in _ABOUT.items()
    ),
    ArchiveWritten(
        at=NOW,
        by="key-op-1",
        through=at("0:00"),
        events=12,
        head="ab",
        digest="cd",
        file=private("quarter"),
        words=private("over"),
    ),
    *(
        RecordErased(
            at=NOW,
            by="key-op-1",
            scope=scope,
            through=at("0:00") if scope is ErasedScope.PERIOD else None,
            people=len(keys),
            kept=0,
            keys=keys,
            words=None,
        )
        for scope in ErasedScope
        for keys in (("key-1",), ("key-1", "key-2"))
    ),
]

KEEPING_REFUSALS: list[tuple[str, Refusal]] = [
    (subject, Refusal(code=RefusalCode.NOT_ALLOWED, subject=subject))
    for subject in (
        NAMED_IN_REASON,
        NOTHING_CLOSED,
        NOTHING_TO_ERASE,
        NOT_DONE_WITH,
        SOMETHING_RUNS,
    )
]
