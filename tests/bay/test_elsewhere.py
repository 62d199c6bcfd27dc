"""Who comes second is told who was first, where and when; whoever was not second is told nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from bay.two_stations import Site
from builders import START
from journal.samples import envelope
from readbell.bay.elsewhere import DoneElsewhere
from readbell.bay.site_time import time_zone
from readbell.core.board.board import Board
from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.acts import Aim, Void
from readbell.core.cartridge.events import CartridgeLapsed, VoidReason
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Elsewhere, Refusal, RefusalCode
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.refusals import say_refusal, tried

if TYPE_CHECKING:
    from pathlib import Path


def lapsed(cartridge: str) -> CartridgeLapsed:
    """Return that nobody read `cartridge`."""
    return CartridgeLapsed(at=START, cartridge=cartridge, outcomes=(), outcome=Outcome.INVALID)


def void(label: str) -> Void:
    """Return the act that gives up what bears `label`."""
    return Void(aim=Aim(by="op-1", cartridge=label), reason=VoidReason.DROPPED)


def test_nobody_did_a_lapse() -> None:
    """It is told where it was seen, and by no name."""
    done = DoneElsewhere()
    done.note(envelope(lapsed("key-1")))

    found = done.told(
        Refusal(code=RefusalCode.ALREADY_ENDED), void("C1"), Board(labels={"C1": "key-1"})
    )

    assert found.elsewhere == Elsewhere(station="bench-1", kind="cartridge-lapsed", by="", at=START)


@pytest.mark.parametrize(
    ("refusal", "labels"),
    [
        pytest.param(Refusal(code=RefusalCode.WRONG_PERSON), {"C1": "key-1"}, id="another reason"),
        pytest.param(
            Refusal(code=RefusalCode.OUT_OF_ORDER, due=START), {"C1": "key-1"}, id="a wrong time"
        ),
        pytest.param(Refusal(code=RefusalCode.ALREADY_ENDED), {"C1": "key-2"}, id="another one"),
        pytest.param(Refusal(code=RefusalCode.ALREADY_ENDED), {}, id="one that nobody knows"),
    ],
)
def test_what_has_nothing_to_do_with_it_is_told_as_ever(
    refusal: Refusal, labels: dict[str, str]
) -> None:
    """Nobody is blamed for what they did not do."""
    done = DoneElsewhere()
    done.note(envelope(lapsed("key-1")))

    assert done.told(refusal, void("C1"), Board(labels=labels)) is refusal


def test_whoever_went_on_here_was_not_second() -> None:
    """What the other station did before that explains nothing."""
    done = DoneElsewhere()
    done.note(envelope(lapsed("key-1")))
    done.forget(["key-1", "key-2"])
    refusal = Refusal(code=RefusalCode.ALREADY_ENDED)

    assert done.told(refusal, void("C1"), Board(labels={"C1": "key-1"})) is refusal


def test_no_more_is_remembered_than_a_shift_has() -> None:
    """A program that runs for weeks must not grow by it."""
    done = DoneElsewhere(kept=2)
    for key in ("key-1", "key-2", "key-1", "key-3"):
        done.note(envelope(lapsed(key)))
    refusal = Refusal(code=RefusalCode.ALREADY_ENDED)

    told = [
        done.told(refusal, void("C"), Board(labels={"C": key})).elsewhere is not None
        for key in ("key-1", "key-2", "key-3")
    ]

    assert told == [True, False, True]


async def test_a_strip_that_was_read_at_the_bench_is_told_so_at_the_window(tmp_path: Path) -> None:
    """ "C1 was read by op-1 at station bench at 13:43:40": who, where and when, and what to do."""
    site = Site(folder=tmp_path)
    try:
        window = await site.open("window")
        await window.work.prepare()
        bench = await site.open("bench", window.work.clock)
        await window.follow()
        await window.work.to_well()
        await bench.follow()
        await site.advance("15:00")
        await bench.work.must(bench.work.read())
        entry = Entry(do=Do.READ, by="op-2", cartridge="C1", control=True, test=None)

        answer = await window.work.enter(window.work.read())

        assert answer.refusal is not None
        assert answer.refusal.code is RefusalCode.ALREADY_READ
        face = ClockFace(zone=time_zone("UTC"))
        words = say_refusal(answer.refusal, tried(entry, answer.at), face)
        at = face.time(answer.at)
        assert words == (
            f"C1 was read by op-1 at station bench at {at}, and a reading stays. "
            "Only a supervisor amends it, with a reason."
        )
    finally:
        await site.close()


def test_what_else_was_first_goes_before_the_reason() -> None:
    """The sentence that says what to do now is the same as ever."""
    first = Elsewhere(station="bench", kind="step-done", by="op-2", at=START)
    refusal = Refusal(code=RefusalCode.OUT_OF_ORDER, subject="Take the swab", elsewhere=first)
    entry = Entry(do=Do.STEP, by="op-1", cartridge="C1", step="buffer")
    face = ClockFace(zone=time_zone("UTC"))

    words = say_refusal(refusal, tried(entry, START), face)

    assert words == (
        f"C1 was worked on by op-2 at station bench at {face.time(START)}. "
        "That is not the turn of C1. Next: Take the swab."
    )
