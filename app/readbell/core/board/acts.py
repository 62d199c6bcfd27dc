"""Acts that concern the bay rather than one cartridge."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readbell.core.cartridge.acts import (
    ActOnCartridge,
    DoStep,
    Label,
    Look,
    Read,
    StateApplication,
    Void,
)

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.assay.assay import Assay
    from readbell.core.assay.events import Basis
    from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptAssay:
    """Take an assay into use, after it was checked against the kit's instructions."""

    by: str | None = field(repr=False)
    assay: Assay
    content_hash: str
    basis: Basis
    instructions_version: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterOperator:
    """Let somebody act here; the first one registers himself."""

    by: str | None = field(repr=False)
    operator: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterPerson:
    """Enter somebody who is to be tested."""

    by: str | None = field(repr=False)
    person: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiveLot:
    """Enter a batch of kits."""

    by: str | None = field(repr=False)
    number: str
    assay: str
    """The assay's id, adopted before."""
    expires: date
    units: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLot:
    """Stop new cartridges from being taken from a lot."""

    by: str = field(repr=False)
    lot: str


Act = ActOnCartridge | AdoptAssay | RegisterOperator | RegisterPerson | ReceiveLot | HoldLot

NAMES: dict[type, str] = {
    Label: "label",
    DoStep: "step",
    Look: "look",
    Read: "read",
    Void: "void",
    StateApplication: "state-application",
    HoldLot: "hold-lot",
    AdoptAssay: "adopt-assay",
    RegisterOperator: "register-operator",
    RegisterPerson: "register-person",
    ReceiveLot: "receive-lot",
}
"""What a near miss is recorded under; part of the record, never changed."""
