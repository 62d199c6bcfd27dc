"""Time goes by, watched or not; clocks part; alarms are heard, muted and tried."""

from __future__ import annotations

from hypothesis import strategies as st
from hypothesis.stateful import rule

from machine.given import LABELS, OPERATORS, PEOPLE, TRIED, by_whom, lines, nth, which_or_who
from machine.step_rules import StepRules
from readbell.core.board.acts import HearAlert, MuteSound, TryAlarm, Unmute
from readbell.core.board.events import ClockJumped, ComputerSlept, MuteReason
from readbell.core.instant import Span


class TimeRules(StepRules):
    """What falls due, and what is done about its sound."""

    @rule(
        span=st.sampled_from([1, 999, 30_000, 60_000, 60_001, 300_000, 900_000, 90_000_000]),
        rings=st.booleans(),
    )
    def time_passes(self, span: int, rings: bool) -> None:
        """Let time go by, watched or not; the longest is more than a day."""
        self.advance(span)
        TRIED["time passes"] += 1
        if rings:
            self.ring()

    @rule(beside=st.sampled_from([-1, 0, 0, 1]), rings=st.booleans())
    def until_the_next_border(self, beside: int, rings: bool) -> None:
        """Let time go by until the next deadline, or a millisecond beside it."""
        times = [at for each in self.model.cartridges.values() for at, *_ in each.deadlines()]
        coming = [at - self.model.now + beside for at in times if at + beside > self.model.now]
        if coming:
            self.advance(min(coming))
            TRIED["time passes to a border"] += 1
        if rings:
            self.ring()

    @rule(
        span=st.sampled_from([-3_600_000, -1_001, -999, 1_000, 1_001, 3_600_000]),
        sleeps=st.booleans(),
    )
    def clocks_part(self, span: int, sleeps: bool) -> None:
        """Move the wall clock, or let the computer sleep."""
        clock = self.stand.clock
        if sleeps:
            clock.wall += abs(span)
            clock.counting += abs(span)
            clock.asleep += abs(span)
        else:
            clock.wall += span
        self.model.clocks = self.stand.clocks()
        TRIED["the computer sleeps" if sleeps else "the wall clock is moved"] += 1

    @rule(span=st.sampled_from([0, 1_999, 2_000, 60_000]))
    def look_about(self, span: int) -> None:
        """Let the bay look at its clocks and at its journal."""
        self.advance(span)
        before = len(self.stand.work.told)
        self.stand.run(self.stand.work.look_about())
        told = [
            type(event)
            for news in self.stand.work.told[before:]
            for event in news.events
            if isinstance(event, ClockJumped | ComputerSlept)
        ]
        words: dict[str, type[object]] = {"slept": ComputerSlept, "jumped": ClockJumped}
        assert told == [words[each] for each in self.model.look_about()]

    @rule(span=st.sampled_from([600_000, 900_000, 1_200_001, 2_000_000]), rings=st.booleans())
    def left_alone(self, span: int, rings: bool) -> None:
        """Start several, a little apart, and leave them until much is due at once."""
        for lot in ("L-100", "L-odd", "L-100"):
            self.one_more(lot, PEOPLE[1])
        self.advance(span)
        if rings:
            self.ring()
        else:
            self.sound(OPERATORS[0], LABELS[0], "mute", 600_000)

    @rule(
        by=by_whom,
        label=which_or_who,
        what=st.sampled_from(["hear", "hear", "mute", "unmute", "heard", "not heard"]),
        span=st.sampled_from([0, 1, 60_000, 600_000, 600_001]),
    )
    def sound(self, by: str, label: str, what: str, span: int) -> None:
        """Hear, mute, give back or try the alarm."""
        match what:
            case "hear":
                self.put(HearAlert(by=by, cartridge=label), lambda: self.model.hear(by, label))
            case "mute":
                act = MuteSound(by=by, reason=MuteReason.DISTRESS, span=Span(span))
                self.put(act, lambda: self.model.mute(by, span))
            case "unmute":
                self.put(Unmute(by=by), lambda: self.model.unmute(by))
            case _:
                heard = what == "heard"
                tried = TryAlarm(by=by, heard=heard)
                self.put(tried, lambda: self.model.try_alarm(by, heard=heard))

    @rule(n=nth, beside=st.sampled_from([-1, 0, 0]))
    def hear_what_calls(self, n: int, beside: int) -> None:
        """Wait until something calls, and hear it; or a millisecond too early, or too late to."""
        found = self.pick(n, lambda each: each.call(self.model.now) is not None)
        if found is None:
            self.until_the_next_border(beside, rings=True)
            found = self.pick(n, lambda each: not each.ended)
        if found is not None:
            if n % 3 == 2 and found.applied is not None and (found.window()[3] or 0):
                closes = found.window()[3] or 0
                self.advance(max(0, closes - 60_000 + beside - self.model.now))
            self.sound(OPERATORS[0], found.label, "hear", 0)

    @rule(n=nth, beside=st.sampled_from([-1, 0, 1]), shown=lines)
    def hear_and_read(self, n: int, beside: int, shown: dict[str, str]) -> None:
        """Hear a strip that calls, about where it can no longer be heard away; then read it."""
        self.one_more("L-100", PEOPLE[1])
        found = self.pick(n, lambda each: each.applied is not None and not each.ended)
        if found is None:
            return
        closes = found.window()[3] or found.window()[1] + 60_000
        self.advance(max(0, closes - 60_000 + beside - self.model.now))
        self.sound(OPERATORS[0], found.label, "hear", 0)
        self.sensibly(found, shown)
