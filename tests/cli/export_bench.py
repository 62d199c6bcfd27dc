"""A live bay with a result that has yet to leave, and what is unsent of it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from cli.conftest import OPERATOR, QUICK_ASSAY
from readbell.settings.places import settings_file

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import BayProcess, Command, Start


def expecting(*forms: str) -> None:
    """Have the site expect these forms."""
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text(f"[policy]\nreports_expected = {json.dumps(forms)}\n", "utf-8")


def with_a_result(bay: BayProcess, assay: str) -> None:
    """Have C1 read in its window, in a bay with an assay that is over within a second."""
    bay.prepare(assay)
    bay.must(do="step", by=OPERATOR, cartridge="C1", step="apply")
    read_when_called(bay)


def read_when_called(bay: BayProcess) -> None:
    """Read C1 at its READ NOW."""
    bay.until_alarm()
    bay.must(do="read", by=OPERATOR, cartridge="C1", control=True, test="faint")


def with_short_assay(tmp_path: Path) -> str:
    """The id of an assay that may be read soon, and for long enough on a busy computer."""
    folder = tmp_path / "CONFIG" / "readbell" / "assays"
    folder.mkdir(parents=True)
    text = QUICK_ASSAY.replace('closes = "0:00.800"', 'closes = "1:00"')
    (folder / "quick.toml").write_text(text, encoding="utf-8")
    return "quick"


def laid_down(start_bay: Start, tmp_path: Path, short_assay: str) -> Path:
    """A live bay with one result that has yet to leave as FHIR, laid down again."""
    expecting("fhir")
    path = tmp_path / "bay.journal"
    bay = start_bay(path, "--quiet")
    with_a_result(bay, short_assay)
    bay.end_of_input()
    assert bay.wait() == 0
    return path


def unsent(command: Command, journal: Path) -> list[dict[str, Any]]:
    """What has yet to leave."""
    said = command("export", "unsent", "--journal", journal, "--json")
    assert (said.status, said.err) == (0, "")
    found: list[dict[str, Any]] = json.loads(said.out)["unsent"]
    return found
