"""What is asked of the bay of a rehearsal, and of no other."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.instant import Instant, Span
    from readbell.core.practice.assist import Assist
    from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginPractice:
    """Say of which scenario this is an attempt, and with how much help."""

    scenario: str
    """Digest of its file and its assays, in hex."""
    title: str
    assist: Assist
    trainee: Private | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerInterruption:
    """Answer what broke into the work."""

    by: str | None = field(repr=False)
    """None: it was not said who did."""
    number: int
    """Its place among the interruptions of the scenario, from 1."""
    answer: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteAct:
    """Keep an act as it was asked for, so that the attempt can be played again."""

    done: Instant
    """When the bay judged it."""
    line: Private
    """What was asked, as JSON."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetSpeed:
    """Note that the clock goes at another speed."""

    speed: int
    """Simulated seconds in a real one; 0: it stands still."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeapAhead:
    """Note that the clock has leapt."""

    by_span: Span


PracticeAct = BeginPractice | AnswerInterruption | NoteAct | SetSpeed | LeapAhead

PRACTICE_NAMES: dict[type, str] = {
    BeginPractice: "begin-practice",
    AnswerInterruption: "answer",
    NoteAct: "note-act",
    SetSpeed: "set-speed",
    LeapAhead: "leap-ahead",
}
"""What a near miss is recorded under; part of the record, never changed."""
