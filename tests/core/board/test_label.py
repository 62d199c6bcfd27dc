"""Whatever is not in order stops a cartridge at its label, and never at its reading."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import (
    CLEAR,
    FAINT,
    NASAL,
    NEGATIVE,
    NO_CONTROL,
    SMEAR,
    THREE_LINES,
    TODAY,
    Bench,
    at,
    private,
)
from readbell.assays.content_hash import content_hash
from readbell.core.board.fold import fold
from readbell.core.board.label import TWO_INVALIDS, calls_for_control_samples
from readbell.core.board.repeats import asks_for_repeat
from readbell.core.cartridge.acts import Label
from readbell.core.cartridge.events import CartridgeLabelled, How, Identified, SubjectKind
from readbell.core.cartridge.looks import lapse
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands


def labelled(bench: Bench, label: str, now: str = "30:00", **named: str) -> CartridgeLabelled:
    """The event of a new cartridge for P-001, taken for granted."""
    (event,) = bench.must(bench.label_act(label, **named), now)
    assert isinstance(event, CartridgeLabelled)
    return event


def run(bench: Bench, label: str, seen: Bands | None, person: str = "P-001") -> None:
    """Run a cartridge to its reading, or to its lapse if nothing was seen."""
    bench.to_well(label, person)
    if seen is None:
        bench.lapse(label)
    else:
        bench.must(bench.read_act(seen, label), "17:30")


def test_a_label_starts_a_cartridge_for_one_person() -> None:
    """The record holds who, for whom, from which lot, and how it was made sure."""
    bench = Bench()
    act = bench.label_act("C1")
    assert isinstance(act, Label)
    (event,) = bench.must(replace(act, place=private("tray 3")), "0:10")

    assert isinstance(event, CartridgeLabelled)
    assert (event.at, event.by, event.cartridge, event.label) == (
        at("0:10"),
        "key-op-1",
        "id-C1",
        "C1",
    )
    assert (event.subject, event.lot, event.place) == ("key-P-001", "L-100", private("tray 3"))
    assert event.subject_kind is SubjectKind.PATIENT
    assert event.assay == content_hash(bench.assay)
    assert (event.repeat_of, event.warnings) == (None, ())


def test_a_label_is_refused_for_the_first_reason_in_order() -> None:
    """Operator, label, scan, person, then the lot: unknown, held, expired, used up."""
    bench = Bench(units=1)
    bench.label("C1")
    everything = {"by": "nobody", "scanned": "C9", "lot": "L-404"}
    good = {"lot": "L-100"}

    def refused(label: str, person: str, named: dict[str, str], today: date = TODAY) -> str:
        act = bench.label_act(label, person, **named)
        return str(bench.refused(replace(act, today=today)).code)

    late = date(2027, 1, 1)
    without_operator = {key: everything[key] for key in ("scanned", "lot")}
    unknown_lot = {"lot": "L-404"}

    assert refused("C1", "P-404", everything) == "unknown-operator"
    assert refused("C1", "P-404", without_operator) == "label-in-use"
    assert refused("C2", "P-404", without_operator) == "wrong-cartridge"
    assert refused("C2", "P-404", unknown_lot) == "unknown-person"
    assert refused("C2", "P-001", unknown_lot) == "unknown-lot"
    assert refused("C2", "P-001", good, late) == "lot-expired"
    assert refused("C2", "P-001", good) == "lot-used-up"
    bench.must(bench.hold_act())
    assert refused("C2", "P-001", good, late) == "lot-on-hold"


def test_a_cartridge_is_labelled_for_somebody() -> None:
    """A cartridge without a person would be given one later, and perhaps the wrong one."""
    bench = Bench()
    act = bench.label_act("C1")
    nobody = replace(act, aim=replace(act.aim, person=None))

    assert bench.refused(nobody).code == "unknown-person"


def test_a_label_stays_in_use_after_its_cartridge_has_ended() -> None:
    """Two pieces of plastic with one name lie on one bench until the shift is over."""
    bench = Bench()
    bench.label("C1")
    bench.must(bench.void_act("C1"))

    assert bench.refused(bench.label_act("C1")).code == "label-in-use"


def test_each_label_takes_one_unit() -> None:
    """A void cartridge does not give its unit back: its pouch is open."""
    bench = Bench(units=2)
    bench.label("C1")
    bench.must(bench.void_act("C1"))
    bench.label("C2")

    assert bench.board.lots["L-100"].used == 2
    assert bench.refused(bench.label_act("C3")).code == "lot-used-up"


def test_a_lot_held_after_the_label_refuses_no_reading() -> None:
    """Once the specimen is on the well no lot may cost a person their result."""
    bench = Bench()
    bench.label()
    bench.must(bench.hold_act())
    for step, now in (
        ("buffer", "0:00"),
        ("collect", "0:00"),
        ("extract", "0:00"),
        ("withdraw", "1:00"),
        ("apply", "2:30"),
    ):
        bench.step(step, now)
    bench.must(bench.read_act(NEGATIVE), "17:30")

    assert bench.cartridge().outcome == "negative"


@pytest.mark.parametrize(
    ("seen", "early", "repeats"),
    [
        pytest.param(NEGATIVE, False, False, id="negative"),
        pytest.param(CLEAR, False, False, id="positive"),
        pytest.param(NO_CONTROL, False, True, id="invalid"),
        pytest.param(SMEAR, False, True, id="unreadable"),
        pytest.param(NEGATIVE, True, True, id="withheld"),
        pytest.param(None, False, True, id="lapsed"),
        pytest.param(None, True, False, id="lapsed, but positive early"),
    ],
)
def test_a_new_cartridge_repeats_the_one_that_gave_no_result(
    seen: Bands | None, early: bool, repeats: bool
) -> None:
    """Invalid, withheld and lapsed ask for a repeat; whatever is reportable does not."""
    bench = Bench()
    found = bench.to_well()
    if early:
        bench.must(bench.look_act(FAINT), "5:00")
        found = bench.cartridge()
    if seen is None:
        bench.board = fold(bench.board, lapse(found, at("22:30.001")))
    else:
        bench.must(bench.read_act(seen), "17:30")

    assert asks_for_repeat(bench.cartridge()) is repeats
    assert labelled(bench, "C2").repeat_of == ("id-C1" if repeats else None)


def test_a_void_cartridge_is_repeated() -> None:
    """Nothing was seen on it, so the person still has no result."""
    bench = Bench()
    bench.label()
    bench.must(bench.void_act())

    assert labelled(bench, "C2").repeat_of == "id-C1"


def test_a_running_cartridge_is_not_repeated_yet() -> None:
    """Two may run at once for one person, and neither is the repeat of the other."""
    bench = Bench()
    bench.to_well()

    assert labelled(bench, "C2", "5:00").repeat_of is None


@pytest.mark.parametrize(
    ("now", "repeats"),
    [
        pytest.param("22:30", False, id="the last instant that counts"),
        pytest.param("22:30.001", True, id="the first millisecond after it"),
    ],
)
def test_a_cartridge_lapsed_by_time_alone_is_repeated_too(now: str, repeats: bool) -> None:
    """Its window has closed, whether or not anybody has yet recorded so."""
    bench = Bench()
    bench.to_well()

    assert labelled(bench, "C2", now).repeat_of == ("id-C1" if repeats else None)


def test_a_repeat_names_the_latest_of_several() -> None:
    """A good result in between does not hide the failure after which it was repeated."""
    bench = Bench()
    run(bench, "C1", SMEAR)
    run(bench, "C2", NO_CONTROL)
    run(bench, "C3", NEGATIVE)

    assert labelled(bench, "C4").repeat_of == "id-C2"


def test_the_failure_of_another_person_or_assay_is_not_repeated() -> None:
    """A repeat belongs to one person and one method."""
    bench = Bench()
    run(bench, "C1", SMEAR)
    bench.adopt(THREE_LINES)
    bench.receive("L-3", THREE_LINES)

    assert labelled(bench, "C2", person="P-002").repeat_of is None
    assert labelled(bench, "C3", lot="L-3").repeat_of is None


@pytest.mark.parametrize(
    ("runs", "warned"),
    [
        pytest.param([SMEAR], False, id="one invalid"),
        pytest.param([SMEAR, NO_CONTROL], True, id="two invalids"),
        pytest.param([SMEAR, None], False, id="an invalid and a lapsed one"),
        pytest.param([SMEAR, None, NO_CONTROL], True, id="a lapsed one in between"),
        pytest.param([SMEAR, NEGATIVE, NO_CONTROL], True, id="a negative in between"),
        pytest.param([SMEAR, NEGATIVE], False, id="one invalid, then a negative"),
    ],
)
def test_after_two_invalids_a_further_start_is_warned_of(
    runs: list[Bands | None], warned: bool
) -> None:
    """Common practice: stop, run control samples on the lot, refer; a warning, no refusal.

    What nobody read in time says nothing of the kit.
    """
    bench = Bench()
    for number, seen in enumerate(runs, start=1):
        run(bench, f"C{number}", seen)

    assert labelled(bench, "C9").warnings == ((TWO_INVALIDS,) if warned else ())
    assert labelled(bench, "C10", person="P-002").warnings == ()


@pytest.mark.parametrize(
    ("named", "code", "subject"),
    [
        pytest.param({"by": "nobody"}, "unknown-operator", "nobody", id="who"),
        pytest.param({"label": "C1"}, "label-in-use", "C1", id="a label twice"),
        pytest.param({"scanned": "C7"}, "wrong-cartridge", "C7", id="another device"),
        pytest.param({"lot": "L-9"}, "unknown-lot", "L-9", id="a strange box"),
    ],
)
def test_a_refused_start_says_what_it_is_about(
    named: dict[str, str], code: str, subject: str
) -> None:
    """Whoever holds pouch and box wants to know which of them is wrong."""
    bench = Bench()
    bench.label("C1")
    refusal = bench.refused(bench.label_act(**{"label": "C2", **named}))

    assert (refusal.code, refusal.subject) == (code, subject)


def test_a_start_without_a_person_is_refused() -> None:
    """A cartridge of nobody gives a result to anybody."""
    bench = Bench()
    act = bench.label_act("C1")

    assert bench.refused(replace(act, aim=replace(act.aim, person=None))).code == "unknown-person"


@pytest.mark.parametrize(
    ("named", "subject"),
    [
        pytest.param("PC-9", "PC-9", id="a strange one"),
        pytest.param(None, "", id="none was scanned"),
    ],
)
def test_a_start_of_a_control_sample_without_a_material_that_is_known_is_refused(
    named: str | None, subject: str
) -> None:
    """Nobody could say what its strip has to show."""
    bench = Bench()
    act = bench.label_act("C1")
    sample = replace(
        act, aim=replace(act.aim, person=named), subject_kind=SubjectKind.CONTROL_SAMPLE
    )
    unknown = Refusal(code=RefusalCode.UNKNOWN_SAMPLE, subject=subject)

    assert bench.refused(sample) == unknown


def test_a_label_keeps_how_the_person_was_made_sure_of() -> None:
    """Typed or scanned: the record must tell, long after."""
    bench = Bench()
    act = bench.label_act("C1")
    sure = replace(act.aim, cartridge_by=How.SCANNED, person_by=How.TYPED)
    (event,) = bench.must(replace(act, aim=sure))

    assert isinstance(event, CartridgeLabelled)
    assert event.identified == Identified(cartridge=How.SCANNED, person=How.TYPED)


@pytest.mark.parametrize(
    ("runs", "calls"),
    [
        pytest.param([SMEAR], False, id="one invalid"),
        pytest.param([SMEAR, NO_CONTROL], True, id="the second invalid"),
        pytest.param([SMEAR, NO_CONTROL, NEGATIVE], False, id="a negative after two invalids"),
        pytest.param([SMEAR, None], False, id="a lapsed one after an invalid"),
        pytest.param([None, SMEAR], False, id="an invalid after a lapsed one"),
        pytest.param([SMEAR, NO_CONTROL, None], False, id="a lapsed one after two invalids"),
    ],
)
def test_one_invalid_too_many_calls_for_control_samples(
    runs: list[Bands | None], calls: bool
) -> None:
    """Said with the reading that makes it so, and with no other."""
    bench = Bench()
    for number, seen in enumerate(runs, start=1):
        run(bench, f"C{number}", seen)

    assert calls_for_control_samples(bench.board, bench.cartridge(f"C{len(runs)}")) is calls


def test_the_invalids_of_another_person_or_assay_call_for_nothing() -> None:
    """Two people with one invalid each do not speak against a lot; nor do two methods."""
    bench = Bench()
    run(bench, "C1", SMEAR)
    run(bench, "C2", SMEAR, person="P-002")
    other = replace(THREE_LINES, reading=NASAL.reading)
    bench.adopt(other)
    bench.receive("L-3", other)
    bench.must(bench.label_act("C3", lot="L-3"))
    for step, now in (("buffer", "0:00"), ("collect", "0:00"), ("extract", "0:00")):
        bench.step(step, now, "C3")
    bench.step("withdraw", "1:00", "C3")
    bench.step("apply", "2:30", "C3")
    bench.must(bench.read_act(SMEAR, "C3"), "17:30")

    assert not calls_for_control_samples(bench.board, bench.cartridge("C2"))
    assert not calls_for_control_samples(bench.board, bench.cartridge("C3"))
