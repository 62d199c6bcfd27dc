"""What this computer says of itself when a shift is opened."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

from readbell.core.shift.checks import Facts
from readbell.settings.settings_table import read_settings_table
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from readbell.core.board.board import Board


def own_facts(
    board: Board,
    journal: Path | None,
    *,
    clock_is_set: bool | None,
    hash_of: Callable[[str], str | None],
) -> Facts:
    """Return what can be said now.

    Args:
        board: the bay.
        journal: where its record lies; None: nowhere on a disk.
        clock_is_set: what the system says of its wall clock; None: it does not tell.
        hash_of: gives the content hash of the file of an assay's id; None: there is none now.
    """
    adopted = {each.assay.id: each.content_hash for each in board.assays.values()}
    return Facts(
        disk_free=_free(journal),
        clock_is_set=clock_is_set,
        changed_assays=tuple(each for each, was in adopted.items() if hash_of(each) != was),
        settings_are_fine=_settings_are_fine(),
        keep_days=keep_days(),
    )


def _free(journal: Path | None) -> int | None:
    try:
        return None if journal is None else shutil.disk_usage(journal.parent).free
    except OSError:
        return None


def keep_days() -> int:
    """Return for how many days people are to be known by name here; 0: the site has not said."""
    try:
        return read_settings_table().keeping.days
    except WrongFileError:
        return 0


def _settings_are_fine() -> bool:
    try:
        read_settings_table()
    except WrongFileError:
        return False
    return True
