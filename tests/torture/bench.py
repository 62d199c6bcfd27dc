"""A bay in this process, on clocks moved by hand, with a hand that does random acts on it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bay.conftest import Place
from readbell.core.cartridge.events import CartridgeLabelled, StepDone

if TYPE_CHECKING:
    import random
    from pathlib import Path

    from bay.conftest import Work
    from readbell.bay.news import Answer
    from readbell.core.board.entry import Entry


def place_in(folder: Path) -> Place:
    """Return a place for a journal whose acts may spill beside it and into one folder more."""
    disk = folder / "disk"
    disk.mkdir()
    return Place(path=disk / "bay.journal", spill=folder / "spill")


@dataclass(kw_only=True)
class Hand:
    """Somebody who begins cartridges and does their steps, in no order but a right one."""

    chance: random.Random
    work: Work
    soaking: list[str] = field(default_factory=list)
    ready: list[str] = field(default_factory=list)
    done: list[str] = field(default_factory=list)
    """The steps and labels that were acknowledged, in order: `C3 label`, `C3 buffer`."""
    begun: int = 0

    async def act(self) -> bool:
        """Do one thing; return whether it was acknowledged."""
        work = self.work
        entry, name = self._next()
        answer: Answer = await work.enter(entry)
        work.clock.advance("0:01")
        if answer.accepted:
            self.done.append(name)
        return answer.accepted

    def _next(self) -> tuple[Entry, str]:
        if self.ready and self.chance.random() < 0.7:
            label = self.chance.choice(self.ready)
            steps = [each.split()[1] for each in self.done if each.split()[0] == label]
            step = next(each for each in ("buffer", "collect", "extract") if each not in steps)
            if step == "extract":
                self.ready.remove(label)
                self.soaking.append(label)
            return self.work.step(step, label), f"{label} {step}"
        self.begun += 1
        label = f"C{self.begun}"
        self.ready.append(label)
        person = self.chance.choice(("P-001", "P-002"))
        return self.work.label(label, person), f"{label} label"


async def kept_of(work: Work) -> list[str]:
    """Return what of a hand's acts is on a disk, in the journal or beside it."""
    labels: dict[str, str] = {}
    found: list[str] = []
    for each in await work.stored():
        event = each.event
        if isinstance(event, CartridgeLabelled):
            labels[event.cartridge] = event.label
            found.append(f"{event.label} label")
        elif isinstance(event, StepDone):
            found.append(f"{labels[event.cartridge]} {event.step}")
    return found
