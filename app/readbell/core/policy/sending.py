"""In which forms results leave, and which of them a site expects of every result."""

from __future__ import annotations

from enum import StrEnum


class ReportFormat(StrEnum):
    """A form in which results leave as a file; part of the record, never changed."""

    CSV = "csv"
    """A table for spreadsheets."""
    JSONL = "jsonl"
    """The whole record, an event a line."""
    FHIR = "fhir"
    """A transaction Bundle of FHIR R4."""
    HL7 = "hl7"
    """A batch of ORU^R01 messages of HL7 version 2.5.1."""
    PDF = "pdf"
    """Pages to be printed."""


OF_RESULTS = (ReportFormat.CSV, ReportFormat.FHIR, ReportFormat.HL7)
"""Those that carry single results, so that it is known of each whether it has left."""
