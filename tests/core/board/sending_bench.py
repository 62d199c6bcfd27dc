"""A bench whose site expects every result to leave in some form."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import FAINT, private
from core.board.stock_bench import StockBench
from readbell.core.board.events import Mode
from readbell.core.board.results import result_called
from readbell.core.board.sending import as_it_leaves, unsent
from readbell.core.exports.acts import NoteExport
from readbell.core.policy.sending import ReportFormat

if TYPE_CHECKING:
    from readbell.core.exports.events import ExportedResult

FHIR, HL7 = ReportFormat.FHIR, ReportFormat.HL7


class SendingBench(StockBench):
    """A bench whose site expects every result to leave as FHIR."""

    def __init__(self, *forms: ReportFormat) -> None:
        super().__init__(mode=Mode.LIVE)
        self.decides(reports_expected=forms or (FHIR,))

    def read(self, label: str = "C1", person: str = "P-001") -> None:
        """Run one cartridge to a positive."""
        self.to_well(label, person)
        self.must(self.read_act(FAINT, label), "18:00")

    def leaving(self, *labels: str, form: ReportFormat = FHIR) -> tuple[ExportedResult, ...]:
        """What is put on record of these as they now stand."""
        found = []
        for each in labels:
            result = result_called(self.board, f"id-{each}")
            assert result is not None
            found.append(as_it_leaves(result, self.board.sent.get(f"id-{each}", ()), form))
        return tuple(found)

    def note(self, *labels: str, form: ReportFormat = FHIR, **said: object) -> NoteExport:
        """Return the act that notes an export of these."""
        act = NoteExport(
            by="op-1",
            export=f"export-{len(self.board.exports)}",
            format=form,
            count=len(labels),
            digest="0" * 64,
            where=private("/out/file"),
            results=self.leaving(*labels, form=form),
        )
        return replace(act, **said)  # type: ignore[arg-type]

    def waiting(self) -> list[tuple[str, tuple[ReportFormat, ...]]]:
        """What has yet to leave."""
        return [(result.label, forms) for result, forms in unsent(self.board)]
