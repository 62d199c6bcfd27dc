"""From the label to the drops: what each step of a plain bay must come to."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from typing import TYPE_CHECKING

from machine.plain_cartridge import Cartridge, Done
from machine.plain_parts import DAY
from machine.plain_people import People
from machine.plain_stock import Stock

if TYPE_CHECKING:
    from collections.abc import Callable

    from machine.plain_parts import Aim, Code


@dataclass
class Steps(Stock, People):
    """A cartridge is begun, worked on, given up, or said to have been worked on before."""

    def label(self, aim: Aim, number: str) -> Code:
        """Start a cartridge."""
        if aim.by not in self.operators:
            return "unknown-operator"
        if aim.label in self.cartridges:
            return "label-in-use"
        if aim.scanned not in (None, aim.label):
            return "wrong-cartridge"
        if aim.person is None or aim.person not in self.persons:
            return "unknown-person"
        lot = self.lots.get(number)
        if lot is None:
            return "unknown-lot"
        if (code := lot.refuse(self.today)) is not None:
            return code
        if (code := self.refuse_to_begin(aim.person, lot.assay.id)) is not None:
            return code
        same = [
            each
            for each in self.cartridges.values()
            if each.person == aim.person and each.assay.id == lot.assay.id
        ]
        failed = [each.label for each in same if each.asks_for_repeat(self.now)]
        now = self.now
        midnight = now - self.clocks.wall % DAY
        self.cartridges[aim.label] = Cartridge(
            label=aim.label,
            person=aim.person,
            assay=lot.assay,
            place=len(self.cartridges) + 1,
            done=[Done(lot.assay.steps[0], now, now, now)],
            repeats=failed[-1] if failed else None,
            warned=sum(each.is_read_invalid for each in same) >= 2,
            second_today=any(
                each.done[0].said >= midnight and not each.asks_for_repeat(now) for each in same
            ),
            lot=number,
            begun_on_the_wall=now + self.moved,
        )
        self.new_specimen.discard(aim.person)
        self.waits = [each for each in self.waits if each != aim.person]
        self.gone.pop(aim.person, None)
        lot.used += 1
        self._stock(number)
        return None

    def on_cartridge(self, aim: Aim, what: str, judge: Callable[[Cartridge], Code]) -> Code:
        """Make sure of operator, cartridge and person, and that it has not ended; then judge."""
        if aim.by not in self.operators:
            return "unknown-operator"
        found = self.cartridges.get(aim.label)
        if found is None:
            return "unknown-cartridge"
        if aim.scanned not in (None, aim.label):
            return "wrong-cartridge"
        if aim.person not in (None, found.person):
            return "wrong-person"
        stage = found.stage(self.now)
        if stage == "read" and what != "correct":
            return "already-read"
        if stage == "lapsed" and what in ("look", "read"):
            return "window-closed"
        if stage in ("lapsed", "void"):
            return "already-ended"
        code = judge(found)
        if found.ended:
            self.heard.pop(found.label, None)
        return code

    def do_steps(
        self, found: Cartridge, steps: list[str], said: int | None, doubt: int, by: str
    ) -> Code:
        """Do several steps by one act, all or none."""
        if not steps:
            return "out-of-order"
        tried = copy.deepcopy(found)
        for place, step in enumerate(steps, start=1):
            if (code := self._do_step(tried, step, said, doubt)) is not None:
                return code
            if place < len(steps) and found.assay.has_a_clock(step):
                return "not-allowed"
        if len(steps) > 1:
            for each in tried.done[-len(steps) :]:
                each.press = (by, self.now)
        found.done, found.deviations, found.void = tried.done, tried.deviations, tried.void
        return None

    def undo_step(self, found: Cartridge, step: str) -> Code:
        """Say that what was pressed last had not been done."""
        if found.seen is not None:
            return "already-read"
        if found.early or found.unsure or found.mended or len(found.done) == 1:
            return "not-allowed"
        last = found.done[-1]
        if step != last.step:
            return "out-of-order"
        pressed = [found.done.pop()]
        while last.press is not None and found.done[-1].press == last.press:
            before = found.done[-1]
            apart = (before.said, before.earliest, before.latest) != (
                last.said,
                last.earliest,
                last.latest,
            )
            if apart or found.assay.has_a_clock(before.step):
                break
            pressed.append(found.done.pop())
        gone = {each.step for each in pressed}
        odd = [each for done in pressed for each in done.strayed]
        found.deviations = [each for each in found.deviations if each not in odd]
        found.fallen = {(kind, of) for kind, of in found.fallen if of and of not in gone}
        return None

    def _do_step(self, found: Cartridge, step: str, said: int | None, doubt: int) -> Code:
        before, now = found.done[-1], self.now
        if found.void or step != found.wanted:
            return "out-of-order"
        this = Done(step, now, now, now)
        if said is not None:
            if said < before.said:
                return "out-of-order"
            this = Done(step, said, max(said - doubt, before.earliest), min(said + doubt, now))
        odd: list[tuple[str, int]] = []
        for begun, wait, _, _ in found.running_waits():
            if wait.until != step:
                continue
            shortest, longest = this.earliest - begun.latest, this.latest - begun.earliest
            if shortest < wait.least:
                if wait.least_is_firm:
                    return "wait-not-over"
                odd.append((f"{begun.step}-short", shortest))
            if wait.most is not None and (longest > wait.most or begun.doubted is not None):
                if wait.most_is_firm:
                    return "not-allowed"
                odd.append((f"{begun.step}-long", longest))
        if said is not None and said > now:
            return "not-allowed"
        this.strayed = odd
        found.done.append(this)
        found.deviations += odd
        found.void = found.applied is not None and found.is_empty
        return None

    def give_up(self, found: Cartridge) -> Code:
        """Void a cartridge; what was seen stays, and between two readings nothing is said of it."""
        if found.early and not found.awaits:
            return "not-allowed"
        if found.seen is not None:
            return "already-read"
        found.void = True
        return None

    def state(self, found: Cartridge, by: str, witness: str, said: int, doubt: int) -> Code:
        """Say, two people, when the drops of an unsure cartridge fell."""
        if witness not in self.operators:
            return "unknown-operator"
        if not found.unsure or found.applied is None or witness == by or said > self.now:
            return "not-allowed"
        last = found.done[-1]
        found.done[-1] = Done(last.step, said, said - doubt, min(said + doubt, self.now))
        found.unsure, found.mended, found.fallen = False, True, set()
        found.void = not found.early and found.seen is None and found.is_empty
        return None
