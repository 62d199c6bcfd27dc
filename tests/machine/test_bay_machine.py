"""A bay and its plain model are put through whatever comes, and must agree at every step.

With the tests a few hundred steps are played, always the same. `make torture-nightly` plays 10,000
others each night and says what was tried.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from machine.bay_machine import TRIED, BayMachine

if TYPE_CHECKING:
    import pytest

STEPS = int(os.environ.get("READBELL_MACHINE_STEPS", "480"))
"""How many in all; `make torture-nightly` asks for more."""
IN_ONE_PLAY = 40 if STEPS < 1_000 else 100
BY_DAY = STEPS < 1_000
AT_LEAST = {
    "label: taken",
    "step: taken",
    "step: wait-not-over",
    "steps: taken",
    "look: taken",
    "look: early-negative",
    "read: taken",
    "correct-reading: taken",
    "state-application: taken",
    "void: not-allowed",
    "HearAlert: taken",
    "MuteSound: taken",
    "label: not-saved",
    "the disk fails: away",
    "the disk fails: gone",
    "something rang on no disk",
    "killed and begun again: same boot",
    "killed and begun again: before",
}
"""A machine that never gets as far as this says nothing."""


def test_whatever_is_done_to_a_bay_comes_out_as_the_model_says(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Refusals, outcomes, alerts, lots and what is lost: two programs written apart must agree."""
    TRIED.clear()
    run_state_machine_as_test(
        BayMachine,
        settings=settings(
            max_examples=max(1, STEPS // IN_ONE_PLAY),
            stateful_step_count=IN_ONE_PLAY,
            deadline=None,
            derandomize=BY_DAY,
            database=None,
            phases=[Phase.generate, *([] if BY_DAY else [Phase.shrink])],
            suppress_health_check=list(HealthCheck),
        ),
    )

    assert {what for what, often in TRIED.items() if often} >= AT_LEAST
    if not BY_DAY:
        with capsys.disabled():
            print(f"\n{sum(TRIED.values())} things were done:")  # noqa: T201
            for what, often in sorted(TRIED.items()):
                print(f"{often:7} {what}")  # noqa: T201
            print("Nothing acknowledged was lost, and nothing came out otherwise.")  # noqa: T201
