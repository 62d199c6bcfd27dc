"""Backing a journal up while it is in use, and bringing a backup back."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from readbell.journal.continuation import lying_beside
from readbell.journal.errors import JournalError
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from readbell.journal.record import Head


def copy_journal(
    source: Path,
    target: Path,
    places: Sequence[Path] = (),
    named: Path | None = None,
    tell: Callable[[str, int, int], None] | None = None,
) -> Head:
    """Write a checked copy of the journal `source` to `target`, and return its end.

    Backing up and restoring are the same act in two directions: what arrives has
    been verified event by event, and nothing that stands is overwritten.

    Args:
        source: the journal; of a shared bay its mirror.
        target: a new file.
        places: folders into which acts are spilled.
        named: after what the files are named into which they are; None: after `source`.
        tell: is told what is being checked, and how many events of how many have been.

    Raises:
        JournalError: the source is missing, broken or not all there, or something stands at
            the target.
    """
    if not source.is_file():
        msg = f"{source}: there is no journal: check the name"
        raise JournalError(msg)
    if target.exists():
        msg = f"{target}: something stands there already: move it away first"
        raise JournalError(msg)
    if not target.parent.is_dir():
        msg = f"{target.parent}: there is no such folder: choose a place with room where you may write"
        raise JournalError(msg)
    journal = SqliteJournal.open(source, read_only=True)
    try:
        verify(journal, None if tell is None else partial(tell, "checked"))
        damage = journal.damage(thorough=True)
        if damage is not None:
            msg = f"{source}: the file is damaged ({damage}): restore a backup"
            raise JournalError(msg)
        beside = lying_beside(journal, (named or source).resolve(), places)
        if beside:
            msg = (
                f"{source}: events of it lie beside it in {beside[0]}: "
                "open the bay to join them, then copy"
            )
            raise JournalError(msg)
        journal.copy_to(target)
    finally:
        journal.close()
    copy = SqliteJournal.open(target, read_only=True)
    try:
        return verify(copy, None if tell is None else partial(tell, "copy checked")).head
    except JournalError:
        target.unlink(missing_ok=True)  # a copy that is not whole must not stand as one
        raise
    finally:
        copy.close()
