"""What a site decides about what is not in order with a kit."""

from __future__ import annotations

from enum import StrEnum


class Strictness(StrEnum):
    """What becomes of a start that something stands against."""

    WARN = "warn"
    """It is taken, and the warning stays with the cartridge."""
    REFUSE = "refuse"
