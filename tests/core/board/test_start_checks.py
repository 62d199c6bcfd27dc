"""What stands against a start is refused or warned of, as the site decides; never at the read."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from builders import CLEAR, NEGATIVE, at
from core.board.stock_bench import StockBench, warming
from readbell.core.board.start_checks import COLD_KIT, CONTROLS_OVERDUE, OPENED_TOO_LONG
from readbell.core.cartridge.events import CartridgeLabelled, SubjectKind
from readbell.core.policy.identifying import SecondIdentifier
from readbell.core.policy.stocking import Strictness
from readbell.core.refusal import RefusalCode
from readbell.core.review.reasons import HoldReason
from readbell.core.stock.acts import BeginBox, RecallLot, TakeOut
from readbell.core.stock.events import LotDoubt, LotDoubted, Storage

STRICT, LAX = Strictness.REFUSE, Strictness.WARN


def warned(bench: StockBench, now: str = "0:00", label: str = "C1") -> tuple[str, ...]:
    """What the start of a patient's cartridge is warned of."""
    (event,) = bench.must(bench.label_act(label), now)
    assert isinstance(event, CartridgeLabelled)
    return event.warnings


def cold(strictness: Strictness) -> StockBench:
    """A bench whose lot is kept cold, of an assay that wants half an hour."""
    bench = StockBench(warming())
    bench.decides(cold_kits=strictness)
    bench.cold_box(Storage.COLD)
    return bench


def test_a_cold_kit_is_refused_until_it_is_warm() -> None:
    """First it is to be taken out, then the time is told from which it may be used."""
    bench = cold(STRICT)
    still_in = bench.refused(bench.label_act())
    bench.must(TakeOut(by="op-1", lot="L-100"), "1:00")
    too_soon = bench.refused(bench.label_act(), "30:59.999")

    assert still_in.code is too_soon.code is RefusalCode.KIT_COLD
    assert (still_in.due, too_soon.due) == (None, at("31:00"))
    assert warned(bench, "31:00") == ()


def test_a_site_may_have_cold_kits_warned_of_alone() -> None:
    """The warning stays with the cartridge."""
    assert warned(cold(LAX)) == (COLD_KIT,)


def test_a_control_sample_is_not_run_cold_either() -> None:
    """It would fail a good lot."""
    bench = cold(STRICT)
    bench.materials()
    act = replace(bench.label_act("C1", "PC-1"), subject_kind=SubjectKind.CONTROL_SAMPLE)

    assert bench.refused(act).code is RefusalCode.KIT_COLD


@pytest.mark.parametrize("strictness", [STRICT, LAX])
def test_a_box_that_was_open_too_long(strictness: Strictness) -> None:
    """Good through its last day after opening; then as the site decides."""
    bench = StockBench()
    bench.decides(opened_too_long=strictness)
    bench.must(bench.box("L-100", units=0, good_after_opening=7))
    bench.must(BeginBox(by="op-1", lot="L-100", today=date(2026, 3, 22)))
    assert warned(bench) == ()
    bench.must(BeginBox(by="op-1", lot="L-100", today=date(2026, 3, 21)))

    if strictness is STRICT:
        refusal = bench.refused(bench.label_act("C2"))
        assert refusal.code is RefusalCode.BOX_OPENED_TOO_LONG
        assert "2026-03-28" in refusal.subject
    else:
        assert warned(bench, label="C2") == (OPENED_TOO_LONG,)


def test_overdue_control_samples_hold_up_patients_where_the_site_is_strict() -> None:
    """The control sample itself is what is asked for, so it is never held up."""
    bench = StockBench()
    bench.materials()
    bench.decides(controls_new_lot=True, controls_overdue=STRICT)
    refusal = bench.refused(bench.label_act())
    bench.whole_sample("S1", "PC-1", 0, CLEAR)
    half = bench.refused(bench.label_act(), "20:00")
    bench.whole_sample("S2", "NC-1", 20, NEGATIVE)

    assert refusal.code is RefusalCode.CONTROLS_DUE
    assert refusal.subject == "L-100: positive, negative"
    assert half.subject == "L-100: negative"
    assert warned(bench, "40:00") == ()


def test_whoever_is_new_starts_no_patient_before_their_own_control_samples() -> None:
    """Those of somebody else say nothing of how they work, and hold up nobody else."""
    bench = StockBench()
    bench.materials()
    bench.decides(controls_new_operator=True, controls_overdue=STRICT)
    bench.whole_sample("S1", "PC-1", 0, CLEAR)
    bench.whole_sample("S2", "NC-1", 0, NEGATIVE)

    new = bench.refused(bench.label_act("C1", by="op-2"), "40:00")
    assert new.code is RefusalCode.CONTROLS_DUE
    assert warned(bench, "40:00") == ()


def test_a_control_sample_is_asked_for_no_consent() -> None:
    """And for no second identifier: both are a person's."""
    bench = StockBench()
    bench.materials()
    bench.decides(ask_consent=True, second_identifier=SecondIdentifier.NAME)
    bench.sample("S1", "PC-1", "0:00")

    assert bench.cartridge("S1").labelled.subject_kind is SubjectKind.CONTROL_SAMPLE


def test_elsewhere_they_are_warned_of() -> None:
    """And nobody is held up."""
    bench = StockBench()
    bench.decides(controls_new_lot=True)

    assert warned(bench) == (CONTROLS_OVERDUE,)


def test_the_state_of_the_lot_itself_goes_first() -> None:
    """Of several reasons the same one is always given."""
    bench = cold(STRICT)
    bench.must(bench.hold_act())

    assert bench.refused(bench.label_act()).code is RefusalCode.LOT_ON_HOLD


def doubted(bench: StockBench) -> tuple[LotDoubt, ...] | None:
    """What was recorded at the drops about the lot of C1."""
    found = bench.board.stock_room.doubts.get("id-C1")
    return None if found is None else found.doubts


def test_a_lot_held_between_label_and_drops_is_warned_of_and_the_work_goes_on() -> None:
    """Recorded at the drops, and the reading waits for a supervisor."""
    bench = StockBench()
    bench.label()
    bench.must(bench.hold_act(), "0:10")
    bench.run("C1", begins=1)
    bench.must(bench.read_act(NEGATIVE), "18:00")

    assert doubted(bench) == (LotDoubt.ON_HOLD,)
    assert bench.cartridge("C1").held == (HoldReason.LOT_ON_HOLD,)
    assert bench.cartridge("C1").deviations == ()


def test_a_lot_held_after_the_drops_is_no_deviation_of_theirs() -> None:
    """The kit was good when it was used; the reading is looked at all the same."""
    bench = StockBench()
    bench.label()
    bench.run("C1", begins=0)
    bench.must(bench.hold_act(), "5:00")
    bench.must(bench.look_act(CLEAR), "6:00")

    assert doubted(bench) is None
    assert bench.cartridge("C1").held == (HoldReason.LOT_ON_HOLD,)


@pytest.mark.parametrize(
    ("today", "doubts"),
    [
        pytest.param(date(2026, 12, 31), None, id="on its last day"),
        pytest.param(date(2027, 1, 1), (LotDoubt.EXPIRED,), id="after midnight"),
        pytest.param(None, None, id="nobody said which day it is"),
    ],
)
def test_a_lot_that_passed_its_day_before_the_drops(
    today: date | None, doubts: tuple[LotDoubt, ...] | None
) -> None:
    """Labelled in the last minute of its day, and midnight came."""
    bench = StockBench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.step("withdraw", "1:00")
    found = bench.must(replace(bench.step_act("apply"), today=today), "2:00")

    assert doubted(bench) == doubts
    assert isinstance(found[-1], LotDoubted) is (doubts is not None)


def test_no_other_step_is_warned_of() -> None:
    """Once, at the drops."""
    bench = StockBench()
    bench.label()
    bench.must(bench.hold_act())
    bench.step("buffer", "0:00")

    assert doubted(bench) is None


def test_a_refused_step_warns_of_nothing() -> None:
    """Nothing was done."""
    bench = StockBench()
    bench.label()
    bench.must(bench.hold_act())
    bench.refused(bench.step_act("apply"))

    assert doubted(bench) is None


@pytest.mark.parametrize("recalled", [True, False])
def test_a_sample_on_a_lot_on_hold_is_held_for_nobody(recalled: bool) -> None:
    """Its verdict says what it says."""
    bench = StockBench()
    bench.materials()
    bench.sample("C1", "PC-1", "0:00")
    bench.must(RecallLot(by="op-1", lot="L-100") if recalled else bench.hold_act())
    bench.run("C1", begins=0, seen=CLEAR)

    assert bench.cartridge("C1").held == ()
