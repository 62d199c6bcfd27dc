"""What falls due is worked out from the cartridge alone, so that no restart loses an alert."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import FAINT, NASAL, NEGATIVE, START, THREE_LINES, Bench, at, span
from readbell.core.assay.step import Wait
from readbell.core.board.fold import fold
from readbell.core.cartridge.due import Alert, alerts_to_come
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Span

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge


def to_come(cartridge: Cartridge) -> list[tuple[int, str]]:
    """The alerts to come: milliseconds after the start, and the kind."""
    return [(alert.due - START, str(alert.kind)) for alert in alerts_to_come(cartridge)]


def in_buffer(doubt: str | None = None) -> Bench:
    """A bench whose cartridge C1 had its swab put into the buffer at 0:00, or stated so."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect"):
        bench.step(step, "0:00")
    if doubt is None:
        bench.step("extract", "0:00")
    else:
        bench.must(bench.step_act("extract", done_at="1:00", doubt=doubt), "5:00")
    return bench


def raise_alert(bench: Bench, kind: AlertKind, due: str, step: str = "") -> None:
    """Put on the record that an alert was announced."""
    raised = AlertRaised(at=at(due), cartridge="id-C1", alert=kind, due=at(due), step=step)
    bench.board = fold(bench.board, raised)


def test_nothing_falls_due_for_a_label_alone() -> None:
    """No wait has begun, so nobody is called."""
    assert to_come(Bench().label()) == []


def test_a_wait_calls_when_it_is_over_and_when_it_is_overdue() -> None:
    """Least and most after the step that began it."""
    assert to_come(in_buffer().cartridge()) == [(60_000, "wait-over"), (180_000, "overdue")]


def test_a_wait_that_was_ended_calls_nobody() -> None:
    """The swab is out: neither its minute nor its three minutes matter any more."""
    bench = in_buffer()
    bench.step("withdraw", "1:00")

    assert to_come(bench.cartridge()) == []


def test_a_stated_wait_calls_late_for_its_least_and_early_for_its_most() -> None:
    """A wait that may have been short counts as short, one that may be long as long."""
    found = in_buffer(doubt="0:10").cartridge()

    assert to_come(found) == [(130_000, "wait-over"), (230_000, "overdue")]


@pytest.mark.parametrize(
    ("wait", "expected"),
    [
        pytest.param(Wait(until="withdraw", least=span("1:00")), ["wait-over"], id="no most"),
        pytest.param(Wait(until="withdraw", most=span("1:00")), ["overdue"], id="no least"),
    ],
)
def test_a_limit_that_is_not_stated_calls_nobody(wait: Wait, expected: list[str]) -> None:
    """An alert at the very step that begins a wait would be noise."""
    steps = tuple(
        replace(each, wait=wait) if each.key == "extract" else each for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")

    assert [kind for _, kind in to_come(bench.cartridge())] == expected


def test_a_developing_cartridge_calls_for_each_border_of_its_window() -> None:
    """Applied at 2:30: early from 4:30, open from 17:30, closing from 20:30, lapsed past 22:30."""
    assert to_come(Bench().to_well()) == [
        (270_000, "early-look"),
        (1_050_000, "read-now"),
        (1_230_000, "closing"),
        (1_350_001, "lapsed"),
    ]
    assert {each.step for each in alerts_to_come(Bench().to_well())} == {""}


def test_an_assay_without_leave_for_early_looks_asks_for_none() -> None:
    """The kit's instructions decide, not the program."""
    assert [kind for _, kind in to_come(Bench(THREE_LINES).to_well())] == [
        "read-now",
        "closing",
        "lapsed",
    ]


def test_a_window_without_a_stated_limit_never_lapses() -> None:
    """Nothing can close that has no close."""
    open_ended = replace(NASAL, reading=replace(NASAL.reading, closes=None))

    assert [kind for _, kind in to_come(Bench(open_ended).to_well())] == ["early-look", "read-now"]


def test_an_announced_alert_is_not_announced_again() -> None:
    """After a restart the record says what people were told."""
    bench = Bench()
    bench.to_well()
    raise_alert(bench, AlertKind.READ_NOW, "17:30")

    assert [kind for _, kind in to_come(bench.cartridge())] == ["early-look", "closing", "lapsed"]


def test_one_wait_announced_leaves_another_to_come() -> None:
    """Two waits of one cartridge are told apart by the step that began them."""
    steps = tuple(
        replace(each, wait=Wait(until="apply", least=span("1:00")))
        if each.key == "collect"
        else each
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    raise_alert(bench, AlertKind.WAIT_OVER, "1:00", "collect")

    assert [(alert.kind, alert.step) for alert in alerts_to_come(bench.cartridge())] == [
        (AlertKind.WAIT_OVER, "extract"),
        (AlertKind.OVERDUE, "extract"),
    ]


def test_an_early_positive_takes_no_alert_away() -> None:
    """The window reading is still asked for."""
    bench = Bench()
    before = to_come(bench.to_well())
    bench.must(bench.look_act(FAINT), "4:30")

    assert to_come(bench.cartridge()) == before


@pytest.mark.parametrize("end", ["read", "void", "lapsed"])
def test_an_ended_cartridge_calls_nobody(end: str) -> None:
    """There is nothing left that anybody could do for it."""
    bench = Bench()
    found = bench.to_well()
    if end == "read":
        bench.must(bench.read_act(NEGATIVE), "17:30")
    elif end == "void":
        bench.must(bench.void_act(), "17:30")
    else:
        bench.board = fold(bench.board, lapse(found, at("22:30.001")))

    assert to_come(bench.cartridge()) == []


def test_an_unsure_clock_calls_only_for_the_lapse() -> None:
    """Nothing may be read from it, so nothing asks for a reading."""
    found = replace(Bench().to_well(), unsure=True)

    assert to_come(found) == [(1_350_001, "lapsed")]


def test_at_one_instant_kinds_stand_in_their_order() -> None:
    """Alerts that fall together are told in the order of a cartridge's life."""
    together = [Alert(due=at("1:00"), cartridge="id-C1", kind=kind) for kind in reversed(AlertKind)]

    assert [alert.kind for alert in sorted(together, key=lambda alert: alert.order)] == list(
        AlertKind
    )


def test_the_instant_goes_before_the_kind() -> None:
    """A lapse that falls first is told first."""
    lapsed = Alert(due=at("1:00"), cartridge="id-C1", kind=AlertKind.LAPSED)
    waited = Alert(due=at("1:00.001"), cartridge="id-C1", kind=AlertKind.WAIT_OVER)

    assert lapsed.order < waited.order


def test_the_shortest_wait_there_can_be_is_announced_too() -> None:
    """An assay that asks for any wait at all gets its bell."""
    short = Wait(until="withdraw", least=Span(1))
    steps = tuple(
        replace(each, wait=short) if each.key == "extract" else each for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")

    assert to_come(bench.cartridge()) == [(1, "wait-over")]


def test_each_alert_names_its_cartridge() -> None:
    """A bell that names none sends the hand to any of them."""
    waiting = alerts_to_come(in_buffer().cartridge())
    bench = Bench()
    developing = alerts_to_come(bench.to_well())

    assert {each.kind for each in (*waiting, *developing)} == set(AlertKind)
    assert {each.cartridge for each in (*waiting, *developing)} == {"id-C1"}
