"""A rehearsal in which the bay lets nobody be begun comes to an end all the same."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import pytest

from rehearsal.playing import report_of

if TYPE_CHECKING:
    from pathlib import Path

STRICT = """title = "Strict, and nobody at hand who runs a control sample"
starts = 2026-11-12T08:30:00+00:00
assay = "respiratory-antigen-nasal"
operator = [{operators}]
lot = [{{ number = "L-1", expires = 2027-04-30, units = 20 }}]
person = [{{ id = "P-001" }}, {{ id = "P-002" }}]
[policy]
controls_new_lot = true
controls_overdue = "refuse"
"""


@pytest.mark.parametrize("operators", [1, 2])
def test_hands_that_run_no_control_samples_give_it_up(tmp_path: Path, operators: int) -> None:
    """Each asks twelve times, over some hours; then the queue goes home."""
    named = ", ".join(f'{{ id = "op-{number}" }}' for number in range(1, operators + 1))
    file = tmp_path / "strict.toml"
    file.write_text(STRICT.format(operators=named), "utf-8")
    report = report_of(file)

    assert Counter(each["refusal"] for each in report["acts"]) == {"controls-due": 12 * operators}
    assert report["cartridges"] == []
    assert report["acts"][-1]["at_s"] < 4 * 3_600
