"""A run on paper is entered afterwards: the same rules, by stated times and their safe ends."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from builders import CLEAR, NASAL, NEGATIVE, NO_CONTROL, SMEAR, Bench, at, span
from core.board.paper_bench import LATER, entered, run
from readbell.core.board.fold import fold
from readbell.core.board.paper_runs import TO_COME
from readbell.core.errors import BrokenRecordError
from readbell.core.instant import earlier
from readbell.core.paper.events import PaperFault
from readbell.core.reading.bands import Bands
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode


@pytest.mark.parametrize(
    ("read", "doubt", "fault"),
    [
        # Drops at 5:00, window 15:00 to 20:00 after them, both borders inside.
        ("19:59.999", "0:00", PaperFault.READ_TOO_EARLY),
        ("20:00", "0:00", None),
        ("25:00", "0:00", None),
        ("25:00.001", "0:00", PaperFault.READ_TOO_LATE),
        # A minute of doubt in both times takes two off either end.
        ("21:59.999", "1:00", PaperFault.READ_TOO_EARLY),
        ("22:00", "1:00", None),
        ("23:00", "1:00", None),
        ("23:00.001", "1:00", PaperFault.READ_TOO_LATE),
    ],
)
def test_a_reading_counts_only_if_it_was_surely_inside(
    read: str, doubt: str, fault: PaperFault | None
) -> None:
    """The window opens by the latest and closes by the earliest instant the drops may have fallen."""
    # The swab is given time enough that no doubt can make its minute short.
    event = entered(run(read, doubt=doubt, extract="1:00", withdraw="4:00"))
    assert event.fault is fault
    assert event.outcome is (Outcome.NEGATIVE if fault is None else Outcome.INVALID)


@pytest.mark.parametrize(
    ("seen", "outcome"),
    [
        (NEGATIVE, Outcome.NEGATIVE),
        (CLEAR, Outcome.POSITIVE),
        (NO_CONTROL, Outcome.INVALID),
        (SMEAR, Outcome.INVALID),
    ],
)
def test_the_bands_come_to_what_they_always_come_to(seen: Bands, outcome: Outcome) -> None:
    """The reading rules are those of a timed run."""
    assert entered(run(seen=seen)).outcome is outcome


def test_a_wait_that_may_not_have_been_kept_makes_it_worthless() -> None:
    """The swab stays in buffer a whole minute (firm): with half a minute of doubt twice that is open."""
    short = entered(run(withdraw="3:30", apply="5:00", doubt="0:30", seen=CLEAR))
    assert short.fault is PaperFault.WAIT_NOT_KEPT
    assert short.outcome is Outcome.INVALID
    assert [each.code for each in short.deviations] == ["extract-short"]
    assert entered(run(withdraw="4:00", doubt="0:30")).fault is None


def test_an_advisory_limit_is_recorded_and_costs_nothing() -> None:
    """More than three minutes in buffer is a deviation here, no refusal."""
    event = entered(run(withdraw="4:59", doubt="0:30"))
    (deviation,) = event.deviations
    assert (deviation.code, deviation.span) == ("extract-long", span("3:59"))
    assert event.fault is None


def test_both_who_ran_it_and_who_vouches_are_named() -> None:
    """Nobody is their own witness; a stranger is nobody."""
    bench = Bench()
    alone = bench.refused(replace(run(), witness="op-1"), LATER)
    assert (alone.code, alone.subject) == (RefusalCode.NOT_ALLOWED, "witness")
    for who in ("by", "operator", "witness"):
        refused = bench.refused(replace(run(), **{who: "op-9"}), LATER)  # type: ignore[arg-type]
        assert refused.code is RefusalCode.UNKNOWN_OPERATOR
    event = entered(run(), bench)
    assert (bench.board.name(event.operator), bench.board.name(event.witness)) == ("op-1", "op-2")


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"person": "P-9"}, RefusalCode.UNKNOWN_PERSON),
        ({"lot": "L-9"}, RefusalCode.UNKNOWN_LOT),
        ({"bands": Bands(control=True)}, RefusalCode.BAD_BANDS),
        ({"steps": ()}, RefusalCode.OUT_OF_ORDER),
        ({"read": at("4:59")}, RefusalCode.OUT_OF_ORDER),
        ({"read": at("60:00.001")}, RefusalCode.NOT_ALLOWED),
    ],
)
def test_what_cannot_have_been_so_is_refused(change: dict[str, object], code: RefusalCode) -> None:
    """And nothing of it is entered."""
    refused = Bench().refused(replace(run(), **change), LATER)  # type: ignore[arg-type]
    assert refused.code is code
    if code is RefusalCode.NOT_ALLOWED:
        assert refused.subject == TO_COME


def test_a_run_takes_a_unit_and_its_label_for_the_day() -> None:
    """It is no cartridge: it calls nobody and stands in no timing figure."""
    bench = Bench()
    entered(run(), bench)
    assert bench.board.lots["L-100"].used == 1
    assert bench.board.running == bench.board.ended == {}
    again = replace(run(), new_id="paper-2")
    assert bench.refused(again, LATER).code is RefusalCode.LABEL_IN_USE
    label = replace(bench.label_act("C31"), day_began=at("0:00"))
    assert bench.refused(label, LATER).code is RefusalCode.LABEL_IN_USE
    bench.must(replace(label, day_began=at("61:00")), "62:00")
    other = replace(run(), new_id="paper-3", label="C31")
    assert bench.refused(other, "62:00").code is RefusalCode.LABEL_IN_USE
    old = replace(bench.label_act("C32"), day_began=None)
    bench.must(old, "62:00")


def test_a_lot_out_of_date_is_noted_and_the_run_is_entered() -> None:
    """What has happened is not refused for being irregular."""
    event = entered(replace(run(), today=date(2027, 1, 1)))
    assert event.warnings == ("lot-expired",)


def test_without_a_stated_close_it_is_read_from_the_opening_on() -> None:
    """As the assay has it."""
    rules = replace(NASAL.reading, closes=None, closing_warning=span("0:00"))
    bench = Bench(replace(NASAL, reading=rules))
    assert entered(run("59:00"), bench).fault is None


def test_a_run_is_in_the_record_once() -> None:
    """A record that enters it again is broken."""
    bench = Bench()
    event = entered(run(), bench)
    with pytest.raises(BrokenRecordError, match="a second time"):
        fold(bench.board, replace(event, at=earlier(event.at, span("0:01"))))
