"""The fingerprint of an assay: two assays that differ anywhere differ here."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from readbell.shapes import write

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay


def content_hash(assay: Assay) -> str:
    """Return the SHA-256 of `assay`, written in one fixed way, as 64 hex digits."""
    return hashlib.sha256(write(assay).encode()).hexdigest()
