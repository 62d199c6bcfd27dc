"""The code of a box, kept beside the answers that it filled in: what it says is the box's own word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.scenarios.stock_lines import LONGEST_CODE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.barcodes.gs1 import BoxCode

CODE = "code"
"""Under this key lies the code as it was scanned; it is no line of any form."""
CODED = "coded"
"""And under this one the last day that it says, after the lot where a form asks for that."""


def as_scanned(text: str, code: BoxCode) -> dict[str, str]:
    """Return the code with what it says, if it says both lot and last day."""
    if code.lot is None or code.expires is None or len(text) > LONGEST_CODE:
        return {}
    return {CODE: text, CODED: f"{code.lot} {code.expires}"}


def scan_of(said: Mapping[str, str], number: str) -> str | None:
    """Return the code of the box; None: there was none, or something was typed over it."""
    return said[CODE] if said.get(CODED) == f"{number} {said['expires']}" else None
