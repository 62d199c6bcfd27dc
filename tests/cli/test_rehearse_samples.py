"""A rehearsal with control samples: they gate the lot, and are never told as patients."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from cli.conftest import SCENARIO

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command

POLICY = '[policy]\ncontrols_new_lot = true\ncontrols_overdue = "refuse"\n'


def acts(*written: dict[str, object]) -> str:
    """Acts as a scenario writes them."""
    made = []
    for each in written:
        said = {"by": "op-1"} | each
        lines = (f"{key} = {json.dumps(value)}" for key, value in said.items())
        made.append("[[act]]\n" + "\n".join(lines))
    return "\n".join(made) + "\n"


def through(label: str, begins: int) -> list[dict[str, object]]:
    """The steps of one cartridge."""
    steps = [("buffer", 0), ("collect", 0), ("extract", 0), ("withdraw", 1), ("apply", 1)]
    return [
        {"at": f"{begins + later}:00", "do": "step", "cartridge": label, "step": step}
        for step, later in steps
    ]


def control(number: str, kind: str) -> str:
    """A control material."""
    return f'[[control]]\nnumber = "{number}"\nkind = "{kind}"\nexpires = 2026-12-31\n'


def played(command: Command, folder: Path, text: str) -> dict[str, Any]:
    """What a rehearsal of `text` came to."""
    file = folder / "samples.toml"
    file.write_text(text, encoding="utf-8")
    done = command("rehearse", file, "--unattended", "--json")
    assert (done.status, done.err) == (0, "")
    found: dict[str, Any] = json.loads(done.out)
    return found


def label(at: str, cartridge: str, **whose: str) -> dict[str, object]:
    """The act that starts a cartridge."""
    return {"at": at, "do": "label", "cartridge": cartridge, "lot": "L-100", **whose}


def test_patients_wait_for_both_control_samples(command: Command, tmp_path: Path) -> None:
    """A sample goes in the place of a person, and passes on what its material has to show."""
    text = (
        SCENARIO
        + control("PC-1", "positive")
        + control("NC-1", "negative")
        + acts(
            label("0:00", "C0", person="P-001"),
            label("0:00", "C1", sample="PC-1"),
            *through("C1", 0),
            {"at": "16:30", "do": "read", "cartridge": "C1", "person": "PC-1"},
            label("17:00", "C2", sample="NC-1"),
            *through("C2", 17),
            {"at": "33:30", "do": "read", "cartridge": "C2", "person": "NC-1"},
            label("34:00", "C3", person="P-001"),
        )
    )
    found = played(command, tmp_path, f"{text}\n{POLICY}")
    refusals = [each["refusal"] for each in found["acts"]]
    assert refusals[0] == "controls-due"
    assert refusals[1:] == [None] * (len(refusals) - 1)
    first, second, third = found["cartridges"]

    assert (first["person"], first["sample"], first["verdict"]) == (None, "PC-1", "passed")
    assert (second["outcome"], second["verdict"]) == ("negative", "passed")
    assert third["person"] == "P-001"
    assert "sample" not in third


def test_a_lot_whose_sample_fails_takes_no_more_patients(command: Command, tmp_path: Path) -> None:
    """The device shows something else than it has to."""
    broken = control("PC-1", "positive") + '[control.bands]\ncontrol = "3:00"\ntest = "never"\n'
    text = (
        SCENARIO
        + broken
        + acts(
            label("0:00", "C1", sample="PC-1"),
            *through("C1", 0),
            {"at": "16:30", "do": "read", "cartridge": "C1"},
            label("17:00", "C2", person="P-001"),
        )
    )
    found = played(command, tmp_path, text)

    assert found["cartridges"][0]["verdict"] == "failed"
    assert found["acts"][-1]["refusal"] == "lot-on-hold"
    assert "FAILED. Lot L-100 on hold" in found["acts"][-2]["says"]


def test_a_sample_nobody_entered_is_unknown(command: Command, tmp_path: Path) -> None:
    """A refusal, as for a person; and one that was never read has no verdict."""
    text = (
        SCENARIO
        + control("Q-1", "blind")
        + acts(label("0:00", "C1", sample="PC-9"), label("0:01", "C2", sample="Q-1"))
    )
    found = played(command, tmp_path, text)

    assert [each["refusal"] for each in found["acts"]] == ["unknown-sample", None]
    assert found["cartridges"][0]["verdict"] is None


def test_a_material_of_several_lines_says_which_it_shows(command: Command, tmp_path: Path) -> None:
    """A slip in the file is told before anything is played."""
    text = SCENARIO.replace("respiratory-antigen-nasal", "respiratory-antigen-three-lines")
    text = text.replace('test = { from = "6:30", strength = "faint" }\n', "")
    file = tmp_path / "s.toml"
    file.write_text(text + control("PC-1", "positive"), encoding="utf-8")
    done = command("rehearse", file, "--unattended")

    assert done.status == 2
    assert "control PC-1: the device has several lines" in done.err
