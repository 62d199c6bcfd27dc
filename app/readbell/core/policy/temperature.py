"""What a site decides about temperature."""

from __future__ import annotations

from enum import StrEnum


class OutsideTemperature(StrEnum):
    """What becomes of a start while the bay or the store is out of the assay's range."""

    WARNED = "warned"
    """It is said, recorded with the cartridge, and its reading waits for a supervisor."""
    SUPERVISED = "supervised"
    """As warned, and a supervisor stands by at the start."""
    REFUSED = "refused"
