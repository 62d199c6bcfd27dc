"""A rehearsal in which a lot turns out to have been entered wrongly."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from cli.conftest import SCENARIO
from cli.test_rehearse_samples import acts, through

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command


def test_a_scenario_puts_a_lot_right_as_a_bay_does(command: Command, tmp_path: Path) -> None:
    """A past day is meant or refused; nothing more is begun of it, and what runs is read."""
    right: dict[str, object] = {"do": "correct-lot", "lot": "L-100", "words": "a year off"}
    right["expires"] = "2026-03-01"
    label: dict[str, object] = {"do": "label", "person": "P-001", "lot": "L-100"}
    script = acts(
        {"at": "0:00", "cartridge": "C1"} | label,
        *through("C1", 1),
        {"at": "3:00"} | right,
        {"at": "4:00", "past": True} | right,
        {"at": "5:00", "past": True} | right,
        {"at": "6:00", "cartridge": "C2"} | label,
        {"at": "18:00", "do": "read", "cartridge": "C1", "control": True, "test": "absent"},
    )
    file = tmp_path / "lots.toml"
    file.write_text(SCENARIO + script, encoding="utf-8")
    done = command("rehearse", file, "--unattended", "--json")
    assert done.err == ""
    told = json.loads(done.out)
    said = [each for each in told["acts"] if each["at_s"] >= 180]

    assert [(each["accepted"], each["refusal"]) for each in said] == [
        (False, "not-allowed"),
        (True, None),
        (False, "not-allowed"),
        (False, "lot-expired"),
        (True, None),
    ]
    assert "say that it is meant: past" in said[0]["says"]
    assert "good to 2026-03-01, not to" in said[1]["says"]
    assert "Begun after it: C1." in said[1]["says"]
    assert "The record says that of this lot already." in said[2]["says"]
    (cartridge,) = told["cartridges"]
    assert (cartridge["stage"], cartridge["outcome"]) == ("read", "negative")
