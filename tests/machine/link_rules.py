"""Links are cut and mended, programs killed and begun again, clocks set, stations given up."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from hypothesis import strategies as st
from hypothesis.stateful import initialize, rule

from builders import TODAY
from machine.given import TRIED
from machine.plain_stock import end_of
from machine.station_checks import replayed, stored_at
from machine.stations_played import AT, nth, seen, which_station
from machine.told_rules import ToldRules
from machine.two_computers import NAMES
from readbell.core.board.entry import Do
from readbell.core.errors import BrokenRecordError
from readbell.core.reading.bands import Strength
from readbell.core.stations.acts import GiveUpStation
from readbell.core.stock.acts import CorrectLot, LastDay

if TYPE_CHECKING:
    from bay.two_stations import Seat


class LinkRules(ToldRules):
    """What goes wrong between two stations."""

    def opening(self, n: int) -> None:
        """Begin a play in one of so many ways."""
        self.begin_with(n, Strength.CLEAR if n % 2 else Strength.ABSENT)

    @initialize(n=nth, strength=seen)
    def begin_with(self, n: int, strength: Strength) -> None:
        """Begin with one of the things that take many steps to come about."""
        first, second = NAMES[n % 2], NAMES[n % 2 - 1]
        self.to_well(first, n)
        if n % 3 == 0:
            self.read_on_both_sides(n, strength, Strength.ABSENT)
            self.settle()
            self.decide(second, 0, strength, "op-3")
        elif n % 3 == 1:
            self.begin(first, n, sensible=True)
            self.go_on(first, 1)
            self.mend_a_slip(first, 1, again=True)
            self.clock_is_set(first, 3_600_000)
            self.read(first, 0, Strength.ABSENT)
            self.wait(5_000)
            self.cut(first, notices=n % 2 == 0, loses=n > 5)
            self.wait(8_000)
            self.go_on(second, 1)
            self.mend_a_slip(second, n, again=n > 5)
            self.mend_a_slip(first, 0, again=n > 5)
            self.begin(first, n, sensible=False)
            self.read_in_time(first, 0, 0, strength)
            self.killed_while_it_comes_home(first, n)
            self.forgotten_while_alone(first, n)
        else:
            self.read_in_time(second, 0, 30_000, strength)
            self.tell(first, 0)
            self.out_of_date_while_alone(first, n)
            self.decide(second, 0, Strength.CLEAR, "op-3")
            self.one_person_at_both(n, strength, Strength.CLEAR)
            self.again(first, cleanly=False, away=0, boots="sound" if n == 11 else "before")
            self.forget_in_peace(second, n)

    @rule(span=st.sampled_from([500, 2_000, 8_000, 60_000, 450_000, 900_000]))
    def time_passes(self, span: int) -> None:
        """Let time go by, and both look about."""
        self.wait(span)

    @rule(which=which_station, notices=st.booleans(), loses=st.sampled_from([False, False, True]))
    def cut(self, which: str, notices: bool, loses: bool) -> None:
        """Cut a link: at once, or once the server has taken what is sent next and nobody hears of it."""
        seat = self.seat(which)
        if loses and seat.journal.is_linked:
            seat.server.loses_answers = True
            self.register(which)
        self.site.cut(which)
        TRIED[f"cut: {'an answer is lost' if loses else 'at once'}"] += 1
        if notices:
            self.wait(2_000)

    @rule(which=which_station, left=st.sampled_from([None, None, None, *range(14)]))
    def mend(self, which: str, left: int | None) -> None:
        """Make a link up again, or only for so many calls."""
        self.site.left[which] = left if self.site.is_cut[which] else None
        self.site.mend(which)
        self.wait(2_000)
        TRIED["mended"] += 1
        if self.seat(which).server.is_cut:
            self.site.is_cut[which] = True
            TRIED["cut again while it is mended"] += 1

    @rule(
        which=which_station,
        cleanly=st.booleans(),
        away=st.sampled_from([0, 0, 3_000, 60_000, 960_000]),
        boots=st.sampled_from([None, None, None, "sound", "before", "unknown"]),
    )
    def again(self, which: str, cleanly: bool, away: int, boots: str | None) -> None:
        """End the program of a station, or kill it, and begin it again, linked or not."""
        seat = self.seat(which)
        before, stays_cut = seat.bay.board, self.site.is_cut[which]
        has_all, heard = self._has_entered_all(seat), self._heard_at(seat)
        if cleanly:
            self.run(seat.work.close())
            seat.following.close()
        else:
            self.run(seat.die())
        self.site.go_on(away)
        other = NAMES[which == NAMES[0]]
        self.run(self.site.look_after(other, has_news=True))
        if boots is not None:
            wall = 946_684_800_000 if boots == "before" else self.site.clocks[which].wall
            self.site.reboot(which, wall, known=boots != "unknown")
        self.run(self.site.begin(which))
        TRIED[f"{'ended' if cleanly else 'killed'} and begun again: {boots or 'same boot'}"] += 1
        # A link that was made up for a few calls may tell something new as it begins again.
        has_all = has_all and self._heard_at(self.seat(which)) == heard
        if stays_cut and boots is None and away == 0 and has_all:
            board = self.seat(which).bay.board
            assert dict(board.running) == dict(before.running)
            assert dict(board.ended) == dict(before.ended)

    def _heard_at(self, seat: Seat) -> set[str]:
        """Return which events of others lie on the disks of a station."""
        return {each.id for each in self.run(stored_at(seat)) if each.stamp.station != seat.name}

    def _has_entered_all(self, seat: Seat) -> bool:
        """Say whether a station has heard nothing from the others that it has not entered yet."""
        try:
            knows = replayed(seat, self.run(stored_at(seat)))
        except BrokenRecordError:
            return False  # both sides lie there, and are not joined up yet
        board = seat.bay.board
        return (knows.running, knows.ended) == (board.running, board.ended)

    @rule(which=which_station, n=st.integers(0, 13))
    def killed_while_it_comes_home(self, which: str, n: int) -> None:
        """Cut the link again in the middle of joining up, and kill the program there."""
        if not self.site.is_cut[which]:
            self.cut(which, True, False)
            self.go_on(which, n)
        self.mend(which, n)
        self.again(which, False, 0, None)
        TRIED["killed while it comes home"] += 1

    @rule(which=which_station, n=nth)
    def forgotten_while_alone(self, which: str, n: int) -> None:
        """Let a station that has just become alone say a name, which is erased at the other one."""
        other = NAMES[which == NAMES[0]]
        self._be_done_with_all(other, n)
        self.cut(which, notices=False, loses=False)
        self.note_a_name(which, n)
        self.forget(other, n)
        self.settle()

    @rule(which=which_station, n=nth)
    def out_of_date_while_alone(self, which: str, n: int) -> None:
        """Let a station that is alone begin a strip of a lot that turns out to have been out of date."""
        other = NAMES[which == NAMES[0]]
        self.settle()
        self.cut(which, notices=True, loses=False)
        self.correct_lot(other, date(2026, 3, 28))
        self.begin(which, n + 1, sensible=True)
        self.correct_lot(which, date(2026, 12, 31))
        self.settle()
        self.correct_lot(other, date(2026, 12, 31))

    def correct_lot(self, which: str, last_day: date) -> None:
        """Say what the last day of the lot is."""
        act = CorrectLot(
            by=AT[which],
            lot="L-100",
            today=TODAY,
            words=self.apart("misread"),
            last_day=LastDay(on=last_day, ends=end_of(last_day)),
            is_past=True,
        )
        self.act(which, act)

    @rule(which=which_station, span=st.sampled_from([-3_600_000, -1_500, 1_500, 60_000, 3_600_000]))
    def clock_is_set(self, which: str, span: int) -> None:
        """Set the wall clock of one computer; its program notices."""
        self.site.clocks[which].wall += span
        self.run(self.seat(which).work.look_about())
        TRIED["a wall clock is set"] += 1

    @rule(which=which_station)
    def give_up_the_other(self, which: str) -> None:
        """Say that the other station will not come back."""
        around = self.seat(which).bay.present().around
        assert around is not None
        other = NAMES[which == NAMES[0]]
        self.act(which, GiveUpStation(by=AT[which], station=other, heir=which, away=around.away))

    @rule(n=nth, here=seen, there=seen)
    def read_on_both_sides(self, n: int, here: Strength, there: Strength) -> None:
        """Let one station be given up while it is alone, and both read its strip, or one person's."""
        if n % 4 == 3:
            self.one_person_at_both(n, here, there)
            return
        first, second = NAMES[n % 2], NAMES[n % 2 - 1]
        self.settle()
        self.to_well(first, n)
        found = [each for each in self.strips.values() if each.applied == self.site.true.wall]
        if not found:
            return
        self.wait(5_000)
        self.cut(first, n % 3 == 0, False)
        self.wait(8_000)
        self.give_up_the_other(second)
        self.wait(900_000)
        for which, strength in ((second, there), (first, here)):
            self._see(Do.READ, which, found[0].label, strength)
        TRIED["a strip is read at both stations"] += len(found[0].read_at) > 1

    def one_person_at_both(self, n: int, here: Strength, there: Strength) -> None:
        """Let both stations begin one person, neither knowing of the other, and read their strips."""
        first, second = NAMES[n % 2], NAMES[n % 2 - 1]
        self.settle()
        self.cut(first, True, False)
        before = set(self.strips)
        self.to_well(first, n)
        ours = set(self.strips) - before
        self.to_well(second, n)
        theirs = set(self.strips) - before - ours
        self.wait(900_000)
        for which, keys, strength in ((first, ours, here), (second, theirs, there)):
            for key in keys:
                self._see(Do.READ, which, self.strips[key].label, strength)
        self.settle()
