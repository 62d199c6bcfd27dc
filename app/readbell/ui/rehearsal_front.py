"""Between the screen of a rehearsal and its bay: what any board does, and the keys that steer it.

While its clock stands still nothing is taken that would change anything: an act takes time.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Protocol

from readbell.bay.errors import BayClosedError
from readbell.core.board.entry import Do, Entry
from readbell.core.board.sound import loudest, may_call
from readbell.core.instant import SECOND, Span, between
from readbell.core.practice.acts import LeapAhead, SetSpeed
from readbell.core.practice.assist import Assist
from readbell.core.rehearsal.hands_time import Busy
from readbell.core.rehearsal.scenario import InterruptionKind
from readbell.hand.doing import Helping, Leaving, Visiting, Watching
from readbell.hand.given import Idle, Key, PointedAt, Pressed, Steer, Steered
from readbell.phrases.bench_words import (
    DO_THIS_FIRST,
    IT_STANDS_STILL,
    LONGEST_SPEED,
    NO_ANSWER_KEPT,
    NO_LEAP_HERE,
    NO_SPEED,
    NOBODY_ASKED,
    NOTHING_COMES,
    WANTS_WORDS,
    say_began,
    say_leapt,
)
from readbell.scenarios.line import EntryLine
from readbell.ui.bench_band import Stand
from readbell.ui.front import Front

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.bay.bay import Bay
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.desk import Desk
    from readbell.bay.news import Answer, News
    from readbell.bay.rehearsal_bench import BrokenIn, OnBench, RehearsalBench
    from readbell.core.instant import Instant
    from readbell.core.practice.acts import PracticeAct
    from readbell.hand.given import Given
    from readbell.hand.hand import Turn
    from readbell.hand.scene import AtHand
    from readbell.ui.front import Present

WORK_AT = 60
"""How fast the clock goes while hands are at work: a swab is taken in less than a second."""
READ_IN = 6
"""Real seconds in which an answer can be read: at 60 times the speed of life half a minute is half
a second, and a refusal that nobody could read teaches nothing."""
LEAP = "+"
"""Typed before F7 it leaps, for a terminal that keeps F11 to itself."""
_LOOKS = frozenset(
    {
        Key.UP,
        Key.DOWN,
        Key.LEFT,
        Key.RIGHT,
        Key.PAGE_UP,
        Key.PAGE_DOWN,
        Key.HOME,
        Key.ROOMS,
    }
)
"""What only looks about, where nothing is in hand."""
_ALWAYS = frozenset({Key.HELP, Key.BACK, Key.LEAVE})


class Steerable(Protocol):
    """A clock that a person steers."""

    @property
    def speed(self) -> int:
        """Simulated seconds in a real one."""

    def go_at(self, speed: int) -> None:
        """Go on at `speed` from here; 0 stands still."""

    def race(self, passed: int, speed: int) -> None:
        """Go at `speed` at least until `passed` milliseconds after the start, then as before."""

    def leap(self, passed: int) -> None:
        """Be at `passed` milliseconds after the start at once."""


class RehearsalFront(Front):
    """One pair of hands that practises."""

    def __init__(
        self,
        bay: BayThread,
        desk: Desk,
        *,
        clock: Steerable,
        bench: RehearsalBench,
        assist: Assist,
        starts: Instant,
        shelf: Sequence[AtHand] = (),
        takes_time: bool = True,
    ) -> None:
        """Take the parts; with `takes_time` no act is done sooner than hands can have done it."""
        super().__init__(bay, desk, shelf=shelf)
        self._busy = Busy(since=starts) if takes_time else None
        self._at_work = False
        self._clock = clock
        self._bench = bench
        self._assist = assist
        self._starts = starts
        self._answered: frozenset[int] = frozenset()
        self._usual_speed = 1
        self._begun = False

    @property
    def speed(self) -> int:
        """How fast its clock goes."""
        return self._clock.speed

    def present(self) -> Present:
        """Return how everything stands now; an examination is silent on purpose, and no fault."""
        found = self._with_what_was_said(super().present())
        if self._assist is not Assist.SILENT:
            return found
        sounding = replace(found.news.sounding, can_sound=True)
        return replace(found, news=replace(found.news, sounding=sounding))

    def _with_what_was_said(self, found: Present) -> Present:
        """Return `found` with an answer that is old by the clock and was not to be read yet."""
        hand, patience = self._hand, Span(READ_IN * self.speed * SECOND)
        if found.hand.said is not None or hand.said_at is None or found.hand.locked:
            return found
        if between(hand.said_at, found.news.at) >= patience:
            return found
        return replace(found, hand=replace(found.hand, said=hand.said))

    def on_bench(self, present: Present) -> tuple[Stand, OnBench]:
        """Return how the rehearsal stands, and what is to be seen on its bench."""
        stand = Stand(
            speed=self.speed,
            at_work=self._at_work,
            assist=self._assist,
            goal=self._bench.goal,
            teaching=self._bench.teaching,
            begun=self._begun,
        )
        scene, hand = present.scene, present.hand
        return stand, self._bench.at(scene.board, scene.now, hand.chosen, self._answered)

    def _process(self, given: Given) -> None:
        if isinstance(given, Steered):
            self._steer(given)
        elif self.speed or self._may_be_taken(given):
            super()._process(_without_time(given) if not self.speed else given)
        else:
            self._say(IT_STANDS_STILL, fine=False)

    def _see_through(self, turn: Turn, given: Given) -> None:
        """Let the time go by that hands need for what is asked, then see through it."""
        ask = turn.ask
        line = None if ask is None else ask.request
        if isinstance(line, EntryLine) and self._busy is not None:
            if line.ago is None:
                self._let_hands_work(line.entry, self._busy)
            super()._see_through(turn, given)
            news = self._bay.present()
            self._busy = self._busy.after(news.board, line.entry, news.at)
        else:
            super()._see_through(turn, given)

    def _let_hands_work(self, entry: Entry, busy: Busy) -> None:
        news = self._bay.present()
        came = self._bench.came(entry.person or "")
        until = busy.soonest(news.board, entry, news.at, came)
        if until <= news.at:
            return
        self._at_work = True
        self.changed()
        try:
            self._clock.race(between(self._starts, until), WORK_AT)
        finally:
            self._at_work = False

    def _may_be_taken(self, given: Given) -> bool:
        """Say whether `given` may be taken while the clock stands still: it only looks."""
        match given:
            case Idle():
                return True
            case Pressed(key=key) if key in _ALWAYS:
                return True
            case PointedAt():
                return isinstance(self._hand.doing, Watching)
            case Pressed(key=key) if key in _LOOKS:
                return isinstance(self._hand.doing, (Watching, Visiting, Helping, Leaving))
            case _:
                return False

    def _steer(self, given: Steered) -> None:
        try:
            match given.steer:
                case Steer.SPEED if given.typed == LEAP:
                    self._leap()
                case Steer.SPEED:
                    self._set_speed(given.typed)
                case Steer.ANSWER:
                    self._answer(given.typed)
                case Steer.ONWARD:
                    self._leap()
        except BayClosedError:
            self.left.set()

    def _set_speed(self, typed: str) -> None:
        speed = self._speed_of(typed)
        if speed is None:
            self._say(NO_SPEED, fine=False)
            return
        # Noted at the instant at which it changes: before it goes on, after it stands still.
        if not speed:
            self._clock.go_at(speed)
        self._note(SetSpeed(speed=speed))
        self._usual_speed = speed or self._usual_speed
        self._begun = True
        self._clock.go_at(speed)
        self._say(say_began(speed))

    def _speed_of(self, typed: str) -> int | None:
        """Return the speed that `typed` asks for, None if it asks for none."""
        if not typed:
            return 0 if self.speed else self._usual_speed
        is_number = typed.isascii() and typed.isdigit()
        return int(typed) if is_number and 0 <= int(typed) <= LONGEST_SPEED else None

    def _leap(self) -> None:
        # It would land on the very instant at which something falls due, and so tell it.
        if self._assist is Assist.SILENT and self._bay.present().board.running:
            self._say(NO_LEAP_HERE, fine=False)
            return
        next_due = self._bay.ask(_announced)
        news = self._bay.present()
        calling = loudest(news.board, news.at, may_call(news.board))
        cartridge = None if calling is None else news.board.cartridge(calling)
        if cartridge is not None and self._assist is Assist.FULL:
            self._say(DO_THIS_FIRST.format(label=cartridge.label), fine=False)
            return
        due = [next_due, self._bench.next_after(news.at)]
        target = min((each for each in due if each is not None and each > news.at), default=None)
        if target is None:
            self._say(NOTHING_COMES)
            return
        self._begun = True
        self._clock.leap(between(self._starts, target))
        landed = self._note(LeapAhead(by_span=Span(target - news.at)))
        self._bay.ask(_announced)
        self._say(say_leapt(self._face(self._bay.present()).time(landed)))

    def _answer(self, typed: str) -> None:
        news = self._bay.present()
        found = self._bench.at(news.board, news.at, None, self._answered).call
        if found is None:
            self._say(NOBODY_ASKED, fine=False)
        elif not typed and found.interruption.kind is InterruptionKind.QUESTION:
            self._say(WANTS_WORDS, fine=False)
        else:
            self._take_answer(found, typed)

    def _take_answer(self, found: BrokenIn, typed: str) -> None:
        entry = Entry(
            do=Do.ANSWER,
            by=self._hand.operator or "",
            interruption=found.number,
            words=typed,
        )
        line = EntryLine(entry=entry, ago=None)
        answer = self._bay.ask(lambda bay: self._desk.serve(bay, line))
        if not answer.accepted:
            self._say(NO_ANSWER_KEPT, fine=False)
            return
        self._answered |= {found.number}
        self._say("Noted.")

    def _note(self, act: PracticeAct) -> Instant:
        async def note(bay: Bay) -> Answer:
            return await bay.do(act)

        return self._bay.ask(note).at

    def _say(self, words: str, *, fine: bool | None = None) -> None:
        # As old as it is now, whenever something was last said.
        said = self._hand.saying(words, fine=fine)
        self._hand = replace(said, said_at=self._bay.present().at)

    def _sounding(self, news: News) -> str | None:
        """Return what may be marked as heard; in an examination nothing sounds."""
        return None if self._assist is Assist.SILENT else super()._sounding(news)


async def _announced(bay: Bay) -> Instant | None:
    return await bay.announce()


def _without_time(given: Given) -> Given:
    """Return `given` as somebody means it for whom no time passes: no key is struck twice then."""
    return Pressed(given.key, in_words=True) if isinstance(given, Pressed) else given
