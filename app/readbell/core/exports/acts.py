"""What is asked for about exports."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.exports.events import EVERYTHING, Choice, ExportedResult
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.core.policy.sending import ReportFormat
    from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteExport:
    """Enter that a file was written and stands in its place."""

    by: str | None = field(repr=False)
    export: str
    format: ReportFormat
    count: int
    digest: str
    where: Private | None
    """The file's name; None: it is not to be kept."""
    choice: Choice = EVERYTHING
    results: tuple[ExportedResult, ...] = ()
    left: Instant | None = None
    """When the file was there, where that was before this is entered; None: just now."""


NAMES: dict[type, str] = {NoteExport: "note-export"}
