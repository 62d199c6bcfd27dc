"""How long the machines are played: a little with the tests, always the same; for long each night."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Protocol, cast

from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from machine.given import TRIED

if TYPE_CHECKING:
    from collections.abc import Iterable

    import pytest
    from hypothesis.stateful import RuleBasedStateMachine

ASKED = os.environ.get("READBELL_MACHINE_STEPS")
"""How many steps of a machine; `make torture-nightly` asks for many."""
BY_DAY = ASKED is None or int(ASKED) < 1_000
OPENINGS = 12


class Opens(Protocol):
    """A machine that can begin in one of so many ways, without chance."""

    def opening(self, n: int) -> None:
        """Begin in this way."""

    def teardown(self) -> None:
        """End the play."""


def play(
    machine: type[RuleBasedStateMachine],
    by_day: int,
    one_play: int = 40,
    opened_too: Iterable[type[RuleBasedStateMachine]] = (),
) -> None:
    """Begin `machine` in every way, and those of `opened_too`; then play `machine` alone.

    It takes `by_day` steps, or as many as were asked for.
    """
    TRIED.clear()
    for each in (machine, *opened_too):
        for n in range(OPENINGS):
            open_in_one_way(each, n)
    steps = by_day if ASKED is None else int(ASKED)
    in_one_play = one_play if BY_DAY else 100
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=max(1, steps // in_one_play),
            stateful_step_count=in_one_play,
            deadline=None,
            derandomize=BY_DAY,
            database=None,
            phases=[Phase.generate, *([] if BY_DAY else [Phase.shrink])],
            suppress_health_check=list(HealthCheck),
        ),
    )


def never_came_to(wanted: set[str]) -> set[str]:
    """Give what the plays never got as far as: then they say nothing of it."""
    return wanted - {what for what, often in TRIED.items() if often}


def say_what_was_tried(capsys: pytest.CaptureFixture[str]) -> None:
    """Tell whoever let it run for long how often each thing was done."""
    if BY_DAY:
        return
    with capsys.disabled():
        print(f"\n{sum(TRIED.values())} things were done:")  # noqa: T201
        for what, often in sorted(TRIED.items()):
            print(f"{often:7} {what}")  # noqa: T201
        print("Nothing acknowledged was lost, and nothing came out otherwise.")  # noqa: T201


def open_in_one_way(machine: type[RuleBasedStateMachine], n: int) -> None:
    """Begin in one way that many steps lead to, so that no day passes without it."""
    played = machine()
    try:
        cast("Opens", played).opening(n)
        for each in played.invariants:
            each.function(played)
    finally:
        played.teardown()
