"""What keeps the guarantee from being given, each broken once."""

from __future__ import annotations

from dataclasses import replace

from builders import NASAL, span
from core.plan.kits import BARE, NARROW, WIDE, reading_in, within
from readbell.core.assay.step import Limit, Wait
from readbell.core.instant import Span
from readbell.core.plan.conditions import Broken, Condition, broken
from readbell.core.plan.hands_on import READING
from readbell.core.plan.work import work_of


def test_the_bundled_assay_meets_every_condition() -> None:
    """With three minutes in the buffer, and with two."""
    assert broken(WIDE, 1) == ()
    assert broken(NARROW, 1) == ()


def test_nobody_at_work_breaks_it() -> None:
    """No hands, no start."""
    assert [each.condition for each in broken(WIDE, 0)] == [Condition.HAS_HANDS]


def test_a_wait_too_narrow_for_its_step_breaks_it_and_is_named() -> None:
    """A minute at least, 1:10 at most: a withdrawal that may take 13 s does not surely fit."""
    assert broken(work_of(within("1:10"), gloves=BARE), 1) == (
        Broken(
            condition=Condition.FITS_THE_WAIT,
            assay=NASAL.id,
            since="extract",
            until="withdraw",
            needs=Span(60_000 + 13_333),
            has=span("1:10"),
        ),
    )


def test_a_window_too_short_for_a_reading_breaks_it() -> None:
    """Ten seconds from opening to close, and the reading may take twenty."""
    (fault,) = broken(work_of(reading_in("15:00", "15:10")), 1)

    assert (fault.condition, fault.until) == (Condition.FITS_THE_WAIT, READING)


def test_a_limit_within_one_piece_breaks_it_if_the_piece_may_be_longer() -> None:
    """From the swab to the buffer: half a minute, where rolling the swab may take 33 s."""
    age = Wait(until="extract", most=span("0:30"))
    steps = tuple(
        replace(step, wait=age) if step.key == "collect" else step for step in NASAL.steps
    )
    (fault,) = broken(work_of(replace(NASAL, steps=steps)), 1)

    assert fault.condition is Condition.FITS_IN_ONE_PIECE
    assert (fault.needs, fault.has) == (Span(33_333), span("0:30"))


def test_a_limit_over_several_pieces_counts_all_that_lies_between() -> None:
    """An open pouch: work and wait together may take 120 s less the label, 60 s and 40 s."""
    long_enough = 13_333 + 60_000 + 33_333 + 60_000 + 40_000

    def pouch(most: int) -> tuple[Broken, ...]:
        wait = Wait(until="apply", most=Span(most), most_is=Limit.FIRM)
        steps = (replace(NASAL.steps[0], wait=wait), *NASAL.steps[1:])
        return broken(work_of(replace(NASAL, steps=steps)), 1)

    assert pouch(long_enough) == ()
    assert [each.needs for each in pouch(long_enough - 1)] == [long_enough]


def test_a_limit_over_three_pieces_counts_the_one_in_the_middle() -> None:
    """A second wait, between withdrawal and drops, makes four pieces of the work."""
    second = Wait(until="apply", least=span("0:30"), most=span("2:00"))
    pouch = Wait(until="apply", most=Span(1), most_is=Limit.FIRM)
    waits = {"withdraw": second, "label": pouch}
    steps = tuple(replace(step, wait=waits.get(step.key, step.wait)) for step in NASAL.steps)
    (fault,) = broken(work_of(replace(NASAL, steps=steps)), 1)

    assert fault.since == "label"
    assert fault.needs == 13_333 + 60_000 + 33_333 + 60_000 + 13_333 + 30_000 + 26_667


def test_a_wait_that_runs_past_a_piece_ends_sooner_by_what_is_done_in_it() -> None:
    """From the buffer to the drops: what the withdrawal takes at least is waited for already."""
    long = Wait(until="apply", least=span("2:00"), most=span("4:00"))
    second = Wait(until="apply", least=span("0:30"), most=span("9:00"))
    buffer = Wait(until="withdraw", least=span("1:00"), most=span("9:00"))
    waits = {"extract": buffer, "withdraw": second, "collect": long}
    steps = tuple(replace(step, wait=waits.get(step.key, step.wait)) for step in NASAL.steps)

    assert broken(work_of(replace(NASAL, steps=steps)), 1) == ()
