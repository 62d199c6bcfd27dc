"""What a site decides about shifts."""

from __future__ import annotations

from enum import StrEnum


class Shifts(StrEnum):
    """Whether work is done in shifts that are opened and closed."""

    OFF = "off"
    ON = "on"
