"""Whole days worked by the next safe start and played through a real bay: nothing is missed."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import pytest

from rehearsal.obedient_day import ObedientDay, scenario_of
from rehearsal.playing import report_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

HOUSEHOLD = [(f"P-{each:03}", 0) for each in range(1, 7)]
"""Six who come at once, before one operator."""
HOUR = [(f"P-{each:03}", each * 90_000) for each in range(1, 41)]
"""A car every minute and a half, forty in an hour, before two."""


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize(
    ("arrivals", "operators"),
    [
        pytest.param(HOUSEHOLD, ["op-1"], id="a household of six, one operator"),
        pytest.param(HOUR, ["op-1", "op-2"], id="forty cars in an hour, two operators"),
    ],
)
def test_no_window_and_no_wait_is_missed(
    arrivals: Sequence[tuple[str, int]], operators: Sequence[str], seed: int, tmp_path: Path
) -> None:
    """Hands vary within their bounds, gloves are changed, and the bay judges each act itself."""
    draw = random.Random(seed)  # noqa: S311  # it picks durations, not secrets
    day = ObedientDay(arrivals, operators, draw).play()
    scenario = tmp_path / "day.toml"
    scenario.write_text(scenario_of(day, arrivals, operators), "utf-8")
    report = report_of(scenario)

    assert [each["refusal"] for each in report["acts"] if not each["accepted"]] == []
    assert len(report["cartridges"]) == len(arrivals)
    assert {each["stage"] for each in report["cartridges"]} == {"read"}
    assert [each["deviations"] for each in report["cartridges"] if each["deviations"]] == []
    assert {each["outcome"] for each in report["cartridges"]} == {"negative"}
    kinds = {each["kind"] for each in report["alerts"]}
    assert not kinds & {"overdue", "lapsed"}
