"""What a cartridge calls for, from when, until when, and whom it is for."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings

from builders import NASAL, NEGATIVE, Bench, at, span
from core.any_acts import PLANS, Plan, as_time_passes, folded, play
from readbell.core.assay.step import Limit
from readbell.core.board.acts import HearAlert
from readbell.core.board.events import AlertHeard
from readbell.core.board.sound import (
    REMIND_EACH,
    URGENT_EACH,
    CallKind,
    call_at,
    calls_of,
    loudest,
    may_call,
)
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.events import AlertKind
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import Instant, Span, later

FIRM = replace(
    NASAL,
    steps=tuple(
        each
        if each.wait is None or each.wait.most is None
        else replace(each, wait=replace(each.wait, most_is=Limit.FIRM))
        for each in NASAL.steps
    ),
)


def kinds(bench: Bench, label: str = "C1") -> list[tuple[CallKind, Span, Instant, Instant | None]]:
    """What a cartridge will call for, how often, from when, until when."""
    return [
        (each.kind, each.each, each.begins, each.ends) for each in calls_of(bench.cartridge(label))
    ]


def test_a_wait_calls_once_it_is_over_and_again_once_it_is_too_long() -> None:
    """An advisory limit reminds; what is firm is lost, and urges."""
    for assay, each in ((NASAL, REMIND_EACH), (FIRM, URGENT_EACH)):
        bench = Bench(assay)
        bench.label()
        for step in ("buffer", "collect", "extract"):
            bench.step(step, "0:00")

        assert kinds(bench) == [
            (CallKind.WAIT_OVER, REMIND_EACH, at("1:00"), at("3:00")),
            (CallKind.OVERDUE, each, at("3:00"), None),
        ]


def test_a_wait_without_a_least_calls_only_when_it_is_too_long() -> None:
    """Nothing is over where nothing had to be waited for."""
    steps = tuple(
        each if each.wait is None else replace(each, wait=replace(each.wait, least=Span(0)))
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")

    assert [kind for kind, *_ in kinds(bench)] == [CallKind.OVERDUE]


def test_a_wait_without_a_limit_calls_until_the_next_step() -> None:
    """Nobody is urged to keep a limit that is not stated."""
    steps = tuple(
        each if each.wait is None else replace(each, wait=replace(each.wait, most=None))
        for each in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")

    assert kinds(bench) == [(CallKind.WAIT_OVER, REMIND_EACH, at("1:00"), None)]


def test_a_window_calls_while_it_is_open_and_urges_while_it_is_closing() -> None:
    """An early look is silent, and so is what has lapsed: there is nothing left to save."""
    bench = Bench()
    bench.to_well()

    assert kinds(bench) == [
        (CallKind.READ_NOW, REMIND_EACH, at("17:30"), at("20:30")),
        (CallKind.CLOSING, URGENT_EACH, at("20:30"), at("22:30.001")),
    ]


@pytest.mark.parametrize(("closes", "ends"), [(span("20:00"), "22:30.001"), (None, None)])
def test_a_window_without_a_warning_calls_to_its_end(closes: Span | None, ends: str | None) -> None:
    """What the assay does not state is not made up."""
    reading = replace(NASAL.reading, closing_warning=Span(0), closes=closes)
    bench = Bench(replace(NASAL, reading=reading))
    bench.to_well()
    (only,) = calls_of(bench.cartridge())

    assert (only.kind, only.ends) == (CallKind.READ_NOW, None if ends is None else at(ends))
    assert only.insists_from == (None if closes is None else at("21:30"))


def test_a_window_that_doubt_has_shortened_calls_as_closing_alone() -> None:
    """Where it opens inside its own warning there is no time before it."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.step("withdraw", "1:00")
    bench.must(bench.step_act("apply", done_at="4:00", doubt="2:00"), "6:00")

    assert [kind for kind, *_ in kinds(bench)] == [CallKind.CLOSING]


def test_what_has_ended_calls_no_more() -> None:
    """A strip that was read wants nobody."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")

    assert calls_of(bench.cartridge()) == ()


def test_an_unsure_clock_calls_nobody_to_read() -> None:
    """Nothing may be read from a clock that may have lied."""
    bench = Bench()
    bench.to_well()

    assert calls_of(replace(bench.cartridge(), unsure=True)) == ()


def test_the_one_to_be_heard_next_is_the_most_urgent_that_still_sounds() -> None:
    """One key stops one sound: the one that is loudest now."""
    bench = Bench()
    bench.to_well("C1", applied="2:30")
    bench.to_well("C2", "P-002", applied="5:00")

    def loud(when: str) -> str | None:
        bench.board = folded(bench.board, as_time_passes(bench.board, later(at(when), Span(1))))
        return loudest(bench.board, at(when))

    assert loud("17:00") is None
    assert loud("20:10") == "id-C1"
    assert loud("20:40") == "id-C1"
    bench.must(HearAlert(by="op-1", cartridge="C1"), "20:41")
    assert loud("20:42") == "id-C2"
    assert loud("21:30") == "id-C2", "the last minute of C1 is not heard away"


def test_at_a_station_that_a_call_is_not_for_it_is_not_heard_next() -> None:
    """Of several stations each hears its own; and what was heard at one that is away rests nowhere."""
    bench = Bench()
    bench.to_well("C1", applied="2:30")
    bench.to_well("C2", "P-002", applied="5:00")
    board = folded(bench.board, as_time_passes(bench.board, later(at("20:10"), Span(1))))

    def loud(**known: Any) -> str | None:
        return loudest(board, at("20:10"), **known)

    assert loud() == "id-C1"
    assert loud(sounds=lambda call: call.cartridge == "id-C2") == "id-C2"
    assert loud(sounds=lambda _: False) is None
    heard = AlertHeard(at=at("20:00"), by=None, cartridge="id-C1", alert=AlertKind.READ_NOW)
    assert loud(heard={"id-C1": heard}) == "id-C2"
    assert loud(heard={}) == "id-C1"


def test_a_wait_is_heard_next_once_its_alert_has_fallen() -> None:
    """What was not announced yet is not on anybody's ear."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    before = bench.board
    after = folded(before, as_time_passes(before, at("1:00.001")))

    assert loudest(before, at("1:00")) is None
    assert loudest(after, at("1:00")) == "id-C1"
    assert may_call(before) == ()
    assert may_call(after) == (after.running["id-C1"],)
    assert loudest(after, at("1:00"), may_call(after)) == "id-C1"


@settings(deadline=None, max_examples=60)
@given(plan=PLANS)
def test_a_call_is_there_just_when_the_stage_says_so(plan: Plan) -> None:
    """The ear and the eye are told the same."""
    for board, _, _ in play(plan):
        for each in board.running.values():
            borders = {border for found in calls_of(each) for border in (found.begins, found.ends)}
            for border in filter(None, borders):
                for now in (Instant(border - 1), border):
                    stage, found = stage_at(each, now), call_at(each, now)
                    kind = None if found is None else found.kind
                    assert (stage is Stage.CLOSING) == (kind is CallKind.CLOSING)
                    assert (stage is Stage.READ_WINDOW) == (kind is CallKind.READ_NOW)
