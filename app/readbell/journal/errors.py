"""What can go wrong with a journal, each with a sentence for the person before it."""

from __future__ import annotations

from readbell.core.errors import ReadbellError


class JournalError(ReadbellError):
    """A journal cannot be used."""


class BrokenChainError(JournalError):
    """An event of the journal is not what was once written."""

    exit_status = 1

    def __init__(self, seq: int, what: str) -> None:
        super().__init__(f"event {seq}: {what}")
        self.seq = seq


class ConflictError(JournalError):
    """Somebody else has appended since: look again and decide again."""


class NotWrittenError(JournalError):
    """An append did not reach the disk; nothing of it may be shown as done."""


class InUseError(JournalError):
    """Another program is writing to this journal."""


class NewerJournalError(JournalError):
    """A newer version of the program wrote this journal."""


class LinkLostError(NotWrittenError):
    """The server of a shared bay cannot be reached: the station goes on alone."""


LINK_LOST = "the link to the server is lost"
"""What a journal says of itself while that is so; it is told as ALONE, and not as NOT SAVED."""
