"""A real bay and its plain model, played side by side: what is put to both must come out alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis.stateful import RuleBasedStateMachine, invariant

from machine.compare import board_of, difference, plain_of
from machine.given import IDENTIFIERS, TRIED
from machine.plain_bay import Bay
from machine.stand import Stand
from readbell.core.board.entry import Do, Entry

if TYPE_CHECKING:
    from collections.abc import Callable

    from machine.plain_cartridge import Cartridge
    from machine.plain_parts import Aim, Code
    from readbell.bay.news import Answer
    from readbell.core.board.acts import Act
    from readbell.core.board.event import Event


class Played(RuleBasedStateMachine):
    """One bay, its model beside it."""

    def __init__(self) -> None:
        super().__init__()
        self.stand = self.a_stand()
        clocks = self.stand.clocks()
        self.model = Bay(clocks=clocks, at=self.stand.work.now(), recorded=clocks)
        self.model.looked, self.model.checked = clocks, clocks.running
        self.acknowledged: list[Event] = []
        self.clock_news = 0
        self.reprs: list[object] = []

    def a_stand(self) -> Stand:
        """Found the bay that is played."""
        return Stand()

    # What is done, and what must come of it.

    def put(self, act: Act | Entry, judge: Callable[[], Code], *, starts: bool = False) -> bool:
        """Do `act` on both sides and compare what comes of it; say whether it was taken."""
        bay = self.stand.work.bay
        answer = self.stand.run(bay.enter(act) if isinstance(act, Entry) else bay.do(act))
        name = str(act.do) if isinstance(act, Entry) else type(act).__name__
        self.reprs.append(act)
        return self.agree(name, answer, judge, starts=starts)

    def agree(
        self, name: str, answer: Answer, judge: Callable[[], Code], *, starts: bool = False
    ) -> bool:
        """Hold what came of an act against what the model makes of it; say whether it was taken."""
        code = self.model.take(judge, starts=starts)
        found = None if answer.refusal is None else str(answer.refusal.code)
        assert found == code, f"{name}: {found}, and the model says {code}"
        TRIED[f"{name}: {code or 'taken'}"] += 1
        self.acknowledged.extend(answer.events)
        self.reprs.append(answer)
        return answer.accepted

    def aimed(
        self, do: Do, aim: Aim, judge: Callable[[Cartridge], Code], what: str, **more: object
    ) -> None:
        """Do something to a cartridge."""
        entry = Entry(
            do=do,
            by=aim.by,
            cartridge=aim.label,
            scanned=aim.scanned,
            person=aim.person,
            **more,  # type: ignore[arg-type]
        )
        self.put(entry, lambda: self.model.on_cartridge(aim, what, judge))

    def advance(self, span: int) -> None:
        """Let time go by; nobody rings of it yet."""
        clock = self.stand.clock
        clock.wall += span
        clock.counting += span
        self.model.clocks = self.stand.clocks()

    def ring(self) -> None:
        """Let the bay announce what is due."""
        self.stand.run(self.stand.work.ring())
        self.model.announce(self.model.now)

    def pick(self, n: int, fits: Callable[[Cartridge], bool]) -> Cartridge | None:
        """Return one of the cartridges that fit, if any does."""
        found = [each for each in self.model.cartridges.values() if fits(each)]
        return found[n % len(found)] if found else None

    def begin_again(self, cleanly: bool, away: int, boots: str | None) -> None:
        """End the program, or kill it, and begin again, on the same or another start of the machine."""
        told = len(self.stand.alerts())
        self.stand.stop(cleanly=cleanly)
        disk = self.model.disk
        self.model.stop(cleanly=cleanly)
        self.stand.mend_disk(disk)
        self.advance(away)
        if boots is not None:
            wall = 946_684_800_000 if boots == "before" else self.stand.clock.wall
            self.stand.reboot(wall, known=boots != "unknown")
        self.stand.start()
        before = self.model.start(self.stand.clocks())
        found = self.stand.work.found
        assert before == told
        assert found.clean is self.model.clean
        assert sorted(map(self.stand.work.label_of, found.unsure)) == sorted(
            self.model.unsure_at_start
        )
        assert [str(each.alert) for each in found.fell_due] == [
            kind for *_, kind, _ in self.model.told[before:]
        ]
        assert self.stand.lying_beside() == []
        assert self.stand.verified().board == self.stand.work.bay.board
        end = "ended" if cleanly else "killed"
        TRIED[f"{end} and begun again: {boots or 'same boot'}"] += 1
        self.is_kept()

    # What is always true.

    @invariant()
    def both_sides_agree(self) -> None:
        """Every stage, figure, outcome and lot, and every alert: once, in order, with its instants."""
        assert self.stand.work.now() == self.model.now
        board = board_of(self.stand.work.bay.board, self.stand.work.now())
        parted = difference(board, plain_of(self.model))
        assert not parted, "\n".join(parted)
        assert self.stand.alerts() == self.model.told

    @invariant()
    def the_board_is_what_the_journal_says(self) -> None:
        """The chain is whole, and nothing stands on the board that is not in it."""
        assert self.stand.is_folded(self.stand.stored())

    @invariant()
    def no_identifier_shows(self) -> None:
        """A crash report may hold the repr of anything that was given or answered."""
        news = self.stand.work.told[-1:]
        shown = " ".join(repr(each) for each in [*self.reprs, *news, self.stand.work.bay.board])
        self.reprs.clear()
        assert not [each for each in IDENTIFIERS if each in shown]

    def is_kept(self) -> None:
        """Hold what was acknowledged against what is stored: all of it, in its order."""
        stored = iter(self.stand.stored())
        lost = [each for each in self.acknowledged if each not in stored]
        assert not lost, f"acknowledged and lost: {[type(each).__name__ for each in lost]}"

    def teardown(self) -> None:
        """End every play with a kill and one more start."""
        try:
            self.begin_again(cleanly=False, away=0, boots=None)
            self.both_sides_agree()
        finally:
            self.stand.clear()
