"""The bench as the record has it now: what is left of each cartridge, and which hands are free."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.assay.step import Limit
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.stage import ENDS
from readbell.core.instant import Instant, Span, later
from readbell.core.made_later import dataclass
from readbell.core.plan.bench import Bench, Hand
from readbell.core.plan.tasks import Known, tasks_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.plan.bench import Break, Task
    from readbell.core.plan.work import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """The bench of a bay, and what could not be counted."""

    bench: Bench
    left_out: tuple[Cartridge, ...]
    """Their clock is unsure: nobody knows when they are to be read."""


def bench_now(
    cartridges: Iterable[Cartridge],
    works: Mapping[str, Work],
    hands: int,
    now: Instant,
    *,
    breaks: Mapping[str, Sequence[Break]] | None = None,
) -> Taken:
    """Return what lies before the hands of a bay at `now`.

    Who did the last step of a piece that is not finished is taken to be in the
    middle of it. If that takes longer than it ever should, what is left is taken to
    begin only now: the rule then goes on from how things really are.

    Args:
        cartridges: those that run.
        works: by the content hash of the assay.
        hands: how many are at work.
        now: the instant.
        breaks: by the key of an operator, when they will not be at work.
    """
    running = [each for each in cartridges if stage_at(each, now) not in ENDS]
    names = at_work(running)[:hands]
    pauses = breaks or {}
    names += [each for each in pauses if each not in names][: hands - len(names)]
    names += [""] * (hands - len(names))
    in_hand = _in_hand(running, names)
    tasks: list[Task] = []
    busy: dict[str, tuple[Task, Instant, Instant]] = {}
    left_out = []
    for each in running:
        chain = _left_of(each, works[each.labelled.assay], now)
        if each.unsure and chain:
            left_out.append(each)
            continue
        by = in_hand.get(each.id)
        if chain and by is not None:
            first, *chain = chain
            busy[by] = (first, *_ends(first, each, now))
        tasks += chain
    touched = _touched(running)
    crew = tuple(
        _hand(name, busy.get(name), touched.get(name), now, pauses.get(name, ())) for name in names
    )
    tasks = [_perhaps_begun(task, now) for task in tasks]
    return Taken(bench=Bench(hands=crew, tasks=tuple(tasks)), left_out=tuple(left_out))


def _perhaps_begun(task: Task, now: Instant) -> Task:
    """Return `task` as it may be: a hand may have turned to it, and the record not know yet.

    Then it may end at any moment; at the latest as if it were begun now.
    """
    if task.ties or task.ready > now:
        return task
    return replace(task, hands=replace(task.hands, least=Span(0)))


def _hand(
    name: str,
    busy: tuple[Task, Instant, Instant] | None,
    touched: str | None,
    now: Instant,
    breaks: Sequence[Break],
) -> Hand:
    if busy is None:
        return Hand(name=name, free=now, free_most=now, touched=touched, breaks=tuple(breaks))
    task, soonest, latest = busy
    return Hand(
        name=name,
        free=soonest,
        free_most=latest,
        on=task.key,
        touched=task.person if task.touches else touched,
        breaks=tuple(breaks),
    )


def at_work(running: Iterable[Cartridge]) -> list[str]:
    """Return the keys of those who did something to what runs, whoever was the last in front."""
    latest: dict[str, Instant] = {}
    for each in running:
        for mark in each.marks:
            latest[mark.by] = max(mark.done.said, latest.get(mark.by, Instant(0)))
    return sorted(latest, key=lambda by: -latest[by])


def _in_hand(running: Sequence[Cartridge], names: Sequence[str]) -> dict[str, str]:
    """Return who is in the middle of which cartridge: of each operator the one acted on last."""
    last: dict[str, Cartridge] = {}
    for each in running:
        by = each.last_mark.by
        if by in names and (by not in last or _said(last[by]) < _said(each)):
            last[by] = each
    return {each.id: by for by, each in last.items() if _is_mid_piece(each)}


def _said(cartridge: Cartridge) -> tuple[Instant, int]:
    return cartridge.last_mark.done.said, cartridge.ordinal


def _is_mid_piece(cartridge: Cartridge) -> bool:
    """Say whether the next step follows the last one without a pause."""
    step = cartridge.next_step
    return step is not None and all(
        wait.least == 0 for _, wait in cartridge.assay.waits_ending_at(step.key)
    )


def _touched(running: Sequence[Cartridge]) -> dict[str, str]:
    """Return whose specimen each operator touched last, of what runs."""
    found: dict[str, tuple[Instant, str]] = {}
    touching: dict[str, set[str]] = {}
    for each in running:
        key = each.labelled.assay
        if key not in touching:
            touching[key] = {step.key for step in each.assay.steps if step.touches_specimen}
        for mark in each.marks:
            if mark.step in touching[key] and mark.done.said >= found.get(mark.by, (0, ""))[0]:
                found[mark.by] = (mark.done.said, each.labelled.subject)
    return {by: subject for by, (_, subject) in found.items()}


def _left_of(cartridge: Cartridge, work: Work, now: Instant) -> list[Task]:
    """Return what is left to do; nothing where a firm limit has passed, for it can only be void."""
    done = {
        mark.step: Known(earliest=mark.done.earliest, latest=mark.done.latest)
        for mark in cartridge.marks
    }
    lost = []
    # With the specimen on the well no wait runs: most cartridges of a full bay are there.
    for wait in cartridge.running_waits if cartridge.next_step is not None else ():
        if wait.limit is not None and wait.limit < now:
            step = cartridge.assay.step(wait.step)
            assert step is not None  # noqa: S101  # a wait is begun by a step of its assay
            assert step.wait is not None  # noqa: S101  # it is that wait
            if step.wait.most_is is Limit.FIRM:
                return []
            lost.append(step.wait.until)
    return list(tasks_of(work, cartridge.id, cartridge.labelled.subject, done, lost=lost))


def _ends(task: Task, cartridge: Cartridge, now: Instant) -> tuple[Instant, Instant]:
    """Return between which instants the piece ends that somebody is in the middle of."""
    done = cartridge.last_mark.done
    latest = later(done.latest, task.hands.most)
    if latest < now:
        latest = later(now, task.hands.most)
    return max(now, later(done.earliest, task.hands.least)), latest
