"""A control material: the bottle or swab that control samples are taken from."""

from __future__ import annotations

from datetime import date, timedelta
from enum import StrEnum
from typing import assert_never

from readbell.core.cartridge.events import SubjectKind
from readbell.core.made_later import dataclass
from readbell.core.reading.interpretation import LineOutcome, Outcome


class SampleKind(StrEnum):
    """What is known beforehand of a sample that is nobody's."""

    POSITIVE = "positive"
    NEGATIVE = "negative"
    BLIND = "blind"
    """Sent in from outside to see whether the bench finds what is in it: nobody here knows."""


KEY = "control-sample:"
"""Begins the key of every material, which no random key can."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One lot of a control material, or one blind sample."""

    number: str
    """What stands on it and is scanned."""
    kind: SampleKind
    assay: str
    """The assay's id."""
    expires: date
    expected: tuple[LineOutcome, ...]
    """What each line has to come to, in the device's order; empty for a blind sample."""
    good_after_opening: int | None = None
    """Days; None: no such limit is stated."""
    opened_on: date | None = None

    @property
    def key(self) -> str:
        """What events name it by."""
        return key_of(self.number)

    @property
    def subject_kind(self) -> SubjectKind:
        """For whom a cartridge is run that is given a sample of it."""
        blind = self.kind is SampleKind.BLIND
        return SubjectKind.QUALITY_SAMPLE if blind else SubjectKind.CONTROL_SAMPLE

    @property
    def good_until(self) -> date:
        """The last day on which it is good: its own, or that of the opened bottle if sooner."""
        if self.opened_on is None or self.good_after_opening is None:
            return self.expires
        return min(self.expires, self.opened_on + timedelta(days=self.good_after_opening))


def key_of(number: str) -> str:
    """Return what events name the material `number` by."""
    return f"{KEY}{number}"


def expected_of(kind: SampleKind, lines: tuple[str, ...]) -> tuple[LineOutcome, ...]:
    """Return what a material of `kind` has to show on `lines` where nobody says more.

    A positive one is taken to be positive for every line of the device.
    """
    match kind:
        case SampleKind.POSITIVE:
            return tuple(LineOutcome(line=line, outcome=Outcome.POSITIVE) for line in lines)
        case SampleKind.NEGATIVE:
            return tuple(LineOutcome(line=line, outcome=Outcome.NEGATIVE) for line in lines)
        case SampleKind.BLIND:
            return ()  # nobody here knows what it holds
        case _:
            assert_never(kind)
