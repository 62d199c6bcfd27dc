"""What is held and why, in words that a supervisor works through."""

from __future__ import annotations

from datetime import UTC

from builders import FAINT, NEGATIVE, Bench, at
from readbell.core.board.fold import fold
from readbell.core.cartridge.looks import lapse
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.review_words import say_mark, say_read_by, what_is_held

FACE = ClockFace(zone=UTC)


def held(bench: Bench) -> None:
    """Hold C1."""
    event = ReadingHeld(
        at=at("3:00"), by=None, cartridge="id-C1", reasons=(HoldReason.NOT_COMPETENT,)
    )
    bench.board = fold(bench.board, event)


def test_nothing_held_is_said_too() -> None:
    """An empty answer could be a fault."""
    assert list(what_is_held(Bench().board, FACE)) == ["Nothing is held for review."]


def test_a_held_reading_says_why_and_by_whom_it_was_read() -> None:
    """Whoever looked early, where nobody read it in its window."""
    bench = Bench()
    bench.to_well()
    held(bench)
    assert say_read_by(bench.cartridge(), bench.board, FACE) == "Not read"
    bench.must(bench.look_act(FAINT), "6:00")
    assert say_read_by(bench.cartridge(), bench.board, FACE) == "Seen early by op-1 at 00:59:20"
    bench.must(bench.read_act(NEGATIVE, by="op-2"), "18:00")
    assert list(what_is_held(bench.board, FACE)) == [
        (
            "C1  HELD for review: read by somebody who is not cleared for this assay. "
            "Read by op-2 at 01:11:20."
        )
    ]
    assert say_mark(bench.cartridge()) == "held"


def test_what_lapsed_unseen_is_not_listed() -> None:
    """There is nothing to be released."""
    bench = Bench()
    bench.to_well()
    held(bench)
    bench.board = fold(bench.board, lapse(bench.cartridge(), at("22:30.001")))
    assert list(what_is_held(bench.board, FACE)) == ["Nothing is held for review."]
    assert say_mark(Bench().label()) == ""
