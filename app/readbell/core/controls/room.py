"""What is known of control samples: the materials, and what was proven with them."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.controls.material import Material, SampleKind
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.controls.events import SampleJudged
    from readbell.core.instant import Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """The last time a sample of one kind passed on a lot."""

    at: Instant
    """When its cartridge was labelled: what came to the lot since then it says nothing of."""
    by: str
    """Key of the operator who read it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InvalidSeen:
    """A patient's cartridge that was read as invalid: what lapsed says nothing of its lot."""

    cartridge: str
    at: Instant
    subject: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotRecord:
    """What control samples have said of one lot."""

    positive: Proof | None = None
    negative: Proof | None = None
    invalids: tuple[InvalidSeen, ...] = ()
    """Since both kinds last passed."""
    excursion: Instant | None = None
    """When its storage or its bay was last found out of its temperatures."""

    def proof(self, kind: SampleKind) -> Proof | None:
        """Return the last pass of `kind`, positive or negative."""
        return self.positive if kind is SampleKind.POSITIVE else self.negative


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleRoom:
    """All of it."""

    materials: Mapping[str, Material] = field(default_factory=dict)
    """By number, in the order in which they came in."""
    judged: Mapping[str, SampleJudged] = field(default_factory=dict)
    """By the opaque id of the cartridge, the last judgement of each."""
    lots: Mapping[str, LotRecord] = field(default_factory=dict)
    """By the lot's number."""
    proven: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Key of an operator to the assays, each with the kind, on which a sample of theirs passed."""
    since: Mapping[str, Instant] = field(default_factory=dict)
    """Key of an operator to when they were registered."""

    def record(self, lot: str) -> LotRecord:
        """Return what is known of the lot `lot`."""
        return self.lots.get(lot, NOTHING)


NOTHING = LotRecord()
UNPROVEN = SampleRoom()
"""No control sample was ever run."""


def proof_of_hands(assay: str, kind: SampleKind) -> str:
    """Return how `SampleRoom.proven` writes that a sample of `kind` passed on `assay`."""
    return f"{assay}/{kind}"
