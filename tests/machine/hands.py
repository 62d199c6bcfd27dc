"""What hands do to a cartridge, sensibly; every rule of a play goes by way of these."""

from __future__ import annotations

from typing import TYPE_CHECKING

from machine.given import OPERATORS, WORDS, seen_on
from machine.plain_parts import Aim
from machine.played import Played
from readbell.core.board.entry import Do, Entry
from readbell.core.instant import Instant, Span
from readbell.core.reading.bands import Strength, Unreadable

if TYPE_CHECKING:
    from collections.abc import Callable

    from machine.plain_cartridge import Cartridge
    from machine.plain_parts import Code


class Hands(Played):
    """Labels, steps and looks."""

    def start(self, label: str, who: str | None, lot: str, by: str = OPERATORS[0]) -> None:
        """Label a cartridge."""
        aim = Aim(by, label, None, who)
        entry = Entry(do=Do.LABEL, by=by, cartridge=label, person=who, lot=lot, place=WORDS)
        self.put(entry, lambda: self.model.label(aim, lot), starts=True)

    def sensibly(self, found: Cartridge, shown: dict[str, str]) -> None:
        """Do what somebody does who knows what comes next."""
        aim = Aim(OPERATORS[0], found.label, found.label, found.person)
        step = found.wanted
        if step is None:
            self.see(Do.READ, aim, shown, "")
        else:
            self.steps(aim, [step], None, 0, one=True)

    def steps(self, aim: Aim, keys: list[str], said: int | None, doubt: int, *, one: bool) -> None:
        """Do one step, or several together."""
        more = {"step": keys[0]} if one else {"steps": tuple(keys)}
        self.aimed(
            Do.STEP if one else Do.STEPS,
            aim,
            lambda found: self.model.do_steps(found, keys, said, doubt, aim.by),
            "step",
            done_at=None if said is None else Instant(said),
            give_or_take=Span(doubt),
            **more,
        )

    def undo_step(self, aim: Aim, step: str, reason: str) -> None:
        """Take back what was confirmed last."""
        self.aimed(
            Do.TAKE_BACK,
            aim,
            lambda found: self.model.undo_step(found, step),
            "back",
            step=step,
            reason=reason,
        )

    def see(self, do: Do, aim: Aim, shown: dict[str, str], fault: str) -> None:
        """Look, read or correct."""
        seen = seen_on(self.model.cartridges.get(aim.label), shown, fault)
        judges: dict[Do, tuple[str, Callable[[Cartridge], Code]]] = {
            Do.LOOK: ("look", lambda found: self.model.look(found, seen, aim.by)),
            Do.READ: ("read", lambda found: self.model.read(found, seen, aim.by)),
            Do.CORRECT: ("correct", lambda found: self.model.correct(found, seen, aim.by)),
        }
        what, judge = judges[do]
        tests = tuple((name, Strength(word)) for name, word in seen.lines.items())
        unreadable = None if seen.unreadable is None else Unreadable(seen.unreadable)
        self.aimed(do, aim, judge, what, control=seen.control, test=tests, unreadable=unreadable)
