"""Results that leave as files, in words: in the files themselves, and to whoever made them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.sending import ALREADY_NOTED, NOBODY_NAMED
from readbell.core.policy.sending import ReportFormat
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import REPORTABLE, ResultStatus
from readbell.core.span_text import write_elapsed
from readbell.phrases.clock_time import time_of_day

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date, datetime

    from readbell.core.exports.events import ResultsExported
    from readbell.core.instant import Span
    from readbell.core.results.result import Result

FORMATS: dict[ReportFormat, str] = {
    ReportFormat.CSV: "a table",
    ReportFormat.JSONL: "lines of the whole record",
    ReportFormat.FHIR: "a FHIR bundle",
    ReportFormat.HL7: "an HL7 batch",
    ReportFormat.PDF: "pages",
}
_WHAT: dict[ReportFormat, str] = {
    ReportFormat.CSV: "test",
    ReportFormat.PDF: "test",
    ReportFormat.JSONL: "event",
}
"""What is counted in a file; in the others the results that stand for a visit."""
REHEARSAL = "REHEARSAL: practice, of no patient"
NOTHING_TO_EXPORT = (
    "Nothing to export: nothing on record is what was asked for. "
    "The file is whole, and has no result in it."
)
OUTCOMES: dict[Outcome, str] = {
    Outcome.POSITIVE: "Positive",
    Outcome.NEGATIVE: "Negative",
    Outcome.INVALID: "Invalid",
    Outcome.WITHHELD: "Withheld",
}
LAPSED = "No result: the read window closed and nobody had read the strip. To be repeated."
WITHHELD = (
    "No result: the looks at this strip disagree, or one that is asked for never came. "
    "To be repeated, or decided by a supervisor."
)
HELD = "Held for review: it is no result before a supervisor has looked at it."
WITHDRAWN = "Taken back: this result was entered in error, and nothing of it counts."
INVALID = "Invalid: the strip did not prove that it ran. To be repeated with a new specimen."
PRELIMINARY = "Preliminary: seen before the read window; the reading in it is still to come."
AMENDED = "Amended by a supervisor"
CORRECTED = "Corrects what was reported before."
ON_PAPER = "Run on paper: its times are stated, not timed."
STATED = "Times marked so are stated, not timed."
NEGATIVE = "A negative does not exclude infection. Local rules go first."

NOT_ALLOWED: dict[str, str] = {
    NOBODY_NAMED: (
        "Nobody said who exports, and this site knows who does what. "
        "Say who, with --by and an operator's ID."
    ),
    ALREADY_NOTED: "This export is on record already. Nothing changed.",
}
"""By what the refusal is about."""


def tell_of_export(event: ResultsExported) -> str:
    """Return the line for `event`."""
    where = "" if event.where is None else f" to {event.where.value or 'erased'}"
    part = "" if event.parts == 1 else f", part {event.part} of {event.parts}"
    return (
        f"Exported as {FORMATS[event.format]}{where}: {_counted(event.format, event.count)}{part}."
    )


def notes_of(result: Result, *, corrects: bool, read_after: Span | None) -> Iterator[str]:
    """Yield what is to be said beside a result, a sentence each.

    Args:
        result: as it stands.
        corrects: whether something final was reported before.
        read_after: how long after the drops it was read; None: it was not, or nobody can say.
    """
    if result.status is ResultStatus.WITHDRAWN:
        yield WITHDRAWN
        return
    if result.status is ResultStatus.WITHHELD:
        yield WITHHELD
        return
    if result.status is ResultStatus.HELD:
        # A table has a row of it and no outcome: what it would come to is in no note either.
        yield HELD
        return
    if result.status is ResultStatus.PRELIMINARY:
        yield PRELIMINARY
    if result.status is ResultStatus.AMENDED:
        yield _amended(result)
    elif corrects:
        yield CORRECTED
    if result.lapsed:
        yield LAPSED if result.outcome is Outcome.INVALID else SEEN_EARLY
    elif result.outcome is Outcome.INVALID:
        yield INVALID
    elif result.outcome is Outcome.NEGATIVE:
        yield NEGATIVE
    if read_after is not None:
        yield f"Read {write_elapsed(read_after)} after the drops."
    if result.on_paper:
        yield ON_PAPER
    elif any(each is not None and each.stated for each in (result.collected, result.applied)):
        yield STATED


def _amended(result: Result) -> str:
    """Return that a result was amended, and as what it was first read."""
    lines = [(each, result.assay.line(each.line)) for each in result.analytes]
    first = [
        OUTCOMES[each.first]
        if len(lines) == 1 or line is None
        else f"{line.name} {OUTCOMES[each.first]}"
        for each, line in lines
        if each.first is not None
    ]
    return f"{AMENDED}; first read as {', '.join(first)}." if first else f"{AMENDED}."


def say_nothing_unsent(form: ReportFormat) -> str:
    """Return that no file was written, as nothing has changed since the last one."""
    return f"Nothing is unsent: everything has left as {FORMATS[form]} as it stands. No file was written."


def say_outcome(result: Result, value: Outcome | None) -> str:
    """Return in a word or two what a result, or one analyte of it, comes to.

    Args:
        result: as it stands.
        value: what leaves of it; None: there is no value.
    """
    if value is not None:
        return OUTCOMES[value]
    if result.lapsed and result.status in REPORTABLE:
        return "Not read in time"
    return _STATES.get(result.status, "Not read yet")


_STATES: dict[ResultStatus, str] = {
    ResultStatus.HELD: "Held for review",
    ResultStatus.WITHHELD: "Withheld",
    ResultStatus.WITHDRAWN: "Taken back",
    ResultStatus.NO_RESULT: "Void",
}
SEEN_EARLY = "Seen before the read window; the strip was not read in it."

CAUTIONS = (
    "A negative does not exclude infection. What is preliminary, held or withheld is no result.",
    "Local rules and licensed practice go first.",
)


def say_title(bay: str, since: date | None, until: date | None) -> str:
    """Return what a list of results calls itself."""
    days = " ".join(
        (
            *(() if since is None else (f"from {since}",)),
            *(() if until is None else (f"until {until}",)),
        )
    )
    return f"{bay}: results {days or 'of all days'}"


def say_row(
    label: str,
    assay: str,
    lines: Sequence[tuple[str, str]],
    *,
    lot: str,
    reader: str | None,
    read: datetime | None,
    of_visit: bool,
) -> str:
    """Return the line of one result in a list that is printed; it names no patient."""
    says = "; ".join(said if len(lines) == 1 else f"{name} {said}" for name, said in lines)
    when = "" if read is None else f", read {time_of_day(read)} by {reader or 'erased'}"
    mark = "" if of_visit else " (not the result of its visit)"
    return f"  {label}  {assay}: {says}{mark}{when}, lot {lot}"


def say_exported(
    where: str,
    form: ReportFormat,
    count: int,
    digest: str,
    *,
    rehearsal: bool,
    on_record: bool,
    texts_alone: Iterable[str],
    apostrophes: int,
) -> Iterator[str]:
    """Yield what is told of an export that was made, a line each.

    Args:
        where: the file.
        form: of it.
        count: how many results are in it, or tests, or events.
        digest: SHA-256 of the file.
        rehearsal: whether all of it is practice.
        on_record: whether it is; else a running program will enter it.
        texts_alone: analytes without a code.
        apostrophes: fields before which one was put.
    """
    yield f"{where}: {_counted(form, count)}, as {FORMATS[form]}."
    if not count:
        yield NOTHING_TO_EXPORT
    yield f"SHA-256 {digest}"
    if rehearsal:
        yield f"{REHEARSAL}. The file says so."
    if apostrophes:
        yield (
            f"In {apostrophes:,} fields an apostrophe stands before a sign that a spreadsheet would "
            "take for a formula; the last column names them."
        )
    for each in texts_alone:
        yield f"{each}: its assay file has no LOINC code, so words alone left."
    if not on_record:
        yield "Not entered yet: the program that runs this bay does so in a moment, or the next start."


def _counted(form: ReportFormat, count: int) -> str:
    what = _WHAT.get(form, "result")
    return f"{count:,} {what}{'' if count == 1 else 's'}"


def say_unsent(result: Result, forms: Iterable[ReportFormat]) -> str:
    """Return the line of one result that has yet to leave; it names no patient."""
    return f"{result.label}  {result.status}, to leave as {', '.join(forms)}"


def say_none_unsent(expected: Sequence[ReportFormat]) -> str:
    """Return that nothing waits to leave, or that nobody asks for it."""
    if not expected:
        return (
            "This site does not say how results are to leave: "
            "set reports_expected under [policy] in its settings."
        )
    return f"Everything has left as it stands: {', '.join(expected)}."
