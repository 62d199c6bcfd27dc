"""What is said in and about the files in which results leave."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, Bench, at, private
from readbell.core.board.fold import fold
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Span
from readbell.core.policy.sending import ReportFormat
from readbell.core.results.result import Result, result_of
from readbell.core.results.status import ResultStatus
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason
from readbell.phrases.export_words import (
    notes_of,
    say_exported,
    say_none_unsent,
    say_outcome,
    say_row,
    say_title,
    say_unsent,
)

if TYPE_CHECKING:
    from phrases.conftest import Properly
    from readbell.core.reading.bands import Bands


def seen(early: Bands | None = None, read: Bands | None = None, *, back: bool = False) -> Result:
    """The result of one cartridge; unread, it has lapsed."""
    made = Bench()
    made.to_well()
    if early is not None:
        made.must(made.look_act(early), "6:00")
    if read is not None:
        made.must(made.read_act(read), "18:00")
    else:
        made.board = fold(made.board, lapse(made.cartridge(), at("22:30.001")))
    if back:
        reason = WithdrawReason.WRONGLY_READ
        act = WithdrawResult(by="op-2", cartridge="C1", reason=reason, words=private("w"))
        made.must(act, "30:00")
    return result_of(made.cartridge())


RESULTS = {
    "positive": seen(read=FAINT),
    "negative": seen(read=NEGATIVE),
    "invalid": seen(read=NO_CONTROL),
    "lapsed": seen(),
    "lapsed and seen early": seen(early=CLEAR),
    "withheld": seen(early=CLEAR, read=NEGATIVE),
    "withdrawn": seen(read=FAINT, back=True),
}


@pytest.mark.parametrize("corrects", [True, False])
@pytest.mark.parametrize("way", RESULTS)
def test_every_note_is_whole_sentences(way: str, corrects: bool, properly: Properly) -> None:
    """They stand alone in a file, far from the bench."""
    for each in notes_of(RESULTS[way], corrects=corrects, read_after=Span(960_000)):
        assert properly(each) >= 1


def test_what_was_taken_back_says_that_and_nothing_else() -> None:
    """Whoever reads it is to take nothing from it."""
    for way in ("withheld", "withdrawn"):
        assert len(list(notes_of(RESULTS[way], corrects=True, read_after=Span(1)))) == 1


def test_the_notes_of_what_is_held_are_one_whatever_was_read() -> None:
    """A table has a row of it without an outcome; a note that tells it would be one all the same."""
    notes = {
        tuple(
            notes_of(
                replace(RESULTS[way], status=ResultStatus.HELD),
                corrects=False,
                read_after=Span(960_000),
            )
        )
        for way in ("positive", "negative", "invalid", "lapsed", "lapsed and seen early")
    }
    assert notes == {("Held for review: it is no result before a supervisor has looked at it.",)}


def test_what_leaves_in_place_of_an_outcome_is_said_in_words() -> None:
    """A blank would be filled in by whoever reads it."""
    assert {way: say_outcome(found, None) for way, found in RESULTS.items()} == {
        "positive": "Not read yet",
        "negative": "Not read yet",
        "invalid": "Not read yet",
        "lapsed": "Not read in time",
        "lapsed and seen early": "Not read in time",
        "withheld": "Withheld",
        "withdrawn": "Taken back",
    }
    assert say_outcome(RESULTS["positive"], RESULTS["positive"].outcome) == "Positive"


def test_a_list_names_its_days_and_no_patient() -> None:
    """It may lie on a desk."""
    assert say_title("HQ", None, None) == "HQ: results of all days"
    day = date(2026, 3, 29)
    assert say_title("HQ", day, None) == "HQ: results from 2026-03-29"
    assert say_title("HQ", day, day) == "HQ: results from 2026-03-29 until 2026-03-29"
    read = datetime(2026, 3, 29, 14, 0, tzinfo=UTC)
    one = say_row(
        "C1", "Nasal", [("A", "Positive")], lot="L", reader=None, read=read, of_visit=True
    )
    assert one == "  C1  Nasal: Positive, read 14:00:00 by erased, lot L"
    two = say_row(
        "C1",
        "Three",
        [("A", "Positive"), ("B", "Negative")],
        lot="L",
        reader=None,
        read=None,
        of_visit=False,
    )
    assert two == "  C1  Three: A Positive; B Negative (not the result of its visit), lot L"


@pytest.mark.parametrize(
    ("form", "count", "said"),
    [
        (ReportFormat.CSV, 3, "3 tests, as a table."),
        (ReportFormat.PDF, 1, "1 test, as pages."),
        (ReportFormat.FHIR, 2, "2 results, as a FHIR bundle."),
        (ReportFormat.HL7, 1, "1 result, as an HL7 batch."),
        (ReportFormat.JSONL, 1, "1 event, as lines of the whole record."),
    ],
)
def test_a_table_has_each_test_and_a_message_the_results_of_visits(
    form: ReportFormat, count: int, said: str
) -> None:
    """An invalid one that was repeated stands in a table and leaves in no message: two numbers of one day."""
    told = say_exported(
        "out", form, count, "0" * 64, rehearsal=False, on_record=True, texts_alone=[], apostrophes=0
    )

    assert next(iter(told)) == f"out: {said}"


def test_what_is_told_of_an_export_names_what_to_know_of_the_file() -> None:
    """Practice, signs put before formulas, words without codes, and what is not entered yet."""
    told = "\n".join(
        say_exported(
            "out",
            ReportFormat.CSV,
            1_200,
            "0" * 64,
            rehearsal=True,
            on_record=False,
            texts_alone=["strep: Group A"],
            apostrophes=3,
        )
    )
    for each in ("1,200 tests", "REHEARSAL", "In 3 fields", "strep: Group A", "Not entered yet"):
        assert each in told
    short = say_exported(
        "out",
        ReportFormat.JSONL,
        1,
        "0" * 64,
        rehearsal=False,
        on_record=True,
        texts_alone=(),
        apostrophes=0,
    )
    assert list(short) == ["out: 1 event, as lines of the whole record.", f"SHA-256 {'0' * 64}"]


def test_what_has_yet_to_leave_is_said_by_label(properly: Properly) -> None:
    """And so is that nothing has, or that nobody asks."""
    assert say_unsent(RESULTS["positive"], [ReportFormat.FHIR]) == "C1  final, to leave as fhir"
    assert properly(say_none_unsent([ReportFormat.FHIR])) == 1
    assert "reports_expected" in say_none_unsent([])
