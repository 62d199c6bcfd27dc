"""A real board on which planned work is done act by act: its own rules say what was in time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import NEGATIVE, START, Bench, private
from readbell.core.board.acts import RegisterPerson
from readbell.core.instant import Instant, Span, later
from readbell.core.plan.answer import Crew
from readbell.core.plan.bench import Bench as Before
from readbell.core.plan.bench import Hand
from readbell.core.plan.course import Around
from readbell.core.plan.hands_on import READING, exactly, usual_times
from readbell.core.plan.work import Work, work_of
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.assay.assay import Assay
    from readbell.core.plan.anew import Done

Deed = tuple[Instant, str, str]
"""When an act is confirmed, of which label, and its step."""


def usual(assay: Assay) -> Work:
    """Return the work of `assay` for hands that keep usual times exactly."""
    times = {key: exactly(each.usual) for key, each in usual_times(assay).items()}
    return work_of(assay, times=times, gloves=Span(0))


def idle_bench(hands: int, now: Instant = START) -> Before:
    """Return so many idle hands and nothing to do."""
    crew = tuple(Hand(name="", free=now, free_most=now) for _ in range(hands))
    return Before(hands=crew, tasks=())


def around(bench: Bench) -> Around:
    """Return the bay that a plan is kept in."""
    return Around(
        cartridges=tuple(bench.board.running.values()),
        assays={key: each.assay for key, each in bench.board.assays.items()},
        crew=Crew(gloves=Span(0)),
    )


def deeds_of(bench: Bench, played: Iterable[Done], first: int) -> list[Deed]:
    """Return the acts of what was played: each step is confirmed when it is done.

    Newcomers are called C and their number, from `first` on.
    """
    steps = {step.key: step.hands_on for step in bench.assay.steps}
    steps[READING] = bench.assay.reading.hands_on
    names: dict[str, str] = {}
    found = []
    for each in played:
        key = each.task.key[0]
        running = bench.board.cartridge(key)
        if running is None and key not in names:
            names[key] = f"C{first + len(names)}"
        at = each.begins
        for part in each.task.parts:
            at = later(at, steps[part])
            found.append((at, names[key] if running is None else running.label, part))
    return sorted(found)


def do(bench: Bench, deed: Deed) -> None:
    """Put one act on the board; it must be taken."""
    at, label, step = deed
    now = write_span(Span(at - START))
    person = f"X-{label}"
    if step == READING:
        bench.must(bench.read_act(NEGATIVE, label), now)
    elif step == "label":
        bench.must(RegisterPerson(by="op-1", person=private(person)), now)
        bench.must(bench.label_act(label, person), now)
    else:
        bench.must(bench.step_act(step, label), now)
