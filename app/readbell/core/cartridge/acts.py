"""What an operator asks for: acts, before anybody has judged whether they are allowed.

An act says what a person did or saw and how they made sure of cartridge and
person. Operators, cartridges and persons are named as they were entered; new
ids come from outside, because the core draws no random numbers.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import (
    How,
    Identified,
    SlipReason,
    SubjectKind,
    TakeBackReason,
    VoidReason,
)
from readbell.core.instant import Instant, Span
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.private import Private
    from readbell.core.reading.bands import Bands


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """Who acts on which cartridge, and how they made sure of it."""

    by: str = field(repr=False)
    """The operator's id, as entered."""
    cartridge: str = field(repr=False)
    """The label on the plastic; a scanner may have read somebody's identifier for it."""
    scanned: str | None = field(default=None, repr=False)
    """What was read off the device to make sure; None: nothing was."""
    person: str | None = field(default=None, repr=False)
    """The person's id as it was read back; None: not asked."""
    second: str | None = field(default=None, repr=False)
    """The second identifier as it was read back; None: not asked."""
    cartridge_by: How | None = None
    person_by: How | None = None
    second_by: How | None = None

    @property
    def identified(self) -> Identified:
        """How cartridge and person were established, for the record."""
        return Identified(cartridge=self.cartridge_by, person=self.person_by, second=self.second_by)


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Open a pouch, label the device and give it to a person: this starts it."""

    aim: Aim
    new_id: str
    lot: str
    today: date
    """The site's date, against which the lot's expiry is held."""
    subject_kind: SubjectKind = SubjectKind.PATIENT
    place: Private | None = None
    witness: str | None = field(default=None, repr=False)
    """A supervisor who stands by where whoever starts it is not cleared for the assay."""
    day_began: Instant | None = None
    """When the site's day began, for what was done today; None: nobody asks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoStep:
    """Do the next step, or enter one that was done and not pressed."""

    aim: Aim
    step: str
    new_specimen: str
    """Id for the specimen, used if this step takes one."""
    done_at: Instant | None = None
    """When it was done, if that is stated afterwards."""
    give_or_take: Span = Span(0)
    today: date | None = None
    """The site's date, against which the lot's expiry is held once more at the drops."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoSteps:
    """Do several steps in a row and confirm them together, as done at one instant."""

    aim: Aim
    steps: tuple[str, ...]
    new_specimen: str
    """Id for the specimen, used by the step that takes one."""
    done_at: Instant | None = None
    """When they were done, if that is stated afterwards."""
    give_or_take: Span = Span(0)
    today: date | None = None
    """The site's date, as above."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeBackStep:
    """Say that what was confirmed last had not been done."""

    aim: Aim
    step: str
    """Which one is meant, or the last of those confirmed together: somebody else may have gone on."""
    reason: TakeBackReason


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Look at the bands before the window opens."""

    aim: Aim
    bands: Bands
    today: date | None = None
    """The site's date, against which clearances are held."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """Read the strip inside its window."""

    aim: Aim
    bands: Bands
    today: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectReading:
    """Mend a slip of one's own keys, while the strip may still be read."""

    aim: Aim
    bands: Bands
    reason: SlipReason
    today: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Void:
    """Give a cartridge up."""

    aim: Aim
    reason: VoidReason
    words: Private | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StateApplication:
    """Say, with a witness, when an unsure cartridge had its drops."""

    aim: Aim
    witness: str = field(repr=False)
    done_at: Instant
    give_or_take: Span = Span(0)


ActOnCartridge = (
    Label | DoStep | DoSteps | TakeBackStep | Look | Read | CorrectReading | Void | StateApplication
)
