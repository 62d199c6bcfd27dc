"""The bench of a rehearsal in lines: what eyes and ears would tell, for whoever has no screen.

Of a strip it says how much colour there is at each mark, and never what that comes to: the
words of a reading are for whoever reads it to find.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.practice.assist import Assist
from readbell.core.reading.bands import Unreadable
from readbell.core.rehearsal.virtual_cartridge import Shade
from readbell.hand.doing import Judging
from readbell.phrases.bench_words import (
    COVERED,
    KINDS,
    OVER,
    say_asked,
    say_boxes,
    say_goal,
    say_good,
    say_interruption,
    say_teaching,
    say_waiting,
    say_written,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.bay.rehearsal_bench import BrokenIn, Device, OnBench
    from readbell.hand.doing import Doing
    from readbell.ui.bench_band import Stand

COLOURS: dict[Shade, str] = {
    Shade.ABSENT: "no colour",
    Shade.VERY_FAINT: "a breath of colour",
    Shade.FAINT: "weak colour",
    Shade.CLEAR: "strong colour",
}
SPOILT: dict[Unreadable, str] = {
    Unreadable.BACKGROUND: "the whole field is dark",
    Unreadable.SMEAR: "a smear lies over the marks",
    Unreadable.FLOW_STOPPED: "the fluid stands still before it has come to the end",
    Unreadable.FLOODED: "fluid stands over all of it",
    Unreadable.DAMAGED: "a crack runs through it",
}
NOTHING_CHOSEN = "No cartridge is looked at: scan one, or say .choose and its label."
THOUSANDTHS, TENTHS = 1000, 10


@dataclass(frozen=True, slots=True)
class Heard:
    """What was told last, so that only what is new is told again."""

    waiting: str = ""
    calls: frozenset[int] = frozenset()
    """Numbers of the interruptions that wait."""
    boxes: str = ""
    device: tuple[str, ...] = ()
    looks_at: tuple[str, str] | None = None
    """The cartridge whose form is open, and what for: its strip was told."""


def began_aloud(stand: Stand) -> Iterator[str]:
    """Yield what is to be brought about; whoever is to find it alone is not told."""
    helps = stand.assist is Assist.FULL
    yield say_goal(stand.goal if helps else "")
    if helps and stand.teaching:
        yield say_teaching(stand.teaching)


def bench_aloud(bench: OnBench, stand: Stand) -> Iterator[str]:
    """Yield all that is to be seen and heard now."""
    yield from (_broken_in(each) for each in _calls(bench))
    yield _waiting(bench)
    yield _boxes(bench)
    if bench.device is None:
        yield NOTHING_CHOSEN
    else:
        yield " ".join(_device(bench.device))
        yield strip_aloud(bench.device, stand)


def strip_aloud(device: Device, stand: Stand) -> str:
    """Return how the strip looks, mark by mark from the left; the drops fall at its right end."""
    if stand.covers:
        return COVERED
    drawn = device.drawn
    shades = (Shade.CLEAR if drawn.control else Shade.ABSENT, *(each for _, each in drawn.lines))
    marks = zip(device.marks, shades, strict=True)
    seen = "; ".join(f"at {mark} {COLOURS[shade]}" for mark, shade in marks)
    spoilt = "" if drawn.spoilt is None else f" But {SPOILT[drawn.spoilt]}."
    runs = ""
    if drawn.front is not None:
        tenths = drawn.front * TENTHS // THOUSANDTHS
        runs = f" The fluid still runs: {tenths} tenths of the way."
    return f"Strip of {device.label}: {seen}.{spoilt}{runs}"


def newly_aloud(
    told: Heard, bench: OnBench, stand: Stand, doing: Doing
) -> tuple[Heard, tuple[str, ...]]:
    """Return what is to be told that was not, and what has been told then."""
    calls = _calls(bench)
    lines = [_broken_in(each) for each in calls if each.number not in told.calls]
    waiting, boxes = _waiting(bench), _boxes(bench)
    lines += [new for new, old in ((waiting, told.waiting), (boxes, told.boxes)) if new != old]
    device = () if bench.device is None else tuple(_device(bench.device))
    if device and device != told.device:
        lines.append(" ".join(device))
    looks_at = (doing.cartridge, doing.purpose) if isinstance(doing, Judging) else None
    if bench.device is not None and looks_at is not None and looks_at != told.looks_at:
        lines.append(strip_aloud(bench.device, stand))
    numbers = frozenset(each.number for each in calls)
    return Heard(waiting, numbers, boxes, device, looks_at), tuple(lines)


def _calls(bench: OnBench) -> tuple[BrokenIn, ...]:
    """Return all that broke in and waits; `.answer` goes to the first of it."""
    return () if bench.call is None else (bench.call, *bench.behind)


def _waiting(bench: OnBench) -> str:
    if bench.is_over:
        return OVER
    return say_waiting([[each.words for each in together] for together in bench.waiting])


def _boxes(bench: OnBench) -> str:
    return say_boxes([(each.number, each.expires) for each in bench.boxes], bench.badges)


def _broken_in(call: BrokenIn) -> str:
    return f"! {KINDS[call.interruption.kind]}: {say_interruption(call.interruption)}"


def _device(device: Device) -> Iterator[str]:
    """Yield what is to be seen of a device beside its strip, each a sentence."""
    papers = None if device.papers is None else device.papers.words
    said = (
        say_written(device.label, device.written),
        say_good(device.expires),
        device.pouch,
        say_asked(papers),
    )
    yield from (f"{each}." for each in said if each)
