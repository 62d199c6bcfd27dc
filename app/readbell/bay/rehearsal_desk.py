"""The desk of a rehearsal: what is asked of the bay is kept, so that it can be played again."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.bay.desk import Desk
from readbell.core.instant import earlier
from readbell.core.made_later import dataclass
from readbell.core.practice.acts import NoteAct
from readbell.core.private import Private
from readbell.scenarios.kept_line import kept_line
from readbell.scenarios.line import EntryLine

if TYPE_CHECKING:
    from readbell.bay.bay import Bay
    from readbell.bay.news import Answer
    from readbell.core.instant import Instant
    from readbell.scenarios.line import Request


@dataclass(frozen=True, slots=True, kw_only=True)
class RehearsalDesk(Desk):
    """Serves as any desk does, and notes each act with the instant at which it was judged."""

    async def serve(self, bay: Bay, line: Request) -> Answer:
        """Do what `line` asks, and keep it.

        Raises:
            WrongFileError: the line names an assay that is not at hand.
        """
        line = _placed(line, bay.now())
        answer = await Desk.serve(self, bay, line)
        kept = kept_line(line)
        if kept is not None:
            new = self.identifiers.new
            private = Private(key=new("private"), salt=new("salt"), value=kept)
            await bay.do(NoteAct(done=answer.at, line=private))
        return answer


def _placed(line: Request, now: Instant) -> Request:
    """Return `line` with a time that was stated placed on the bay's own line: a replay adds none."""
    if not isinstance(line, EntryLine) or line.ago is None:
        return line
    return EntryLine(entry=replace(line.entry, done_at=earlier(now, line.ago)), ago=None)
