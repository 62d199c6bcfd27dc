"""Two computers that say that they are one station: which of them goes on, and which is alone.

A station file was copied, or a name was given twice. If the one of them was begun while the server
could not be reached, nobody can tell until both are heard by one server. From then on the one that
came second to the record stays alone until its program has ended, or the other one says goodbye.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

Place = tuple[bool, bool, bool, int, str]
"""Less comes first: who is not second already, who is linked, who ever was, since when; then any order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """What one computer says of its being this station."""

    run: str
    since: Instant | None
    """When this run of its program was linked first; None: it never was."""
    is_beside: bool
    """Whether it records beside the shared record now."""
    is_second: bool
    """Whether it has found that another one came first."""

    @property
    def place(self) -> Place:
        """Where it stands among those that claim the same; never equal for two runs."""
        was_linked = self.since is not None
        return (self.is_second, self.is_beside, not was_linked, self.since or Instant(0), self.run)


def claim_of(said: Mapping[str, Any]) -> Claim:
    """Return what another computer says in its pulse; one of an older program says less."""
    since = said.get("since")
    return Claim(
        run=str(said.get("run")),
        since=Instant(since) if isinstance(since, int) else None,
        is_beside=said.get("beside") is True,
        is_second=said.get("second") is True,
    )
