"""What a site may ask of those who work there: how they sign in, and what they must be cleared for."""

from __future__ import annotations

from enum import StrEnum


class SignInBy(StrEnum):
    """What it takes to sign in."""

    NONE = "none"
    """Nobody signs in: a badge says who acts."""
    BADGE = "badge"
    PIN = "pin"
    """A badge or an ID, and the PIN, once for each sign-in."""


class OutsideCompetence(StrEnum):
    """What becomes of a start by somebody who is not cleared for the assay."""

    ALLOWED = "allowed"
    SUPERVISED = "supervised"
    """A supervisor stands by, and is named."""
    REFUSED = "refused"
