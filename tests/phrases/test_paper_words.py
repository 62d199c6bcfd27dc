"""Runs on paper in words: what was entered, and what stands against relying on it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import Bench
from core.board.paper_bench import LATER, run
from readbell.core.paper.events import PaperRunEntered
from readbell.phrases.paper_words import tell_of_paper

if TYPE_CHECKING:
    from phrases.conftest import Properly
    from readbell.core.paper.acts import EnterPaperRun


def told(act: EnterPaperRun, bench: Bench) -> str:
    """What is said of it."""
    (event,) = bench.must(act, LATER)
    assert isinstance(event, PaperRunEntered)
    return tell_of_paper(event, bench.board)


def test_who_states_its_times_and_who_vouches_is_said() -> None:
    """And that nobody timed it."""
    assert told(run(), Bench()) == (
        "C31  run on paper entered: - NEGATIVE. Times stated by op-1 with op-2 as witness, not timed."
    )


@pytest.mark.parametrize(
    ("state", "words"),
    [("held", "its lot is on hold"), ("expired", "its lot is out of date"), ("gone", "no unit")],
)
def test_what_stands_against_its_lot_is_said(state: str, words: str, properly: Properly) -> None:
    """It is entered all the same, and a supervisor is asked."""
    bench = Bench(units=1 if state == "gone" else 20)
    if state == "held":
        bench.must(bench.hold_act())
    if state == "gone":
        bench.label()
    said = told(replace(run(), today=date(2027, 1, 1)) if state == "expired" else run(), bench)
    assert f"Not in order: its lot {words.removeprefix('its lot ')}" in said or words in said
    assert said.endswith("Ask a supervisor before it is relied on.")
    assert properly(said) == 4
