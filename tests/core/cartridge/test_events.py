"""Codes of the record are stable words, and never finished sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.core.cartridge.events import (
    AlertKind,
    How,
    ReadingKind,
    SlipReason,
    SubjectKind,
    TakeBackReason,
    VoidReason,
)
from readbell.core.reading.bands import Strength, Unreadable
from readbell.core.reading.interpretation import Outcome

if TYPE_CHECKING:
    from enum import StrEnum

# Words of the headless contract and of the coded reasons a record holds.
WORDS: dict[type[StrEnum], list[str]] = {
    AlertKind: ["wait-over", "overdue", "early-look", "read-now", "closing", "lapsed"],
    How: ["scanned", "typed", "picked"],
    Outcome: ["positive", "negative", "invalid", "withheld"],
    ReadingKind: ["early", "window", "second"],
    SlipReason: ["pressed-wrong-key", "took-line-for-another", "other"],
    Strength: ["absent", "faint", "clear"],
    SubjectKind: ["patient", "control-sample", "quality-sample"],
    TakeBackReason: ["pressed-too-early", "another-cartridge", "not-done", "other"],
    Unreadable: ["background", "smear", "flow-stopped", "flooded", "damaged"],
    VoidReason: [
        "dropped", "spilled", "too-few-drops", "wrong-buffer", "declined", "left",
        "insufficient-specimen", "label-error", "bad-device", "time-unsure", "other",
    ],
}  # fmt: skip


@pytest.mark.parametrize(("kind", "words"), WORDS.items(), ids=[kind.__name__ for kind in WORDS])
def test_words_of_the_record_never_change(kind: type[StrEnum], words: list[str]) -> None:
    """A journal written today is read by a later version, and by other programs."""
    assert [str(each) for each in kind] == words
