"""A day worked by hands that obey the next safe start: written down as a scenario.

The rule sees the board alone, as the record has it after each act. How long each
part takes is drawn within its bounds. What comes of the day is a scenario file, to be
played through a real bay on a simulated clock, which knows nothing of the rule.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from heapq import heappop, heappush
from typing import TYPE_CHECKING

from builders import NASAL, NEGATIVE, START, TODAY, Bench, private
from readbell.core.board.acts import RegisterPerson
from readbell.core.cartridge.acts import Aim, DoStep, Label, Read
from readbell.core.instant import Instant, Span, later
from readbell.core.plan.bench import FAR, Hand
from readbell.core.plan.bench import Bench as Hands
from readbell.core.plan.hands_on import READING
from readbell.core.plan.present import bench_now
from readbell.core.plan.tasks import tasks_of
from readbell.core.plan.turn import turn
from readbell.core.plan.way_out import keys_of
from readbell.core.plan.work import work_of

if TYPE_CHECKING:
    import random
    from collections.abc import Sequence

    from readbell.core.board.acts import Act
    from readbell.core.plan.bench import Key, Task
    from readbell.core.plan.way_out import Keys

SECONDS = 1_000.0


@dataclass(slots=True)
class Worker:
    """One operator, and what they are in the middle of."""

    name: str
    touched: str | None = None
    key: Key | None = None
    began: Instant = START
    task: Task | None = None
    left: list[str] = field(default_factory=list)


class ObedientDay:
    """Plays the day; `acts` is what they did, in the order of time.

    Args:
        arrivals: person and milliseconds from the start, in order.
        operators: at most op-1 and op-2.
    """

    def __init__(
        self,
        arrivals: Sequence[tuple[str, int]],
        operators: Sequence[str],
        draw: random.Random,
    ) -> None:
        self._bench = Bench(units=None)
        for person, _ in arrivals:
            if person not in self._bench.board.persons:
                self._bench.must(RegisterPerson(by="op-1", person=private(person)))
        self._queue = list(arrivals)
        self._work = work_of(NASAL)
        self._workers = [Worker(name) for name in operators]
        self._draw = draw
        self._agenda: list[tuple[Instant, int]] = [(START, each) for each in range(len(operators))]
        self._carried: tuple[Keys, ...] = ()
        self._started = 0
        self._of_cartridge: dict[str, str] = {}
        self.acts: list[str] = []

    def play(self) -> ObedientDay:
        """Work until nobody is left and everything was read."""
        while self._agenda:
            now, place = heappop(self._agenda)
            worker = self._workers[place]
            if worker.left:
                self._finish_part(worker, now)
            if worker.left:
                heappush(self._agenda, (later(now, self._lasts(worker.left[0])), place))
                continue
            worker.task = worker.key = None
            for each in sorted(range(len(self._workers)), key=lambda other: other != place):
                if self._workers[each].task is None:
                    self._ask(each, now)
        return self

    def _lasts(self, part: str) -> Span:
        times = next(
            each.hands for piece in self._work.pieces for each in piece.parts if each.key == part
        )
        return Span(self._draw.randint(times.least, times.most))

    def _ask(self, place: int, now: Instant) -> None:
        worker = self._workers[place]
        bench = self._seen(now)
        coming = self._queue[0] if self._queue else None
        chain: tuple[Task, ...] = ()
        if coming is not None and later(START, Span(coming[1])) <= now:
            chain = tasks_of(self._work, f"id-C{self._started + 1}", f"key-{coming[0]}", {})
        found = turn(bench, place, chain, now, self._carried)
        assert found.way.is_sure
        self._carried = (keys_of(found.way),)
        self._agenda = [each for each in self._agenda if each[1] != place]
        if found.task is None:
            at = found.at
            if coming is not None and later(START, Span(coming[1])) > now:
                at = min(at, later(START, Span(coming[1])))
            if at < FAR:
                heappush(self._agenda, (at, place))
            return
        if found.is_start:
            self._started += 1
            self._of_cartridge[chain[0].key[0]] = self._queue.pop(0)[0]
        worker.task, worker.key, worker.began = found.task, found.task.key, found.at
        worker.touched = found.task.person if found.task.touches else worker.touched
        worker.left = list(found.task.parts)
        heappush(self._agenda, (later(found.at, self._lasts(worker.left[0])), place))

    def _seen(self, now: Instant) -> Hands:
        """Return the bench: tasks from the record, hands as everybody at the bench sees them."""
        board = self._bench.board
        works = dict.fromkeys(board.assays, self._work)
        tasks = list(bench_now(board.running.values(), works, len(self._workers), now).bench.tasks)
        hands = []
        for worker in self._workers:
            task = worker.task
            if task is None:
                hands.append(
                    Hand(name=worker.name, free=now, free_most=now, touched=worker.touched)
                )
                continue
            if board.cartridge(task.key[0]) is None:
                # The device is not labelled yet: the record knows nothing of it.
                person = f"key-{self._of_cartridge[task.key[0]]}"
                tasks += tasks_of(self._work, task.key[0], person, {})[1:]
            hands.append(
                Hand(
                    name=worker.name,
                    free=max(now, later(worker.began, task.hands.least)),
                    free_most=max(now, later(worker.began, task.hands.most)),
                    on=task.key,
                    touched=worker.touched,
                )
            )
        in_hand = {worker.key for worker in self._workers}
        left = tuple(each for each in tasks if each.key not in in_hand)
        return Hands(hands=tuple(hands), tasks=left)

    def _finish_part(self, worker: Worker, now: Instant) -> None:
        assert worker.task is not None
        part, cartridge = worker.left.pop(0), worker.task.key[0]
        label, person = cartridge.removeprefix("id-"), self._of_cartridge[cartridge]
        aim = Aim(by=worker.name, cartridge=label, scanned=label, person=person)
        act: Act
        if part == "label":
            act = Label(aim=aim, new_id=cartridge, lot="L-100", today=TODAY)
            self._write(now, worker, label, "label", f'lot = "L-100"\nperson = "{person}"')
        elif part == READING:
            act = Read(aim=aim, bands=NEGATIVE)
            self._write(now, worker, label, "read", f'person = "{person}"')
        else:
            act = DoStep(aim=aim, step=part, new_specimen=f"{label}-specimen")
            self._write(now, worker, label, "step", f'step = "{part}"')
        self._bench.must(act, _after_start(now))

    def _write(self, now: Instant, worker: Worker, label: str, do: str, more: str) -> None:
        self.acts.append(
            f'[[act]]\nat = "{_after_start(now)}"\nby = "{worker.name}"\ndo = "{do}"\n'
            f'cartridge = "{label}"\n{more}\n'
        )


def _after_start(now: Instant) -> str:
    minutes, rest = divmod(now - START, 60_000)
    return f"{minutes}:{rest // 1000:02d}.{rest % 1000:03d}"


def scenario_of(
    day: ObedientDay, arrivals: Sequence[tuple[str, int]], operators: Sequence[str]
) -> str:
    """Return the day as a scenario file."""
    parts = [
        (
            'title = "A day of hands that obey"\nstarts = 2026-03-29T00:00:00+00:00\n'
            'timezone = "UTC"\nassay = "respiratory-antigen-nasal"\n'
        )
    ]
    parts += [f'[[operator]]\nid = "{each}"\n' for each in operators]
    parts.append('[[lot]]\nnumber = "L-100"\nexpires = 2026-12-31\n')
    parts += [f'[[person]]\nid = "{person}"\n' for person, _ in arrivals]
    return "\n".join([*parts, *day.acts])
