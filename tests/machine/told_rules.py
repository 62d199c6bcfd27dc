"""At two stations people are entered, told and forgotten, and a supervisor says what there was."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import strategies as st
from hypothesis.stateful import rule

from builders import TODAY
from machine.given import TRIED
from machine.named import named_in
from machine.stations_played import AT, PERSONS, nth, seen, which_station
from machine.strip_rules import StripRules
from machine.two_computers import NAMES
from readbell.bay.keeping_desk import KeepingDesk
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.entry import Do, Entry
from readbell.core.instant import Instant
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.particulars import Particular
from readbell.core.reading.bands import Bands, LineSeen, Strength
from readbell.core.results.telling import Channel, Hearer, TellResult
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.review.reasons import AmendReason, WithdrawReason

if TYPE_CHECKING:
    from readbell.core.board.acts import Act


class ToldRules(StripRules):
    """Those who are tested, and what they are told."""

    @rule(which=which_station)
    def register(self, which: str) -> None:
        """Enter somebody, at both sides as it may be."""
        self.act(which, RegisterPerson(by=AT[which], person=self.apart(PERSONS[2])))

    @rule(which=which_station, n=nth)
    def note_a_name(self, which: str, n: int) -> None:
        """Note what somebody is called, who may be erased at the other station meanwhile."""
        who = PERSONS[n % 2]
        said = ((Particular.NAME, self.apart(f"Ada Ash of {who}")),)
        act = NoteParticulars(by=AT[which], person=who, particulars=said, today=TODAY)
        self.act(which, act)

    @rule(which=which_station, n=nth)
    def tell(self, which: str, n: int) -> None:
        """Tell how a result stands."""
        found = self.pick(which, n, ended=True)
        if found is not None:
            self._tell(which, found.label, n)

    def _tell(self, which: str, label: str, n: int) -> None:
        self.act(
            which,
            TellResult(
                by=AT[which],
                cartridge=label,
                to=Hearer.PERSON,
                how=Channel.PHONE,
                since=Instant(0),
                words=self.apart(f"{PERSONS[n % 2]} called back"),
            ),
        )

    @rule(
        which=which_station,
        n=nth,
        strength=seen,
        by=st.sampled_from(["op-1", "op-2", "op-3", "op-3"]),
    )
    def decide(self, which: str, n: int, strength: Strength, by: str) -> None:
        """Say as a supervisor what there was on a strip, or take it back."""
        found = self.pick(which, n, ended=True)
        if found is None:
            return
        lines = tuple(LineSeen(line=each, strength=strength) for each in found.assay.line_keys)
        act: Act = (
            AmendResult(
                by=by,
                cartridge=found.label,
                bands=Bands(control=True, lines=lines),
                reason=AmendReason.OTHER,
                words=self.apart("looked again"),
            )
            if n < 8
            else WithdrawResult(
                by=by,
                cartridge=found.label,
                reason=WithdrawReason.ANOTHER_PERSON,
                words=self.apart("looked again"),
            )
        )
        if self.act(which, act).accepted:
            self.strips[found.id].decided = True

    @rule(which=which_station, n=nth)
    def forget(self, which: str, n: int) -> None:
        """Erase somebody at one station, if nothing hinders; the other one forgets them too."""
        who, seat = PERSONS[n % 2], self.seat(which)
        desk = KeepingDesk(private=self.apart)
        answer = self.run(desk.erase_person(seat.bay, "op-1", who, "asked in writing"))
        code = "taken" if answer.refusal is None else str(answer.refusal.code)
        TRIED[f"erase: {code}"] += 1
        if code == "taken":
            self.run(self._look_about())
            for each in map(self.seat, NAMES):
                if each.journal.is_linked and each.keeper.alone is None:
                    assert not named_in(each.bay.board, (who,))
                    assert not named_in([one.event for one in self.run(each.work.stored())], (who,))
            self.register_again(which, who)

    def register_again(self, which: str, who: str) -> None:
        """Enter somebody who came again, of whom nobody knows that they were here before."""
        self.act(which, RegisterPerson(by=AT[which], person=self.apart(who)))

    @rule(which=which_station, n=nth)
    def forget_in_peace(self, which: str, n: int) -> None:
        """Mend the links, finish and tell whatever is left, and then erase somebody."""
        self._be_done_with_all(which, n)
        self.forget(which, n)
        TRIED["erasing is tried in peace"] += 1

    def _be_done_with_all(self, which: str, n: int) -> None:
        self.settle()
        while (found := self.pick(which, 0)) is not None:
            reason = f"{PERSONS[n % 2]} left"
            void = Entry(do=Do.VOID, by=AT[which], cartridge=found.label, reason=reason)
            if not self.act(which, void).accepted:
                self.wait(1_300_000)
        for found in list(self.seat(which).bay.board.ended.values()):
            if found.held:
                self.decide(
                    which,
                    list(self.seat(which).bay.board.ended).index(found.id),
                    Strength.CLEAR,
                    "op-3",
                )
                words = self.apart("looked at both")
                self.act(which, ReleaseReading(by="op-3", cartridge=found.label, words=words))
            self._tell(which, found.label, n)
