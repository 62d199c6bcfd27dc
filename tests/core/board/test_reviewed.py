"""A supervisor names what is to be reviewed by its label or by its opaque id."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import at
from core.board.paper_bench import entered, run
from core.board.telling_bench import TellingBench
from readbell.core.board.fold import fold
from readbell.core.board.reviewed import A_MONTH, key_of, reviewed
from readbell.core.instant import DAY, Instant, Span, later

ENTERED = at("20:00")


@pytest.fixture
def made() -> TellingBench:
    """A cartridge C1 and two runs on paper: P1, and P2 that was entered a minute later."""
    made = TellingBench()
    made.label("C1")
    for key, label, when in (("paper-1", "P1", "20:00"), ("paper-2", "P2", "21:00")):
        event = replace(entered(run()), run=key, label=label, at=at(when))
        made.board = fold(made.board, event)
    return made


def key(made: TellingBench, named: str, now: Instant = ENTERED) -> str | None:
    """Return the opaque id of what `named` names."""
    found = reviewed(made.board, named, now)
    return None if found is None else key_of(found)


def test_a_cartridge_is_named_by_its_label_or_its_id(made: TellingBench) -> None:
    """The id is what a list shows of one whose label is in use again."""
    known = made.cartridge("C1").id

    assert key(made, "C1") == known
    assert key(made, known) == known


def test_a_run_on_paper_is_named_by_its_label_for_a_month(made: TellingBench) -> None:
    """After that a label may be anybody's, and only the id names it."""
    month = later(ENTERED, A_MONTH)

    assert Span(31 * DAY) == A_MONTH
    assert key(made, "P1") == "paper-1"
    assert key(made, "P2") == "paper-2"
    assert key(made, "P1", month) == "paper-1"
    assert key(made, "P1", later(month, Span(1))) is None
    assert key(made, "paper-1", later(month, Span(1))) == "paper-1"


def test_a_strange_name_names_nothing(made: TellingBench) -> None:
    """Neither a cartridge nor a run."""
    assert key(made, "C9") is None
    assert key(made, "C9", later(ENTERED, Span(2 * A_MONTH))) is None
