"""Which results leave, in which state, and what belongs to each."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, FAINT, NASAL, NEGATIVE, NO_CONTROL, START, TODAY, at, private, span
from core.board.stock_bench import StockBench
from readbell.bay.exporting import Exporting
from readbell.core.board.events import ClockJumped, Mode
from readbell.core.board.fold import fold
from readbell.core.cartridge.looks import lapse
from readbell.core.exports.acts import NoteExport
from readbell.core.exports.events import EVERYTHING, Choice
from readbell.core.instant import Span
from readbell.core.paper.acts import EnterPaperRun
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.particulars import Particular
from readbell.core.policy.sending import ReportFormat
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import AmendReason, HoldReason, WithdrawReason

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands
    from readbell.exports.report import Report

CSV, FHIR, HL7 = ReportFormat.CSV, ReportFormat.FHIR, ReportFormat.HL7
UNSENT = Choice(unsent=True)


class Day(StockBench):
    """A bench of a live bay, one cartridge after the other."""

    def __init__(self, *expected: ReportFormat) -> None:
        super().__init__(mode=Mode.LIVE)
        self.decides(reports_expected=expected)

    def runs(
        self, label: str, seen: Bands | None, *, begins: int = 0, person: str = "P-001"
    ) -> None:
        """Run one cartridge, so many minutes on; unread it lapses."""
        self.label(label, person, f"{begins}:00")
        self.run(label, begins=begins, seen=seen)
        if seen is None:
            closed = at(f"{begins + 21}:00.001")
            self.board = fold(self.board, lapse(self.cartridge(label), closed))

    def leaves(self, form: ReportFormat = FHIR, choice: Choice = EVERYTHING) -> list[Report]:
        """What leaves in a form."""
        exporting = Exporting(board=self.board, zone=UTC, form=form, choice=choice)
        return [each for each in exporting.reports(exporting.keys()) if each is not None]

    def labels(self, form: ReportFormat = FHIR, choice: Choice = EVERYTHING) -> list[str]:
        """Of which cartridges."""
        return [each.label for each in self.leaves(form, choice)]

    def sends(self, form: ReportFormat = FHIR) -> list[str]:
        """Export what is unsent, and note it."""
        found = self.leaves(form, UNSENT)
        results = tuple(
            each.left for report in found for each in (report, *report.earlier) if each.left.version
        )
        act = NoteExport(
            by="op-1",
            export=f"export-{len(self.board.exports)}",
            format=form,
            count=len(found),
            digest="0" * 64,
            where=private("/out"),
            choice=UNSENT,
            results=results,
        )
        self.must(act, "99:00")
        return [each.label for each in found]


def test_a_result_leaves_with_all_that_belongs_to_it() -> None:
    """Who, what, when, of which box."""
    made = Day()
    known = (
        (Particular.NAME, private("Ada Brook")),
        (Particular.BIRTH_DATE, private("1980-02-03")),
    )
    made.must(NoteParticulars(by="op-1", person="P-001", particulars=known, today=TODAY))
    made.runs("C1", FAINT)
    (found,) = made.leaves()
    assert (found.patient.id, found.patient.name) == ("P-001", "Ada Brook")
    assert found.patient.born == date(1980, 2, 3)
    assert found.reader is not None
    assert found.reader.id == "op-1"
    assert (found.kit.lot, found.kit.expires) == ("L-100", date(2026, 12, 31))
    assert (found.assay_id, found.specimen) == (NASAL.id, NASAL.specimen)
    assert found.specimen_id.startswith("specimen-")
    assert found.applied is not None
    assert found.read is not None
    assert (found.read - found.applied.said).total_seconds() == 16 * 60
    assert found.issued == found.read
    assert (found.lines[0].loinc, found.lines[0].outcome) == ("97097-0", Outcome.POSITIVE)
    assert found.notes == ("Read 16:00 after the drops.",)
    assert found.is_of_visit


def test_a_wait_that_was_not_kept_leaves_with_its_length() -> None:
    """Whoever looks at the figures later has to know."""
    made = Day()
    made.label()
    for step, now in (("buffer", "0:00"), ("collect", "0:00"), ("extract", "0:00")):
        made.step(step, now)
    made.step("withdraw", "4:00.500")
    made.step("apply", "4:10")
    made.must(made.read_act(FAINT), "20:00")
    assert made.leaves()[0].deviations == ("extract-long:240.5",)


def test_what_was_amended_says_as_what_it_was_first_read() -> None:
    """The first reading stays in whatever leaves."""
    made = Day()
    made.runs("C1", NEGATIVE)
    made.must(
        AmendResult(
            by="op-2",
            cartridge="C1",
            bands=FAINT,
            reason=AmendReason.WRONGLY_SEEN,
            words=private("looked again"),
        ),
        "60:00",
    )
    (found,) = made.leaves()
    assert found.notes[0] == "Amended by a supervisor; first read as Negative."
    assert found.status is ResultStatus.AMENDED
    assert found.lines[0].outcome is Outcome.POSITIVE


def test_no_control_sample_leaves_in_any_form() -> None:
    """It would be taken for somebody's result."""
    made = Day()
    made.materials()
    made.whole_sample("C1", "PC-1", 0, FAINT)
    for form in (CSV, FHIR, HL7):
        assert made.leaves(form) == []


def test_a_repeat_leaves_with_what_came_to_nothing_before_it_under_it() -> None:
    """One reportable result of a visit; a table has a row for each, and says which one it is."""
    made = Day(FHIR)
    made.runs("C1", NO_CONTROL)
    made.runs("C2", None, begins=30)
    made.runs("C3", NEGATIVE, begins=60)
    (found,) = made.leaves()
    assert (found.label, found.repeat_of) == ("C3", "C2")
    assert [each.label for each in found.earlier] == ["C1", "C2"]
    assert [each.lapsed for each in found.earlier] == [False, True]
    assert found.earlier[1].lines[0].outcome is None
    assert [(each.label, each.is_of_visit) for each in made.leaves(CSV)] == [
        ("C1", False),
        ("C2", False),
        ("C3", True),
    ]
    assert made.sends() == ["C3"]
    assert made.sends() == []
    assert dict(made.board.unsent) == {}


def test_an_invalid_result_leaves_by_itself_until_something_came_of_its_visit() -> None:
    """Whoever waits for it hears that it is to be repeated."""
    made = Day(FHIR)
    made.runs("C1", NO_CONTROL)
    assert made.sends() == ["C1"]
    made.runs("C2", FAINT, begins=30)
    assert made.sends() == ["C2"]
    assert made.labels() == ["C1", "C2"]


def test_an_invalid_result_of_which_the_repeat_has_left_already_leaves_by_itself() -> None:
    """Nothing that is outstanding may stay so for ever."""
    made = Day(FHIR)
    made.runs("C1", NO_CONTROL)
    held = ReadingHeld(
        at=at("19:00"), by=None, cartridge="id-C1", reasons=(HoldReason.LOT_RECALLED,)
    )
    made.board = fold(made.board, held)
    made.runs("C2", FAINT, begins=30)
    assert made.sends() == ["C2"]
    made.must(ReleaseReading(by="op-2", cartridge="C1", words=private("fine")), "60:00")
    assert made.sends() == ["C1"]
    assert made.sends() == []


@pytest.mark.parametrize(
    ("choice", "labels"),
    [
        (Choice(lots=("L-100",)), ["C1", "C2"]),
        (Choice(lots=("L-9",)), []),
        (Choice(assays=(NASAL.id,)), ["C1", "C2"]),
        (Choice(assays=("other",)), []),
        (Choice(outcomes=(Outcome.POSITIVE,)), ["C1"]),
        (Choice(outcomes=(Outcome.NEGATIVE, Outcome.INVALID)), ["C2"]),
        (Choice(since=TODAY, until=TODAY), ["C1", "C2"]),
        (Choice(since=date(2026, 3, 30)), []),
        (Choice(until=date(2026, 3, 28)), []),
    ],
)
def test_only_what_was_asked_for_leaves(choice: Choice, labels: list[str]) -> None:
    """In every form."""
    made = Day()
    made.runs("C1", CLEAR)
    made.runs("C2", NEGATIVE, begins=30, person="P-002")
    for form in (CSV, FHIR, HL7):
        assert made.labels(form, choice) == labels


def test_what_is_older_than_the_first_day_asked_for_is_not_looked_at() -> None:
    """Of years of results a day is soon found."""
    made = Day()
    made.runs("C1", CLEAR)
    day = 24 * 60
    made.runs("C2", NEGATIVE, begins=day, person="P-002")
    tomorrow = Choice(since=date(2026, 3, 30))
    exporting = Exporting(board=made.board, zone=UTC, form=CSV, choice=tomorrow)
    assert list(exporting.keys()) == ["id-C2"]


def test_what_a_site_expects_is_found_without_a_walk() -> None:
    """A form that nobody expects is counted too, by looking at each."""
    made = Day(FHIR)
    made.runs("C1", CLEAR)
    made.runs("C2", NEGATIVE, begins=30, person="P-002")
    assert made.sends(HL7) == ["C1", "C2"]
    assert made.sends(HL7) == []
    by_list = Exporting(board=made.board, zone=UTC, form=FHIR, choice=UNSENT)
    assert list(by_list.keys()) == list(made.board.unsent) == ["id-C1", "id-C2"]
    by_walk = Exporting(board=made.board, zone=UTC, form=HL7, choice=UNSENT)
    assert list(by_walk.keys()) == ["id-C1", "id-C2"]


def test_what_is_held_or_still_runs_leaves_no_outcome() -> None:
    """A table says how it stands; a receiver hears nothing of it."""
    made = Day()
    made.runs("C1", CLEAR)
    held = ReadingHeld(
        at=at("19:00"), by=None, cartridge="id-C1", reasons=(HoldReason.LOT_RECALLED,)
    )
    made.board = fold(made.board, held)
    made.label("C2", "P-002", "30:00")
    made.must(made.void_act("C2"), "31:00")
    made.label("C3", "P-002", "40:00")
    assert made.leaves(FHIR) == made.leaves(HL7) == []
    rows = made.leaves(CSV)
    assert [(each.label, each.outcome, each.says) for each in rows] == [
        ("C1", None, "Held for review"),
        ("C2", None, "Void"),
    ]
    assert all(line.outcome is None for each in rows for line in each.lines)


def test_a_positive_seen_early_leaves_as_preliminary_and_names_who_saw_it() -> None:
    """There is no reading yet; the one who looked answers for it."""
    made = Day(FHIR)
    made.to_well()
    made.must(made.look_act(FAINT, by="op-2"), "6:00")
    (found,) = made.leaves()
    assert (found.status, found.read) == (ResultStatus.PRELIMINARY, None)
    assert found.reader is not None
    assert found.reader.id == "op-2"
    assert made.sends() == ["C1"]
    made.must(made.read_act(NEGATIVE), "18:00")
    (back,) = made.leaves(FHIR, UNSENT)
    assert (back.status, back.outcome) == (ResultStatus.WITHHELD, None)
    assert back.lines[0].says == "Withheld"


def test_what_was_taken_back_leaves_so_if_it_had_left() -> None:
    """With no outcome in any form."""
    made = Day(FHIR)
    made.runs("C1", CLEAR)
    made.sends()
    reason = WithdrawReason.ANOTHER_PERSON
    act = WithdrawResult(by="op-2", cartridge="C1", reason=reason, words=private("swapped"))
    made.must(act, "60:00")
    (back,) = made.leaves(FHIR, UNSENT)
    assert (back.status, back.outcome, back.says) == (ResultStatus.WITHDRAWN, None, "Taken back")
    assert back.issued.isoformat() == "2026-03-29T01:53:20+00:00"
    assert made.sends() == ["C1"]
    assert made.sends() == []


def test_a_run_on_paper_leaves_with_its_doubt() -> None:
    """Each time is a stretch, and says that it is stated."""
    made = Day(FHIR)
    times = ("0:00", "0:10", "1:00", "1:30", "2:40", "3:00")
    steps = ("label", "buffer", "collect", "extract", "withdraw", "apply")
    made.must(
        EnterPaperRun(
            by="op-1",
            new_id="run-1",
            operator="op-1",
            witness="op-2",
            label="W1",
            person="P-001",
            lot="L-100",
            steps=tuple((step, at(time)) for step, time in zip(steps, times, strict=True)),
            read=at("20:00"),
            give_or_take=span("0:30"),
            bands=FAINT,
            today=TODAY,
            day_began=START,
        ),
        "30:00",
    )
    (found,) = made.leaves(FHIR, Choice(since=TODAY))
    assert found.applied is not None
    assert found.applied.stated
    assert (found.applied.latest - found.applied.earliest).total_seconds() == 60
    assert found.specimen_id == "run-1"
    assert any("stated, not timed" in each for each in found.notes)
    assert made.sends() == ["W1"]


def test_a_time_leaves_as_the_wall_clock_showed_it() -> None:
    """Set right later, it moves no time that had left."""
    made = Day()
    made.runs("C1", CLEAR)
    (before,) = made.leaves()
    jump = ClockJumped(at=at("19:00"), by_span=Span(3_600_000), cartridges=())
    made.board = fold(made.board, jump)
    (after,) = made.leaves()
    assert after == before
    made.runs("C2", CLEAR, begins=30, person="P-002")
    found = made.leaves()[1]
    assert (found.begun - before.begun).total_seconds() == 90 * 60


def test_what_leaves_again_after_a_change_says_that_it_corrects() -> None:
    """And what did not change leaves as it did."""
    made = Day(FHIR)
    made.runs("C1", CLEAR)
    made.sends()
    left = replace(made.leaves()[0].left)
    assert not left.as_correction
    held = ReadingHeld(
        at=at("19:00"), by=None, cartridge="id-C1", reasons=(HoldReason.LOT_RECALLED,)
    )
    made.board = fold(made.board, held)
    assert made.leaves() == []
