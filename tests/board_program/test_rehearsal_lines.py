"""A rehearsal with no screen at all: the real program in lines, from the goal to the debrief."""

from __future__ import annotations

import signal
from typing import TYPE_CHECKING

import pytest

from board_program.plain_lines import PlainLines
from board_program.test_rehearsal import SCENARIO
from readbell.core.cartridge.events import CartridgeRead
from readbell.core.reading.interpretation import Outcome

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from board_program.conftest import Place


@pytest.fixture
def lines(place: Place) -> Iterator[Callable[..., PlainLines]]:
    """Return what starts a rehearsal in lines; each is ended."""
    file: Path = place.folder / "two.toml"
    place.journal.parent.mkdir(parents=True, exist_ok=True)
    begun: list[PlainLines] = []

    def begin(*options: str, asked: str = "30:00") -> PlainLines:
        file.write_text(SCENARIO.replace('"30:00"', f'"{asked}"'), "utf-8")
        words = ["rehearse", str(file), "--plain", "--journal", str(place.journal), *options]
        made = PlainLines(
            [*place.program, *words],
            place.whole_environment,
            place.folder / f"said-{len(begun)}",
        )
        begun.append(made)
        made.until_said("Ready.")
        return made

    yield begin
    for each in begun:
        each.close()


def test_a_visit_is_rehearsed_by_lines_from_the_goal_to_the_debrief(
    place: Place, lines: Callable[..., PlainLines]
) -> None:
    """For a screen reader, or where there is no terminal that can show a board."""
    said = lines("--trainee", "Quillfeather")
    assert said.said[0] == "REHEARSAL  Two at the window"
    assert "Goal: read both in their windows. .go begins." in said.said
    assert "Before you: 2 together, P-001 / P-002." in said.said
    said.ask("L-100", "no  The rehearsal stands still, so nothing is taken. .go goes on.")
    said.ask(".go", "The clock goes as in life.")
    said.ask("L-100", "ok  Lot L-100 stands open at the bench.")
    said.ask(".start", "0 on the list.")
    said.ask("P-001", "1 on the list.")
    said.ask(".start", "Turn of P-001.")
    said.ask(".start", "C01 on the bench, marked P-001.")
    said.ask("C01", "Say .done, or scan C01 again")
    said.ask(".done", "3 steps in one act.")
    said.ask(".leap", "WAIT OVER.")
    said.ask("C01", "Squeeze and withdraw the swab.")
    said.ask(".done", "ok  C01  Squeeze and withdraw the swab: done.")
    said.ask("C01", "Drops onto the well.")
    said.ask(".done", "Read it from ")
    said.ask(".leap", "An early look may show a positive.")
    said.ask(".strip", "Strip of C01: at C no colour; at T no colour.")
    said.ask(".leap", "READ NOW until ")
    said.ask("C01", "Strip of C01: at C strong colour; at T a breath of colour.")
    said.ask(".control present", "Control line C: present.")
    said.ask(".T absent", "It would be - NEGATIVE.")
    said.ask("P-001", "P-001: same person as on C01.")
    said.ask(".read", "ok  C01  read: - NEGATIVE")
    said.ask(".leap", "! QUESTION: A colleague asks which lot is open. Say .answer and the answer.")
    said.ask(".answer L-100", "Noted.")
    said.ask(".leave", "Say .leave again to leave")
    said.say(".leave")

    assert said.wait() == 0
    whole = " ".join(" ".join(said.said).split())
    assert "C01 line T (SARS-CoV-2 antigen) was read as negative and was positive. Right:" in whole
    assert "P-002 came, and was not tested." in whole
    (read,) = [each for each in place.events() if isinstance(each, CartridgeRead)]
    assert [each.outcome for each in read.outcomes] == [Outcome.NEGATIVE]


def test_an_examination_in_lines_is_told_who_comes_and_never_what_is_due(
    lines: Callable[..., PlainLines],
) -> None:
    """The world goes on speaking; the program does not."""
    said = lines("--assist", "silent", asked="4:00")
    said.ask(".go 60", "The clock goes 60 times as fast.")
    said.ask("L-100", "ok  Lot L-100")
    said.ask(".start", "0 on the list.")
    said.ask("P-001", "1 on the list.")
    said.ask(".start", "Turn of P-001.")
    said.ask(".start", "C01 on the bench")
    said.ask("C01", "Say .done")
    said.ask(".done", "3 steps in one act.")
    said.until_said("! QUESTION: A colleague asks which lot is open.")
    said.end_of_input()

    assert said.wait() == 0
    before, _, debrief = "\n".join(said.said).partition("Debrief: Two at the window")
    assert "WAIT OVER" not in before
    assert "read both" not in before
    assert "C01 was left as it ran." in debrief


def test_a_rehearsal_in_lines_that_is_ended_from_outside_says_no_debrief(
    lines: Callable[..., PlainLines],
) -> None:
    """Nobody is there to be told; its journal keeps what was done."""
    said = lines()
    said.ask(".go", "The clock goes as in life.")
    said.process.send_signal(signal.SIGTERM)

    assert said.wait() == 0
    assert not [each for each in said.said if "Debrief" in each]
