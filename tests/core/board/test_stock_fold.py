"""What the stock and the control samples keep of an event."""

from __future__ import annotations

from builders import START, Bench
from readbell.core.board.draft import Draft
from readbell.core.board.events import Ending, ProgramStopped
from readbell.core.board.stock_fold import note_for_samples


def test_an_event_that_asks_for_no_control_sample_changes_nothing() -> None:
    """Whatever is handed over by mistake leaves what is due as it was."""
    draft = Draft(Bench().board)
    before = draft.samples
    note_for_samples(draft, ProgramStopped(at=START, why=Ending.LEFT))
    assert draft.samples == before
