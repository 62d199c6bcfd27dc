"""Every kind of event and refusal about results that leave as files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import at, private
from readbell.core.board.sending import ALREADY_NOTED, NOBODY_NAMED
from readbell.core.exports.events import EVERYTHING, ResultsExported
from readbell.core.policy.sending import ReportFormat
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.event import Event

EXPORT_EVENTS: list[Event] = [
    ResultsExported(
        at=at("18:00"),
        by=None,
        export="export-1",
        format=form,
        count=1_200,
        digest="0" * 64,
        where=None if part == 2 else private("/out/file"),
        choice=EVERYTHING,
        part=part,
        parts=parts,
        results=(),
    )
    for form in ReportFormat
    for part, parts in ((1, 1), (2, 2))
]

EXPORT_REFUSALS: list[tuple[str, Refusal]] = [
    (subject, Refusal(code=RefusalCode.NOT_ALLOWED, subject=subject))
    for subject in (NOBODY_NAMED, ALREADY_NOTED)
]
