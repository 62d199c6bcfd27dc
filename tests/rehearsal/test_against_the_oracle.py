"""Random scenarios come out as a second, independent implementation says they must."""

from __future__ import annotations

from importlib import resources
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from rehearsal.oracle import play
from rehearsal.playing import Report, report_of
from rehearsal.random_scenarios import CUSTOM, CUSTOM_ID, THREE_ID, scenario

if TYPE_CHECKING:
    from pathlib import Path

SEEDS = 150
BATCH = 10
FROM_HERE_ON_RANDOM = 10_000


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder in which the assay stands that is not bundled."""
    made = tmp_path_factory.mktemp("scenarios")
    made.joinpath(CUSTOM_ID).write_text(three_lines_seen_early(), encoding="utf-8")
    return made


def three_lines_seen_early() -> str:
    """Return the bundled assay with three lines, given leave for an early look."""
    bundled = resources.files("readbell.assays").joinpath(f"{THREE_ID}.toml").read_text("utf-8")
    assert bundled.count("[reading]\n") == 1
    return bundled.replace("[reading]\n", '[reading]\nearly_from = "2:00"\n').replace(
        f'id = "{THREE_ID}"', 'id = "three-early"'
    )


def compared(report: Report) -> Report:
    """Return what the oracle speaks of as well: everything but words, title and journal."""
    acts = [{key: one for key, one in act.items() if key != "says"} for act in report["acts"]]
    return {"acts": acts, "alerts": report["alerts"], "cartridges": report["cartridges"]}


def difference(seed: int, folder: Path) -> str:
    """Say where product and oracle part on the scenario of a seed; nothing if they agree."""
    text = scenario(seed)
    file = folder / f"{seed}.toml"
    file.write_text(text, encoding="utf-8")
    found, wanted = compared(report_of(file)), play(text, CUSTOM)
    for part in wanted:
        for place, (mine, other) in enumerate(zip(found[part], wanted[part], strict=False)):
            if mine != other:
                return f"seed {seed}, {part} {place}:\n  found  {mine}\n  wanted {other}\n"
        if len(found[part]) != len(wanted[part]):
            return f"seed {seed}: {len(found[part])} {part}, not {len(wanted[part])}.\n"
    return ""


@pytest.mark.parametrize(
    "first", [pytest.param(n, id=f"seeds from {n}") for n in range(1, SEEDS + 1, BATCH)]
)
def test_random_scenarios_come_out_as_the_oracle_says(first: int, folder: Path) -> None:
    """Two programs written apart agree only where both keep the rules."""
    parted = [difference(seed, folder) for seed in range(first, first + BATCH)]

    assert "".join(parted) == ""


@settings(
    max_examples=40,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],  # a smaller seed is no simpler scenario
    suppress_health_check=[HealthCheck.too_slow],
)
@given(seed=st.integers(FROM_HERE_ON_RANDOM, 10 * FROM_HERE_ON_RANDOM))
def test_scenarios_nobody_has_seen_come_out_so_too(seed: int, folder: Path) -> None:
    """Fixed seeds could be satisfied by heart; fresh ones cannot."""
    assert difference(seed, folder) == ""
