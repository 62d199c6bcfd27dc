"""Why what lies beside a record cannot be joined to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.journal.errors import JournalError

if TYPE_CHECKING:
    from readbell.journal.record import Head


class PartedError(JournalError):
    """Others wrote while events went beside the journal."""


def went_on_without(base: Head) -> JournalError:
    """Return that the record went on from `base` with other events."""
    return JournalError(f"it goes on from event {base.seq}, but the journal went on without it")


def not_held(base: Head, end: Head, *, is_cut: bool) -> JournalError:
    """Return why a file that goes on from `base` cannot be gone on with at a station.

    Its mirror may only lack what the server has: so it is where the disk of the mirror was full
    as the link was lost, and the program ended.

    Args:
        base: what the file goes on from, which is not here.
        end: the end of what is here.
        is_cut: whether the server cannot be reached now.
    """
    if is_cut and base.seq > end.seq:
        return JournalError(
            f"it goes on from event {base.seq}, which only the server has: "
            "end readbell here and start it again once the link is back"
        )
    return went_on_without(base)
