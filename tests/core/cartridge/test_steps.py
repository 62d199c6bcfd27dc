"""A step is done in its turn and after its wait, and what was not kept stays on the record."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, NEGATIVE, START, Bench, at, span
from readbell.core.assay.step import Limit, Wait
from readbell.core.cartridge.events import CartridgeVoided, How, Identified, StepDone
from readbell.core.cartridge.moment import timed
from readbell.core.instant import Span, later
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

MINUTE_TO_THREE = Wait(
    until="withdraw",
    least=span("1:00"),
    least_is=Limit.FIRM,
    most=span("3:00"),
    most_is=Limit.ADVISORY,
    name="in buffer",
)


def waiting(wait: Wait) -> Assay:
    """The one-line assay with another wait after the swab went into the buffer."""
    steps = tuple(
        replace(each, wait=wait) if each.key == "extract" else each for each in NASAL.steps
    )
    return replace(NASAL, steps=steps)


def in_buffer(assay: Assay = NASAL) -> Bench:
    """A bench whose cartridge C1 had its swab put into the buffer at 0:00."""
    bench = Bench(assay)
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    return bench


def deviations(bench: Bench) -> list[tuple[str, int]]:
    """What cartridge C1 has on its record, in milliseconds."""
    return [(each.code, each.span) for each in bench.cartridge().deviations]


def test_a_step_is_recorded_with_who_and_when() -> None:
    """The record of one press: timed to the millisecond, by the key of the operator."""
    bench = Bench()
    bench.label()
    (event,) = bench.must(bench.step_act("buffer"), "0:10")

    assert isinstance(event, StepDone)
    assert (event.at, event.done) == (at("0:10"), timed(at("0:10")))
    assert (event.by, event.cartridge, event.step) == ("key-op-1", "id-C1", "buffer")


def test_only_the_step_that_takes_a_specimen_gives_it_an_id() -> None:
    """One specimen, one id: a step before or after must not make another."""
    bench = Bench()
    bench.label()
    given = {
        step: bench.step(step, now).specimen
        for step, now in (("buffer", "0:00"), ("collect", "0:00"), ("extract", "0:00"))
    }

    assert given["buffer"] is None
    assert given["collect"] is not None
    assert given["extract"] == given["collect"]


@pytest.mark.parametrize(
    "step",
    [
        pytest.param("collect", id="a step too far"),
        pytest.param("label", id="the step that was done"),
        pytest.param("incubate", id="a step the assay has not"),
    ],
)
def test_a_step_out_of_turn_is_refused_with_the_one_wanted(step: str) -> None:
    """The operator is told what comes next in the words of the assay."""
    bench = Bench()
    bench.label()
    refusal = bench.refused(bench.step_act(step))

    assert refusal.code is RefusalCode.OUT_OF_ORDER
    assert refusal.subject == "Buffer into the tube"


def test_a_step_after_the_drops_is_refused() -> None:
    """Nothing is wanted any more but the reading, so no step is named."""
    bench = Bench()
    bench.to_well()
    refusal = bench.refused(bench.step_act("apply"), "3:00")

    assert (refusal.code, refusal.subject) == (RefusalCode.OUT_OF_ORDER, "")


def test_a_wait_that_is_not_over_refuses_the_step() -> None:
    """The swab has not given off what it holds; the refusal says for how long it must stay."""
    refusal = in_buffer().refused(Bench().step_act("withdraw"), "0:59.999")

    assert refusal.code is RefusalCode.WAIT_NOT_OVER
    assert refusal.subject == "in buffer"
    assert refusal.due == at("1:00")
    assert (refusal.limit, refusal.elapsed) == (span("1:00"), span("0:59.999"))


# Common practice: a minute in the buffer at least; a longer stay than three is a deviation.
@pytest.mark.parametrize(
    ("now", "expected"),
    [
        pytest.param("1:00", [], id="as the wait is over"),
        pytest.param("3:00", [], id="the last instant in time"),
        pytest.param("3:00.001", [("extract-long", 180_001)], id="a millisecond over"),
        pytest.param("60:00", [("extract-long", 3_600_000)], id="an hour"),
    ],
)
def test_a_long_wait_is_recorded_and_not_refused(now: str, expected: list[tuple[str, int]]) -> None:
    """A soft limit costs nobody their test, but the record says by how much it was passed."""
    bench = in_buffer()
    bench.step("withdraw", now)

    assert deviations(bench) == expected


@pytest.mark.parametrize(
    ("now", "code"),
    [
        pytest.param("3:00", None, id="the last instant in time"),
        pytest.param("3:00.001", RefusalCode.NOT_ALLOWED, id="a millisecond over"),
    ],
)
def test_a_firm_upper_limit_refuses_the_step(now: str, code: RefusalCode | None) -> None:
    """What is left then is to void the cartridge and take a new specimen."""
    bench = in_buffer(waiting(replace(MINUTE_TO_THREE, most_is=Limit.FIRM)))

    if code is None:
        bench.must(bench.step_act("withdraw"), now)
    else:
        refusal = bench.refused(bench.step_act("withdraw"), now)
        assert (refusal.code, refusal.subject) == (code, "in buffer")
        assert (refusal.limit, refusal.elapsed) == (span("3:00"), span("3:00.001"))


@pytest.mark.parametrize(
    ("now", "expected"),
    [
        pytest.param("0:59.999", [("extract-short", 59_999)], id="a millisecond short"),
        pytest.param("1:00", [], id="as the wait is over"),
    ],
)
def test_an_advisory_lower_limit_is_recorded(now: str, expected: list[tuple[str, int]]) -> None:
    """Where the kit only advises, the work goes on and the record says so."""
    bench = in_buffer(waiting(replace(MINUTE_TO_THREE, least_is=Limit.ADVISORY)))
    bench.step("withdraw", now)

    assert deviations(bench) == expected


def test_a_wait_without_a_name_is_told_by_its_step() -> None:
    """An assay file may leave the name out; the refusal is still a sentence."""
    bench = in_buffer(waiting(replace(MINUTE_TO_THREE, name="")))
    refusal = bench.refused(bench.step_act("withdraw"), "0:30")

    assert refusal.subject == "Swab into the buffer"


def test_a_wait_may_span_several_steps() -> None:
    """The age of the specimen is held against the drops, whatever was done between."""
    steps = tuple(
        replace(each, wait=Wait(until="apply", most=span("2:00"))) if each.collects else each
        for each in NASAL.steps
    )
    bench = in_buffer(replace(NASAL, steps=steps))
    bench.step("withdraw", "1:00")
    bench.step("apply", "2:30")

    assert deviations(bench) == [("collect-long", 150_000)]


def test_a_wait_that_cannot_have_begun_holds_nobody_up() -> None:
    """An old record may hold an assay whose wait points backwards; work must not stop for it."""
    steps = tuple(
        replace(each, wait=Wait(until="buffer", least=span("1:00"))) if each.collects else each
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    bench.must(bench.step_act("buffer"))

    assert deviations(bench) == []


def test_deviations_add_up() -> None:
    """A later step in good time does not wash away what went before."""
    bench = in_buffer()
    bench.step("withdraw", "4:00")
    bench.step("apply", "4:10")
    bench.must(bench.read_act(NEGATIVE), "19:10")

    assert deviations(bench) == [("extract-long", 240_000)]


@pytest.mark.parametrize(
    ("done_at", "now", "code"),
    [
        pytest.param("-0:01", "2:00", "out-of-order", id="before the step before"),
        pytest.param("3:00", "2:00", "not-allowed", id="in the future"),
    ],
)
def test_a_time_that_cannot_be_is_refused_by_step_and_instant(
    done_at: str, now: str, code: str
) -> None:
    """A slip of one digit is seen at once beside what was entered."""
    bench = in_buffer()
    act = replace(bench.step_act("withdraw"), done_at=later(START, stated_at(done_at)))
    refusal = bench.refused(act, now)

    assert (refusal.code, refusal.subject) == (code, "Squeeze and withdraw the swab")
    assert refusal.due == at("3:00" if code == "not-allowed" else "0:00")


def stated_at(text: str) -> Span:
    """The span from the start, which may lie before it."""
    return Span(-span(text[1:])) if text.startswith("-") else span(text)


def test_a_void_for_want_of_a_window_says_who_made_it_and_when() -> None:
    """Nobody pressed void: the record must show out of whose entry it came."""
    bench = in_buffer()
    bench.step("withdraw", "1:00")
    act = bench.step_act("apply", done_at="6:00", doubt="3:00")
    sure = replace(act.aim, cartridge_by=How.SCANNED, person_by=How.TYPED)
    _, event = bench.must(replace(act, aim=sure), "9:30")

    assert isinstance(event, CartridgeVoided)
    assert (event.at, event.by) == (at("9:30"), "key-op-1")
    assert event.identified == Identified(cartridge=How.SCANNED, person=How.TYPED)
