"""The fingerprint of an assay: two assays that differ anywhere differ here."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING

from pydantic import TypeAdapter

from readbell.core.assay.assay import Assay

if TYPE_CHECKING:
    from typing import Any

_ADAPTER: TypeAdapter[Assay] = TypeAdapter(Assay)


def content_hash(assay: Assay) -> str:
    """Return the SHA-256 of `assay`, written in one fixed way, as 64 hex digits."""
    plain: Any = _ADAPTER.dump_python(assay, mode="json")
    written = json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(written.encode()).hexdigest()
