"""However a bay is told to end, it lays its work down cleanly and says nothing untoward."""

from __future__ import annotations

import contextlib
import re
import signal
import time
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from readbell.core.board.events import Ending, ProgramStopped
from readbell.journal.errors import JournalError
from ui.terminal_for_tests import now

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import BayProcess, Reading, Start, Verified

MANY = 1_500
SIGNALS = ["SIGTERM", "SIGINT", "SIGHUP"]


def wait_for(what: Callable[[], bool]) -> None:
    """Wait until something has come true in another process."""
    deadline = now() + PATIENCE_SECONDS
    while not what():
        if now() > deadline:
            pytest.fail(f"It did not come true in {PATIENCE_SECONDS:g} seconds.")
        time.sleep(0.05)


def mark_of(events_in: Reading, journal: Path) -> Ending | None:
    """Why the last run ended, by its clean mark, or None if it left none."""
    last = events_in(journal)[-1]
    return last.why if isinstance(last, ProgramStopped) else None


def kinds(events_in: Reading, journal: Path) -> set[str]:
    """The kinds of event that stand in a journal; none while it is being made."""
    with contextlib.suppress(JournalError):
        return {type(event).__name__ for event in events_in(journal)}
    return set()


def persons(bay: BayProcess) -> None:
    """Have many persons registered, without waiting for the answers."""
    bay.say(
        *({"do": "register-person", "id": f"P-{number}", "by": "op-1"} for number in range(MANY))
    )


def test_the_end_of_its_input_ends_a_bay(
    start_bay: Start, tmp_path: Path, events_in: Reading
) -> None:
    """Every line is answered first; then comes the mark."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal)
    bay.say({"do": "register-operator", "id": "op-1"})
    bay.end_of_input()

    assert bay.wait() == 0
    assert [each["answer"] for each in bay.rest() if "answer" in each] == ["register-operator"]
    assert mark_of(events_in, journal) is Ending.END_OF_INPUT
    assert bay.complaints == []


@pytest.mark.parametrize("name", SIGNALS)
def test_a_signal_ends_a_bay(
    start_bay: Start, tmp_path: Path, events_in: Reading, name: str
) -> None:
    """Closed terminal, shutdown, Ctrl+C: one end for all, with its mark, at once."""
    if not hasattr(signal, name):
        pytest.skip("this system has no such signal")
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal)
    bay.line()
    bay.process.send_signal(getattr(signal, name))

    assert bay.wait() == 0
    assert mark_of(events_in, journal) is Ending.SIGNAL
    assert bay.complaints == []


def test_a_signal_amid_acts_ends_a_bay_without_a_complaint(
    start_bay: Start, tmp_path: Path, events_in: Reading, board_in: Verified
) -> None:
    """What was acknowledged is there; what was not answered is simply not done."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal)
    bay.must(do="register-operator", id="op-1")
    persons(bay)
    for _ in range(20):
        assert bay.answer()["accepted"]
    bay.process.send_signal(signal.SIGTERM)

    assert bay.wait() == 0
    acknowledged = 20 + sum(each.get("accepted", False) for each in bay.rest())
    assert len(board_in(journal).persons) >= acknowledged
    assert mark_of(events_in, journal) is Ending.SIGNAL
    assert bay.complaints == []


def test_two_signals_are_no_worse_than_one(
    start_bay: Start, tmp_path: Path, events_in: Reading
) -> None:
    """Impatient people press twice."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal)
    bay.line()
    bay.process.send_signal(signal.SIGTERM)
    bay.process.send_signal(signal.SIGINT)

    assert bay.wait() == 0
    assert mark_of(events_in, journal) is Ending.SIGNAL
    assert bay.complaints == []


def test_a_signal_ends_a_bay_whose_output_nobody_reads(
    start_bay: Start, tmp_path: Path, events_in: Reading
) -> None:
    """A screen that hangs must not keep a computer from shutting down in order."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal, output=False)
    bay.say(*[b"nonsense"] * 3 * MANY)
    bay.say({"do": "register-operator", "id": "op-1"})
    wait_for(lambda: "OperatorRegistered" in kinds(events_in, journal))
    bay.process.send_signal(signal.SIGTERM)

    assert bay.wait() == 0
    assert mark_of(events_in, journal) is Ending.SIGNAL


def test_a_bay_whose_reader_has_gone_leaves_a_whole_journal_and_no_complaint(
    start_bay: Start, tmp_path: Path, board_in: Verified
) -> None:
    """`readbell bay | head` is a slip, not a catastrophe."""
    journal = tmp_path / "bay.journal"
    bay = start_bay(journal, output=False)
    assert bay.process.stdout is not None
    bay.process.stdout.readline()
    bay.process.stdout.close()
    bay.say({"do": "register-operator", "id": "op-1"}, {"do": "board"}, {"do": "board"})
    bay.end_of_input()
    bay.wait()

    assert board_in(journal).founded is not None
    assert bay.complaints == []


def test_the_next_start_says_that_the_last_end_was_clean(start_bay: Start, tmp_path: Path) -> None:
    """No warning without a reason."""
    journal = tmp_path / "bay.journal"
    first = start_bay(journal)
    first.end_of_input()
    first.wait()
    again = start_bay(journal)

    # However long it took to start it again.
    assert re.fullmatch(r"Back after \d+:\d\d\. 0 running\.", again.line()["says"])
