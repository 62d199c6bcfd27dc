"""What an operator may do, and what somebody may do of whom nothing was said."""

from __future__ import annotations

from enum import StrEnum


class Role(StrEnum):
    """One operator may have several."""

    TESTER = "tester"
    """Registers people, starts cartridges and does their steps."""
    READER = "reader"
    """Reads strips."""
    SUPERVISOR = "supervisor"
    """Gives roles, releases and withdraws results, sees what is past."""


EVERY_ROLE = tuple(Role)
"""The first operator's, and everybody's where roles were never given."""
WITHOUT_SAYING = (Role.TESTER, Role.READER)
"""Of an operator nothing was said about, in a bay where roles were given."""
