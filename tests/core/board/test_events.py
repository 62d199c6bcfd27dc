"""Words of the bay's own events are part of the record."""

from __future__ import annotations

from readbell.core.board.events import Ending, Mode, MuteReason


def test_words_of_the_record_never_change() -> None:
    """A journal written today is read by a later version of the program."""
    assert [str(each) for each in Mode] == ["live", "rehearsal"]
    assert [str(each) for each in Ending] == ["end-of-input", "signal", "scenario-ended", "left"]
    assert [str(each) for each in MuteReason] == [
        "conversation", "distress", "announcement", "false-alarm", "other",
    ]  # fmt: skip
