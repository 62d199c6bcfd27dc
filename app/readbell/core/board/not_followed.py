"""Why a screen that only looks on no longer follows its bay."""

from __future__ import annotations

from enum import StrEnum


class NotFollowed(StrEnum):
    """Why a bay is not followed."""

    FILE_GONE = "file-gone"
    PROGRAM_GONE = "program-gone"
    NOT_SAVED = "not-saved"
    """Its program writes beside the record."""
    ALONE = "alone"
    """The station that is followed is itself cut off from the others."""
    LINK_LOST = "link-lost"
    UNREADABLE = "unreadable"
    NO_ANSWER = "no-answer"
