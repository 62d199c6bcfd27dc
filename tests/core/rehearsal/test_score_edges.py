"""Borders of a score that no demo scenario reaches."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import FAINT, NASAL, NEGATIVE, TODAY, Bench, at, span
from core.rehearsal.test_scenario import SCENARIO
from readbell.core.board.events import ActRefused
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import SlipReason
from readbell.core.instant import Instant, Span
from readbell.core.refusal import RefusalCode
from readbell.core.rehearsal.scenario import Flaw, FlawKind, ScriptedPerson
from readbell.core.rehearsal.score import score
from readbell.core.rehearsal.score_marks import Area, Kept, Slip
from readbell.core.rehearsal.score_pace import pace
from readbell.core.rehearsal.score_reading import readings
from readbell.core.rehearsal.score_safety import refused
from readbell.core.rehearsal.score_timing import late_and_lost, times_of
from readbell.core.rehearsal.truth import drawn_at
from readbell.core.rehearsal.virtual_cartridge import Comes, Shade, Shows


def near_miss(code: RefusalCode, act: str = "read") -> ActRefused:
    """Return an act that was refused."""
    return ActRefused(
        at=at("1:00"),
        by="key-op-1",
        act=act,
        code=code,
        cartridge="id-C1",
        entered=None,
        bands=None,
    )


@pytest.mark.parametrize(
    ("event", "area"),
    [
        pytest.param(near_miss(RefusalCode.WRONG_PERSON), Area.IDENTITY, id="another person"),
        pytest.param(near_miss(RefusalCode.TOO_EARLY), Area.TIMING, id="too early"),
        pytest.param(near_miss(RefusalCode.KIT_COLD, "label"), Area.SAFETY, id="a cold kit"),
        pytest.param(near_miss(RefusalCode.NOT_ALLOWED, "look"), Area.TIMING, id="a late look"),
        pytest.param(near_miss(RefusalCode.NOT_ALLOWED, "void"), Area.SAFETY, id="a positive void"),
        pytest.param(near_miss(RefusalCode.NOT_ALLOWED, "mute"), None, id="a sound"),
        pytest.param(near_miss(RefusalCode.BAD_BANDS), None, id="a form half filled in"),
        pytest.param(near_miss(RefusalCode.WRONG_PIN, "sign-in"), None, id="a PIN"),
    ],
)
def test_a_refusal_is_a_mistake_only_at_the_bench(event: ActRefused, area: Area | None) -> None:
    """A form that was not filled in harms nobody."""
    bench = Bench()
    bench.label()

    assert [each.area for each in refused([event], bench.board)] == ([] if area is None else [area])


def test_a_wait_whose_least_only_advises_may_be_short() -> None:
    """It is taken by the bay and found by the score."""
    steps = tuple(
        replace(step, wait=replace(step.wait, least=span("9:00"))) if step.wait else step
        for step in NASAL.steps
    )
    bench = Bench()
    bench.to_well()
    cartridge = replace(bench.cartridge(), assay=replace(NASAL, steps=steps))
    (mistake,) = late_and_lost([cartridge], bench.board)

    assert [each.kept for each in times_of(cartridge)] == [Kept.SHORT]
    assert (mistake.code, mistake.limit) == (Slip.WAIT_SHORT, span("9:00"))


def test_before_the_drops_a_strip_is_blank() -> None:
    """Whatever its person's would show."""
    bench = Bench()
    bench.label()
    drawn = drawn_at(SCENARIO, bench.board, bench.cartridge(), at("20:00"))

    assert drawn.control is False
    assert {shade for _, shade in drawn.lines} == {Shade.ABSENT}


def test_a_swapped_device_shows_what_the_other_would_once_that_is_labelled() -> None:
    """Before that nobody can say whose it is: a strip with a control line and nothing else."""
    line = Comes(line="", start=span("5:00"), strength=Shade.VERY_FAINT)
    swapped = replace(
        SCENARIO,
        cartridges={},
        persons=(ScriptedPerson(id="P-002", arrives=Span(0), shows=Shows(tests=(line,))),),
        flaws=(Flaw(cartridge="C1", kind=FlawKind.LABEL_SWAPPED, other="C2"),),
    )
    bench = Bench()
    bench.to_well()
    alone = drawn_at(swapped, bench.board, bench.cartridge(), at("9:00"))
    bench.label("C2", "P-002", "10:00")
    before, after = (
        drawn_at(swapped, bench.board, bench.cartridge(), at(now)) for now in ("9:59", "10:00")
    )

    assert (alone.control, alone.lines[0][1]) == (True, Shade.ABSENT)
    assert before == alone
    assert after.lines[0][1] is Shade.VERY_FAINT


def test_an_assay_that_cannot_be_planned_has_no_best_plan() -> None:
    """Its score is told without one."""
    steps = tuple(
        replace(step, wait=replace(step.wait, most=Span(1))) if step.wait else step
        for step in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    found = pace(SCENARIO, bench.board, (), Instant(0))

    assert (found.best, found.should, found.is_over(1.0)) == (None, (), False)


def test_an_empty_record_has_an_empty_score() -> None:
    """No event says when it began."""
    found = score(replace(SCENARIO, persons=()), Bench().board, ())

    assert (found.starts, found.took, found.mistakes) == (0, 0, ())


def test_a_slip_that_its_reader_mended_is_no_mistake() -> None:
    """What counts is what they came to say."""
    truth = replace(SCENARIO, cartridges={})
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(FAINT), "18:00")
    before = readings(truth, bench.board, bench.board.in_order())
    bench.must(
        CorrectReading(
            aim=bench.aim(), bands=NEGATIVE, reason=SlipReason.PRESSED_WRONG_KEY, today=TODAY
        ),
        "18:10",
    )
    after = readings(truth, bench.board, bench.board.in_order())

    assert [each.code for each in before.mistakes()] == [Slip.FALSE_POSITIVE]
    assert list(after.mistakes()) == []
