"""An attempt at a scenario becomes part of its record: how it was run, and every act as given.

None of it changes a cartridge, a lot or a person. It is what a debrief and a replay need
beside the work itself, and no live record ever holds it.
"""

from __future__ import annotations

from readbell.core.instant import Instant, Span
from readbell.core.made_later import dataclass
from readbell.core.practice.assist import Assist
from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeBegun:
    """From here on this is an attempt at a scenario."""

    at: Instant
    scenario: str
    """Digest of its file and its assays, in hex."""
    title: str
    assist: Assist
    trainee: Private | None
    """Who practises; None where it was not said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InterruptionAnswered:
    """Something that broke into the work was answered."""

    at: Instant
    by: str | None
    """Key of the operator; None where it was not said who did."""
    number: int
    """Its place among the interruptions of the scenario, from 1."""
    answer: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeActed:
    """Something was asked of the bay; what became of it stands before this."""

    at: Instant
    done: Instant
    """When the bay judged it."""
    line: Private
    """What was asked, as JSON."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedSet:
    """The clock of the rehearsal goes at another speed from here on."""

    at: Instant
    speed: int
    """Simulated seconds in a real one; 0: it stands still."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaptAhead:
    """Whoever practises let the clock leap to the next thing that happens."""

    at: Instant
    """Where it landed."""
    by_span: Span


PracticeEvent = PracticeBegun | InterruptionAnswered | PracticeActed | SpeedSet | LeaptAhead
