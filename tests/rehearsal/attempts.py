"""Attempts at a scenario in this process: a real bay and journal, a clock that only leaps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.bay_thread import BayThread
from readbell.bay.rehearsal_bench import RehearsalBench
from readbell.core.instant import Instant
from readbell.core.practice.assist import Assist
from readbell.rehearsals import Attempt, load_script, steered_clock
from readbell.ui.glyphs import UNICODE
from readbell.ui.look import Look
from readbell.ui.page import compose
from readbell.ui.rehearsal_front import RehearsalFront

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.bay.bay import Bay
    from readbell.hand.given import Given
    from readbell.ui.ink import Line

HEAD = """\
title = "Two at the window"
starts = 2026-03-29T00:40:00+00:00
timezone = "Europe/London"
assay = "respiratory-antigen-nasal"
goal = "Read both in their windows."
teaching = "A faint line is a line."
[[operator]]
id = "op-1"
[[lot]]
number = "L-100"
expires = 2026-12-31
"""
NEGATIVE = '[{0}.bands]\ntest = "never"\n'
FAINT = '[{0}.bands]\ntest = {{ from = "6:30", strength = "faint" }}\n'
CLEAR = '[{0}.bands]\ntest = {{ from = "2:30", strength = "clear" }}\n'
NO_CONTROL = '[{0}.bands]\ncontrol = "never"\n'
STRIPS = {"negative": NEGATIVE, "faint": FAINT, "clear": CLEAR, "no control": NO_CONTROL}
LOOK = Look(glyphs=UNICODE)


def person(name: str, arrives: str = "0:00", bands: str = NEGATIVE) -> str:
    """Return the table of somebody who comes."""
    return f'[[person]]\nid = "{name}"\narrives = "{arrives}"\n{bands.format("person")}'


class Sitting:
    """Somebody at the keys of one attempt; what is given is taken at once."""

    def __init__(
        self,
        scenario: Path,
        journal: Path,
        assist: Assist = Assist.FULL,
        trainee: str | None = None,
        *,
        takes_time: bool = False,
    ) -> None:
        self.script = load_script(scenario)
        self.journal = journal
        self.clock = steered_clock(self.script)
        attempt = Attempt(self.script, journal, self.clock, assist, trainee=trainee, sounds=False)
        self.thread = BayThread(lambda: attempt.bay(lambda _: None))
        self.thread.start()
        starts = Instant(self.script.scenario.starts)
        self.front = RehearsalFront(
            self.thread,
            attempt.desk(),
            clock=self.clock,
            bench=RehearsalBench(self.script.scenario, starts),
            assist=assist,
            starts=starts,
            takes_time=takes_time,
        )

    def give(self, *given: Given) -> str:
        """Give all of it, one after another, at the speed of life; return what was said last."""
        for each in given:
            self.front.process(each)
            self.settle()
        return self.said

    def settle(self) -> None:
        """Have everything announced that has fallen due."""

        async def announce(bay: Bay) -> Instant | None:
            return await bay.announce()

        self.thread.ask(announce)

    def at(self, passed: int, *given: Given) -> str:
        """Give all of it `passed` milliseconds after the start, to the millisecond."""
        self.clock.leap(passed)
        self.settle()
        return self.give(*given)

    @property
    def said(self) -> str:
        """What was said last."""
        said = self.front.present().hand.said
        return "" if said is None else said.words

    def page(self, width: int = 120, height: int = 40) -> tuple[Line, ...]:
        """Return the page above the bench."""
        return compose(self.front.present(), LOOK, width, height).lines

    def bench_words(self, width: int = 120, height: int = 40) -> str:
        """Return the bench as it is read without colour."""
        from readbell.ui.bench_band import band

        stand, bench = self.front.on_bench(self.front.present())
        made = band(stand, bench, UNICODE, width, height)
        return "\n".join(each.text.rstrip() for each in made.lines)

    def leave(self) -> None:
        """End the attempt cleanly."""
        self.thread.stop()
