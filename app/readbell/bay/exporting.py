"""Which results leave, and all that belongs to each: from the board to what a file is made of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.site_time import site_time
from readbell.core.board.layered import backwards
from readbell.core.board.results import is_valid, result_called, visit_of
from readbell.core.board.sending import as_it_leaves, is_outstanding, is_to_be_heard
from readbell.core.board.wall_time import wall_of
from readbell.core.cartridge.events import SubjectKind
from readbell.core.instant import between, later, seconds
from readbell.core.made_later import dataclass
from readbell.core.people.file import NOTHING_KNOWN, day_of
from readbell.core.policy.sending import ReportFormat
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import REPORTABLE, ResultStatus
from readbell.exports.report import Kit, Line, Named, Patient, Report, When
from readbell.phrases.export_words import notes_of, say_outcome

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date, datetime, tzinfo

    from readbell.core.board.board import Board
    from readbell.core.board.results import VisitResult
    from readbell.core.board.sending import Sent
    from readbell.core.cartridge.moment import Done
    from readbell.core.exports.events import Choice
    from readbell.core.instant import Instant, Span
    from readbell.core.results.result import AnalyteResult, Result

_NOT_YET = frozenset({ResultStatus.RUNNING, ResultStatus.SECOND_DUE})
_UNDER = REPORTABLE | {ResultStatus.WITHHELD}
"""States in which what came to nothing is listed under the result of its visit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exporting:
    """Makes the reports of one export.

    Attributes:
        board: the bay.
        zone: the site's own.
        form: in which the results are to leave.
        choice: which of them.
    """

    board: Board
    zone: tzinfo
    form: ReportFormat
    choice: Choice

    def keys(self) -> Sequence[str]:
        """Return the opaque ids of all that may be asked for, in the order of beginning.

        What a site expects to leave is known without a look at years of results; so is
        what is older than the first day asked for.
        """
        board, since = self.board, self.choice.since
        if self.choice.unsent and self.form in board.policy.reports_expected:
            return tuple(board.unsent)
        if since is None:
            return (*board.order, *board.paper_runs)
        lately: list[str] = []
        for key in backwards(board.order):
            found = board.cartridge(key)
            if found is None:
                break
            labelled = found.labelled.at
            if self._day(later(labelled, board.out_of_order)) < since:
                break
            if self._day(labelled) >= since:
                lately.append(key)
        return (*reversed(lately), *board.paper_runs)

    def reports(self, keys: Sequence[str]) -> Iterator[Report | None]:
        """Yield the report of each result that was asked for, and None for each that was not."""
        for key in keys:
            result = result_called(self.board, key)
            if result is None or not self._is_asked_for(result):
                yield None
                continue
            visit = visit_of(self.board, result, self._day)
            if visit is not None and self._is_listed_elsewhere(result, visit):
                yield None
            else:
                yield self._report(result, visit)

    def local(self, at: Instant) -> datetime:
        """Return what the clock on the site's wall said at `at`."""
        return site_time(wall_of(self.board, at), self.zone)

    def _day(self, at: Instant) -> date:
        return self.local(at).date()

    def _sent(self, result: Result) -> tuple[Sent, ...]:
        return self.board.sent.get(result.cartridge, ())

    def _begun(self, result: Result) -> Instant:
        cartridge = self.board.cartridge(result.cartridge)
        if cartridge is None:
            return self.board.paper_runs[result.cartridge].steps[0].said
        return cartridge.labelled.at

    def _is_asked_for(self, result: Result) -> bool:
        """Say whether `result` leaves at all, and was asked for."""
        choice = self.choice
        if result.subject_kind is not SubjectKind.PATIENT:
            return False  # nothing else ever leaves as a patient's
        if choice.unsent:
            leaves = is_outstanding(result, self._sent(result), self.form)
        elif self.form is ReportFormat.CSV:
            leaves = result.status not in _NOT_YET
        else:
            leaves = is_to_be_heard(result)
        day = self._day(self._begun(result))
        return (
            leaves
            and (choice.since is None or choice.since <= day)
            and (choice.until is None or day <= choice.until)
            and (not choice.lots or result.lot in choice.lots)
            and (not choice.assays or result.assay.id in choice.assays)
            and (not choice.outcomes or _outcome(result) in choice.outcomes)
        )

    def _is_listed_elsewhere(self, result: Result, visit: VisitResult) -> bool:
        """Say whether `result` came to nothing, and leaves under what came of its visit."""
        told = visit.reportable
        return (
            self.form is not ReportFormat.CSV
            and told is not None
            and not is_valid(result)
            and result.status in _UNDER
            and not any(each.format is self.form for each in self._sent(result))
            and self._is_asked_for(told)
        )

    def _report(self, result: Result, visit: VisitResult | None) -> Report:
        board = self.board
        told = None if visit is None else visit.reportable
        is_of_visit = told is not None and told.cartridge == result.cartridge
        listed = () if visit is None or not is_of_visit else visit.under_it
        left = as_it_leaves(result, self._sent(result), self.form)
        cartridge = board.cartridge(result.cartridge)
        repeated = None if result.repeat_of is None else board.cartridge(result.repeat_of)
        lot = board.lots.get(result.lot)
        specimen = None if cartridge is None else cartridge.specimen
        since = result.since or result.read_at or self._begun(result)
        reader = result.read_by if result.early is None else result.read_by or result.early.by
        return Report(
            id=result.cartridge,
            label=result.label,
            patient=self._patient(result.subject),
            reader=None if reader is None else Named(key=reader, id=board.name(reader)),
            kit=Kit(lot=result.lot, expires=None if lot is None else lot.expires),
            assay_id=result.assay.id,
            assay=result.assay.title,
            specimen=result.assay.specimen,
            specimen_id=specimen or result.cartridge,
            specimen_code=result.assay.specimen_snomed,
            begun=self.local(self._begun(result)),
            collected=self._when(result.collected),
            applied=self._when(result.applied),
            read=None if result.read_at is None else self.local(result.read_at),
            issued=self.local(since),
            status=result.status,
            lapsed=result.lapsed,
            left=left,
            lines=tuple(_line(result, each) for each in result.analytes),
            outcome=_outcome(result),
            says=say_outcome(result, _value(result, result.outcome)),
            notes=tuple(
                notes_of(
                    result,
                    corrects=left.as_correction,
                    read_after=_read_after(result),
                )
            ),
            deviations=tuple(f"{each.code}:{seconds(each.span):g}" for each in result.deviations),
            repeat_of=None if repeated is None else repeated.label,
            is_of_visit=is_of_visit,
            earlier=tuple(
                self._report(each, None)
                for each in listed
                if self.form is not ReportFormat.CSV
                and each.status in _UNDER
                and not is_valid(each)
            ),
        )

    def _patient(self, key: str) -> Patient:
        known = self.board.person_files.get(key, NOTHING_KNOWN)
        born = None if known.born is None else day_of(known.born)
        return Patient(key=key, id=self.board.name(key), name=known.name, born=born)

    def _when(self, done: Done | None) -> When | None:
        if done is None:
            return None
        return When(
            said=self.local(done.said),
            earliest=self.local(done.earliest),
            latest=self.local(done.latest),
            stated=done.stated,
        )


def _outcome(result: Result) -> Outcome | None:
    """Return the outcome that may be told; None: there is none."""
    return result.outcome if result.status in REPORTABLE else None


def _value(result: Result, outcome: Outcome | None) -> Outcome | None:
    """Return what leaves as a value: of what was never read there is none."""
    if result.status not in REPORTABLE or (result.lapsed and outcome is Outcome.INVALID):
        return None
    return outcome


def _line(result: Result, found: AnalyteResult) -> Line:
    line = result.assay.line(found.line)
    assert line is not None  # noqa: S101  # a result has the lines of its assay
    value = _value(result, found.outcome)
    return Line(
        key=line.key,
        mark=line.mark,
        name=line.name,
        loinc=line.loinc,
        outcome=value,
        says=say_outcome(result, value),
    )


def _read_after(result: Result) -> Span | None:
    """Return how long after the drops it was read; None where one of the two was not timed."""
    applied = result.applied
    if result.read_at is None or applied is None or applied.stated or result.on_paper:
        return None
    return between(applied.said, result.read_at)
