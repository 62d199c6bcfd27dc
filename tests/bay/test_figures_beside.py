"""The figures come from a program beside the board, and nobody who paints waits for it."""

from __future__ import annotations

import os
import sys
import threading
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from cli.past_bay import PastBay
from patience import PATIENCE_SECONDS
from readbell.bay.figures_beside import ENDED, FiguresBeside, Seen
from readbell.core.figures.view import Asked, By, CountFailed, Sheet, Stretch

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

RATES = Asked(
    sheet=Sheet.RATES,
    by=By.DAY,
    stretch=Stretch.ALL,
    wide=76,
    picture=None,
    plain_signs=False,
)


class Looking:
    """Somebody who looks, and is told when there is something else to see."""

    def __init__(self, *command: str, secret: str | None = None) -> None:
        self._told = threading.Condition()
        self.beside = FiguresBeside((sys.executable, *command), self._hear, secret)

    def _hear(self) -> None:
        with self._told:
            self._told.notify_all()

    def until(self, asked: Asked, holds: Callable[[Seen], bool]) -> Seen:
        """Look again and again until what is seen `holds`."""
        with self._told:
            assert self._told.wait_for(
                lambda: holds(self.beside.ask(asked)), timeout=PATIENCE_SECONDS
            ), self.beside.last
        return self.beside.last


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """A day on which two people were tested."""
    return PastBay().put(tmp_path / "bay.journal")


@pytest.fixture
def looking(journal: Path) -> Iterator[Looking]:
    """Somebody who looks at its figures."""
    made = Looking("-m", "readbell.cli.figures_feed", str(journal))
    yield made
    made.beside.rest()


def answers(asked: Asked) -> Callable[[Seen], bool]:
    """Say whether what is seen is the answer to `asked`."""
    return lambda seen: seen.answered is not None and seen.answered.asked == asked


def test_what_is_asked_is_answered_and_then_there_at_once(looking: Looking) -> None:
    """The first look starts the program; nobody waits in it."""
    assert looking.beside.last == Seen()
    assert looking.beside.ask(RATES) == Seen()
    seen = looking.until(RATES, answers(RATES))

    assert seen.answered is not None
    assert seen.answered.rows
    assert looking.beside.ask(RATES) is seen


def test_of_many_questions_in_a_row_the_last_is_answered(looking: Looking) -> None:
    """Whoever leafs through the tables does not wait for each of them."""
    sheets = [replace(RATES, sheet=each) for each in Sheet]
    for each in sheets:
        looking.beside.ask(each)
    seen = looking.until(sheets[-1], answers(sheets[-1]))

    assert seen.answered is not None
    assert seen.answered.asked == sheets[-1]


def test_while_something_newer_is_counted_the_older_stands(looking: Looking) -> None:
    """A page that goes blank with each key would be no page."""
    looking.until(RATES, answers(RATES))
    anew = replace(RATES, round=1)
    seen = looking.beside.ask(anew)
    assert seen.answered is not None
    assert seen.answered.asked == RATES
    looking.until(anew, answers(anew))


def test_when_nobody_looks_any_more_the_program_is_gone_and_the_next_look_starts_another(
    looking: Looking,
) -> None:
    """It holds what was counted of years, and names."""
    looking.until(RATES, answers(RATES))
    process = looking.beside._process
    assert process is not None
    looking.beside.rest()

    assert process.poll() is not None
    assert looking.beside.last == Seen()
    looking.beside.rest()
    looking.until(RATES, answers(RATES))


def test_a_journal_that_cannot_be_read_is_told_and_may_be_asked_for_again(tmp_path: Path) -> None:
    """In one sentence, and not over and over."""
    path = tmp_path / "gone.journal"
    made = Looking("-m", "readbell.cli.figures_feed", str(path))
    try:
        seen = made.until(RATES, lambda seen: isinstance(seen.state, CountFailed))
        assert made.beside.ask(RATES) is seen
        PastBay().put(path)
        again = replace(RATES, round=1)
        made.until(again, answers(again))
    finally:
        made.beside.rest()


@pytest.mark.parametrize("says", ["", "print('nonsense', flush=True)"])
def test_a_program_that_ends_before_its_time_leaves_a_sentence(says: str) -> None:
    """Killed by the system for want of memory, say; or something else altogether."""
    made = Looking("-c", f"import sys; sys.stdin.readline(); {says}")
    try:
        made.until(RATES, lambda seen: seen.state is ENDED)
    finally:
        made.beside.rest()


@pytest.mark.parametrize("fate", ["fail('the first')", "break"], ids=["says so", "ends"])
def test_what_was_asked_while_something_failed_is_asked_after_it(fate: str, tmp_path: Path) -> None:
    """Whoever leafed on would look at the failure of another table, and at no count of theirs."""
    gate = tmp_path / "gate"
    os.mkfifo(gate)
    code = f"""if True:
        import json, sys
        def fail(why):
            print(json.dumps({{"failed": {{"why": why}}}}), flush=True)
        for line in sys.stdin:
            if json.loads(line)["round"] == 1:
                fail("the second")
            else:
                open({str(gate)!r}).read()
                {fate}
    """
    second = replace(RATES, round=1)
    made = Looking("-c", code)
    try:
        made.beside.ask(RATES)
        made.beside.ask(second)
        gate.write_text("")
        made.until(second, lambda seen: seen.state == CountFailed(why="the second"))
    finally:
        made.beside.rest()


def test_a_program_that_cannot_be_started_is_no_crash() -> None:
    """The board goes on."""
    beside = FiguresBeside(("/nowhere/at/all",), lambda: None)

    beside.ask(RATES)
    assert beside.last.state == CountFailed(why="No such file or directory")
    beside.rest()


def test_what_opens_a_locked_journal_goes_through_the_pipe(tmp_path: Path) -> None:
    """And is no argument of a program, which others could read."""
    said = tmp_path / "said"
    code = f"import sys; open({str(said)!r}, 'w').write(sys.stdin.readline())"
    made = Looking("-c", code, secret="a long passphrase")  # noqa: S106  # made up
    try:
        made.until(RATES, lambda seen: seen.state is not None)
        assert said.read_text() == "a long passphrase\n"
    finally:
        made.beside.rest()
