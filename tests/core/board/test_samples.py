"""Control samples run as cartridges of their own; one that fails stops its lot."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from builders import (
    CLEAR,
    FAINT,
    LAST_DAY,
    NEGATIVE,
    NO_CONTROL,
    THREE_LINES,
    TODAY,
    Bench,
    private,
)
from core.board.stock_bench import StockBench
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.subjects import is_patients, is_subject, material_of
from readbell.core.board.to_repeat import to_repeat
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import SlipReason, SubjectKind
from readbell.core.controls.acts import OpenMaterial
from readbell.core.controls.events import MaterialReceived, SampleJudged
from readbell.core.controls.material import SampleKind
from readbell.core.controls.verdict import Verdict
from readbell.core.reading.interpretation import LineOutcome, Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.review.reasons import HoldReason
from readbell.core.stock.acts import RecallLot, ReleaseLot
from readbell.core.stock.events import ReleaseReason
from readbell.core.stock.lot import WhyHeld

P, N = Outcome.POSITIVE, Outcome.NEGATIVE


def ready() -> StockBench:
    """A bench with one control material of each kind."""
    bench = StockBench()
    bench.materials()
    return bench


def verdict(bench: Bench, label: str) -> SampleJudged:
    """The last judgement of a sample."""
    return bench.board.samples.judged[f"id-{label}"]


def expected(*outcomes: Outcome) -> tuple[LineOutcome, ...]:
    """What each line of the device with three has to come to, named by its printed letter."""
    marks = [line.mark for line in THREE_LINES.reading.lines]
    return tuple(LineOutcome(line=m, outcome=o) for m, o in zip(marks, outcomes, strict=False))


def test_a_material_comes_in_with_what_it_has_to_show() -> None:
    """Where nobody says more, a positive one is positive for every line."""
    bench = StockBench(THREE_LINES)
    (event,) = bench.must(bench.material())

    assert isinstance(event, MaterialReceived)
    assert [each.outcome for each in event.expected] == [P, P, P]
    (some,) = bench.must(bench.material("PC-2", expected=expected(P, N, N)))
    assert isinstance(some, MaterialReceived)
    assert [each.line for each in some.expected] == list(THREE_LINES.line_keys)


@pytest.mark.parametrize(
    ("kind", "lines"),
    [
        pytest.param(SampleKind.POSITIVE, expected(P, N), id="a line left out"),
        pytest.param(
            SampleKind.POSITIVE, expected(N, N, N), id="a positive one without a positive"
        ),
        pytest.param(SampleKind.NEGATIVE, expected(P, N, N), id="a negative one with one"),
        pytest.param(SampleKind.BLIND, expected(P, N, N), id="a blind one that is none"),
        pytest.param(SampleKind.POSITIVE, (*expected(P, N, N), *expected(P)), id="a line twice"),
        pytest.param(SampleKind.POSITIVE, expected(P, N, Outcome.INVALID), id="no outcome to want"),
        pytest.param(SampleKind.POSITIVE, (LineOutcome(line="Z", outcome=P),), id="no such line"),
    ],
)
def test_what_it_has_to_show_must_fit(kind: SampleKind, lines: tuple[LineOutcome, ...]) -> None:
    """A slip here would fail every good lot, or pass a bad one."""
    bench = StockBench(THREE_LINES)

    assert bench.refused(bench.material(kind=kind, expected=lines)).subject == "expected lines"


@pytest.mark.parametrize("number", ["PC-1", "P-001", "op-1", "L-100", "C1"])
def test_a_number_that_is_something_else_here_is_not_taken(number: str) -> None:
    """A scan must mean one thing."""
    bench = ready()
    bench.label()

    assert bench.refused(bench.material(number)).code is RefusalCode.ALREADY_KNOWN


def test_a_material_needs_somebody_and_an_adopted_assay() -> None:
    """Only a rehearsal sets itself up by nobody."""
    bench = ready()

    assert bench.refused(bench.material("X", by="no")).code is RefusalCode.UNKNOWN_OPERATOR
    assert bench.refused(bench.material("X", assay="no")).code is RefusalCode.NOT_ADOPTED
    bench.must(bench.material("X", by=None))


def test_an_opened_bottle_is_good_for_its_days() -> None:
    """Counted from the day it was opened."""
    bench = ready()
    bench.must(bench.material("PC-2", good_after_opening=7))
    bench.must(OpenMaterial(by="op-1", number="PC-2", today=date(2026, 3, 20)))
    found = bench.board.samples.materials["PC-2"]

    assert found.good_until == date(2026, 3, 27)
    act = replace(bench.label_act("C1", "PC-2"), subject_kind=SubjectKind.CONTROL_SAMPLE)
    assert bench.refused(act).code is RefusalCode.SAMPLE_EXPIRED
    # One without such a limit is good to its own day, opened or not.
    bench.must(OpenMaterial(by="op-1", number="PC-1", today=TODAY))
    assert bench.board.samples.materials["PC-1"].good_until == LAST_DAY


def test_what_is_unknown_or_past_its_day_is_not_opened() -> None:
    """Nor is anything opened by nobody."""
    bench = ready()
    late = date(2027, 1, 1)

    def opening(number: str, by: str = "op-1", today: date = TODAY) -> RefusalCode:
        return bench.refused(OpenMaterial(by=by, number=number, today=today)).code

    assert opening("PC-9") is RefusalCode.UNKNOWN_SAMPLE
    assert opening("PC-1", by="nobody") is RefusalCode.UNKNOWN_OPERATOR
    assert opening("PC-1", today=late) is RefusalCode.SAMPLE_EXPIRED


def test_a_sample_is_nobodys() -> None:
    """It has no history, is owed no repeat, and its result is never told as a patient's."""
    bench = ready()
    bench.whole_sample("C1", "PC-1", 0, NO_CONTROL)
    cartridge = bench.cartridge("C1")

    assert not is_patients(cartridge)
    assert cartridge.labelled.subject_kind is SubjectKind.CONTROL_SAMPLE
    assert material_of(bench.board, cartridge) == bench.board.samples.materials["PC-1"]
    assert not bench.board.history
    assert to_repeat(bench.board) == ()
    assert bench.board.name(cartridge.labelled.subject) == "PC-1"


def test_whose_id_is_the_number_of_a_bottle_is_a_person_all_the_same() -> None:
    """Nobody is turned away for what stands on a bottle, and their result is a patient's."""
    bench = ready()
    bench.must(RegisterPerson(by="op-1", person=private("PC-1")))
    bench.label("C1", "PC-1")

    assert bench.cartridge("C1").labelled.subject_kind is SubjectKind.PATIENT


def test_the_material_is_read_back_as_a_person_is() -> None:
    """The same two scans at the reading, and another bottle is a mismatch."""
    bench = ready()
    bench.sample("C1", "PC-1", "0:00")
    bench.label("C2", "P-001")
    sample, patient = bench.cartridge("C1"), bench.cartridge("C2")

    assert is_subject(bench.board, sample, "PC-1")
    assert not is_subject(bench.board, sample, "NC-1")
    assert not is_subject(bench.board, sample, "P-001")
    assert not is_subject(bench.board, patient, "PC-1")
    assert is_subject(bench.board, patient, "P-001")
    wrong = bench.refused(bench.read_act(CLEAR, "C1", person="NC-1"))
    assert wrong.code is RefusalCode.WRONG_PERSON


def test_a_blind_sample_is_noted_and_proves_nothing() -> None:
    """Whoever sent it in knows what it is."""
    bench = ready()
    bench.must(bench.material("Q-1", SampleKind.BLIND))
    bench.whole_sample("C1", "Q-1", 0, CLEAR)

    assert bench.cartridge("C1").labelled.subject_kind is SubjectKind.QUALITY_SAMPLE
    assert verdict(bench, "C1").verdict is Verdict.NOTED
    assert bench.board.samples.record("L-100").positive is None
    assert not bench.board.lots["L-100"].on_hold


def test_a_sample_that_passes_proves_its_lot_and_its_reader() -> None:
    """From the label on: what came to the lot before is settled."""
    bench = ready()
    bench.whole_sample("C1", "PC-1", 3, FAINT, by="op-2")
    record = bench.board.samples.record("L-100")

    assert verdict(bench, "C1").verdict is Verdict.PASSED
    assert record.positive is not None
    assert (record.positive.at, record.positive.by) == (
        bench.cartridge("C1").labelled.at,
        "key-op-2",
    )
    assert record.negative is None
    assert bench.board.samples.proven == {"key-op-2": (f"{bench.assay.id}/positive",)}
    bench.whole_sample("C2", "PC-1", 30, CLEAR, by="op-2")
    assert len(bench.board.samples.proven["key-op-2"]) == 1


@pytest.mark.parametrize(
    ("material", "seen"),
    [
        pytest.param("PC-1", NEGATIVE, id="a positive one that stayed negative"),
        pytest.param("PC-1", NO_CONTROL, id="a positive one that did not run"),
        pytest.param("NC-1", FAINT, id="a negative one with a faint line"),
        pytest.param("NC-1", NO_CONTROL, id="a negative one that did not run"),
    ],
)
def test_a_sample_that_fails_stops_the_lot_and_names_what_rests_on_it(
    material: str, seen: object
) -> None:
    """The results since its kind last passed, those still running too; each waits."""
    bench = ready()
    bench.whole_sample("C1", "PC-1", 0, CLEAR)
    bench.whole_sample("C2", "NC-1", 0, NEGATIVE)
    bench.label("C3", "P-001", "20:00")
    bench.run("C3", begins=20, seen=NEGATIVE)
    bench.label("C4", "P-002", "40:00")
    bench.whole_sample("C5", material, 41, seen)  # type: ignore[arg-type]

    assert verdict(bench, "C5").verdict is Verdict.FAILED
    assert verdict(bench, "C5").concerned == ("id-C3", "id-C4")
    assert bench.board.lots["L-100"].held_for is WhyHeld.CONTROL_FAILED
    assert bench.cartridge("C3").held == bench.cartridge("C4").held == (HoldReason.CONTROL_FAILED,)
    refusal = bench.refused(bench.label_act("C6"), "59:00")
    assert refusal.code is RefusalCode.LOT_ON_HOLD


def test_what_was_begun_before_the_last_pass_is_not_in_doubt() -> None:
    """A sample that passed later vouches for it. What is void has nothing in doubt."""
    bench = ready()
    bench.label("C1", "P-001", "0:00")
    bench.label("C2", "P-002", "0:00")
    bench.must(bench.void_act("C2"), "0:30")
    bench.whole_sample("C3", "PC-1", 1, CLEAR)
    at_once = StockBench()
    at_once.materials()
    at_once.label("C1", "P-001", "1:00")
    at_once.whole_sample("C2", "PC-1", 1, CLEAR)
    at_once.whole_sample("C3", "PC-1", 20, NEGATIVE)
    assert verdict(at_once, "C3").concerned == ()
    bench.label("C4", "P-002", "20:00")
    bench.must(bench.void_act("C4"), "20:30")
    bench.whole_sample("C5", "PC-1", 21, NEGATIVE)

    assert verdict(bench, "C5").concerned == ()


def test_a_sample_may_be_run_on_a_lot_on_hold_and_on_none_that_was_recalled() -> None:
    """Whoever is to release it wants something to go by; a recall is not tested away."""
    bench = ready()
    bench.whole_sample("C1", "PC-1", 0, NEGATIVE)
    bench.whole_sample("C2", "PC-1", 20, CLEAR)
    assert bench.board.lots["L-100"].on_hold
    act = ReleaseLot(by="op-1", lot="L-100", reason=ReleaseReason.CONTROLS_PASSED)
    bench.must(act, "40:00")
    bench.must(RecallLot(by="op-1", lot="L-100"), "41:00")

    again = replace(bench.label_act("C3", "PC-1"), subject_kind=SubjectKind.CONTROL_SAMPLE)
    assert bench.refused(again, "42:00").code is RefusalCode.LOT_ON_HOLD


def test_a_failed_sample_keeps_the_reason_that_held_the_lot_first() -> None:
    """A lot stopped by hand is not released because a control sample then passed."""
    bench = ready()
    bench.sample("C1", "PC-1", "0:00")
    bench.must(bench.hold_act(), "0:00")
    bench.run("C1", begins=0, seen=NEGATIVE)

    assert bench.board.lots["L-100"].held_for is WhyHeld.BY_HAND


def test_a_corrected_reading_is_judged_again() -> None:
    """The slip stays on record, and so does the hold it brought: a supervisor looks at it."""
    bench = ready()
    bench.whole_sample("C1", "PC-1", 0, NEGATIVE)
    slip = CorrectReading(aim=bench.aim("C1"), bands=CLEAR, reason=SlipReason.PRESSED_WRONG_KEY)
    bench.must(slip, "17:30")

    assert verdict(bench, "C1").verdict is Verdict.PASSED
    assert bench.board.samples.record("L-100").positive is not None
    assert bench.board.lots["L-100"].on_hold


def test_a_refused_reading_of_a_sample_judges_nothing() -> None:
    """Too early is too early for a control sample as well."""
    bench = ready()
    bench.sample("C1", "PC-1", "0:00")
    bench.run("C1", begins=0)

    assert bench.refused(bench.read_act(CLEAR, "C1"), "5:00").code is RefusalCode.TOO_EARLY
    assert not bench.board.samples.judged


def test_what_no_sample_is_taken_for() -> None:
    """An unknown number, a person's ID, a material of another assay, a lot past its day."""
    bench = ready()
    for named in ("PC-9", "P-001"):
        act = replace(bench.label_act("C1", named), subject_kind=SubjectKind.CONTROL_SAMPLE)
        assert bench.refused(act).code is RefusalCode.UNKNOWN_SAMPLE
    assert bench.refused(bench.label_act("C1", "PC-1")).code is RefusalCode.UNKNOWN_PERSON
    act = replace(bench.label_act("C1", "PC-1"), subject_kind=SubjectKind.CONTROL_SAMPLE)
    late = replace(act, today=date(2027, 1, 1))
    assert bench.refused(late).code is RefusalCode.LOT_EXPIRED
    nobody = replace(act, aim=bench.aim("C1"))
    assert bench.refused(nobody).code is RefusalCode.UNKNOWN_SAMPLE


def test_a_material_of_another_assay_is_not_run() -> None:
    """It would fail a good lot, or pass a bad one."""
    bench = ready()
    bench.adopt(THREE_LINES)
    bench.must(bench.material("PC-3", assay=THREE_LINES.id))
    act = replace(bench.label_act("C1", "PC-3"), subject_kind=SubjectKind.CONTROL_SAMPLE)

    assert bench.refused(act).code is RefusalCode.BOX_OF_ANOTHER_ASSAY
