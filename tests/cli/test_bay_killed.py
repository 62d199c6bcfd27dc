"""Killed at any moment: all that was acknowledged is there, and the next start tells it first."""

from __future__ import annotations

import re
import time
from typing import TYPE_CHECKING

import pytest

from readbell.core.cartridge.stage import Stage

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import BayProcess, Start, Verified

MANY = 400
PERSON, OPERATOR = "P-Quillfeather", "op-Quillfeather"


def act(bay: BayProcess, step: str) -> None:
    """Do a step of C1."""
    bay.must(do="step", by=OPERATOR, cartridge="C1", step=step)


def test_killed_at_rest_a_bay_comes_back_as_it_was(
    start_bay: Start, tmp_path: Path, board_in: Verified
) -> None:
    """The first line says what happened, the next where the strips are."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal)
    bay.prepare()
    act(bay, "buffer")
    bay.kill()
    again = start_bay(journal)

    first, second = again.line(), again.line()
    assert re.fullmatch(
        r"Back after \d+:\d\d\. "  # however long it took to start it again
        r"1 running\. The last run did not end cleanly; nothing acknowledged is lost\.",
        first["says"],
    )
    assert second["says"] == f"C1  {PERSON}  preparing  next: Take the swab"
    assert board_in(journal).labelled("C1") is not None


@pytest.mark.parametrize("answers", [0, 200])
def test_killed_amid_acts_a_bay_keeps_every_acknowledged_one(
    start_bay: Start, tmp_path: Path, board_in: Verified, answers: int
) -> None:
    """Whoever saw "ok" may rely on it, and the chain is whole."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal)
    bay.must(do="register-operator", id=OPERATOR)
    bay.say(
        *({"do": "register-person", "id": f"P-{number}", "by": OPERATOR} for number in range(MANY))
    )
    for _ in range(answers):
        assert bay.answer()["accepted"]
    bay.kill()

    acknowledged = answers + sum(each.get("accepted", False) for each in bay.rest())
    assert acknowledged <= len(board_in(journal).persons) <= MANY
    assert bay.complaints == []


def test_killed_and_started_again_a_bay_goes_on(start_bay: Start, tmp_path: Path) -> None:
    """The lock of the dead program holds nobody up, and the next act is the next step."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal)
    bay.prepare()
    bay.kill()
    again = start_bay(journal)

    act(again, "buffer")


def test_what_lapsed_while_a_bay_was_dead_is_told_before_all_else(
    start_bay: Start, tmp_path: Path, slow_assay: str, board_in: Verified
) -> None:
    """The strip went on developing; the first lines say what became of it."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal)
    bay.prepare(slow_assay)
    act(bay, "apply")
    bay.kill()
    again = start_bay(journal, ahead=3600)

    said = [again.line()["says"] for _ in range(3)]
    assert "did not end cleanly" in said[0]
    assert said[1] == "Lapsed meanwhile: C1."
    assert said[2] == "Nothing runs."
    again.end_of_input()
    again.wait()
    found = board_in(journal).labelled("C1")
    assert found is not None
    assert found.stage is Stage.LAPSED


def test_killed_while_it_starts_a_bay_leaves_a_journal_that_can_be_used(
    start_bay: Start, tmp_path: Path
) -> None:
    """Not even a half-made file may stand in the way."""
    journal = tmp_path / "bay.journal"
    for pause in (0.1, 0.2):
        bay = start_bay(journal)
        time.sleep(pause)
        bay.kill()
    again = start_bay(journal)

    again.must(do="register-operator", id=OPERATOR)
