"""What happens to assays: a site takes one into use."""

from __future__ import annotations

from enum import StrEnum

from readbell.core.assay.assay import Assay
from readbell.core.instant import Instant
from readbell.core.made_later import dataclass


class Basis(StrEnum):
    """On what ground an assay is used."""

    CHECKED = "checked"
    """Somebody held it against the kit's instructions for use."""
    REHEARSAL = "rehearsal"
    """Practice only; no patient may be run on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AssayAdopted:
    """An assay was frozen into the record; later changes of its file touch nothing."""

    at: Instant
    by: str | None
    assay: Assay
    content_hash: str
    basis: Basis
    instructions_version: str
    """Version or date of the kit's instructions it was checked against."""
