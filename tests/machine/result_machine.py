"""What becomes of a result: read twice, amended, released, taken back and told, in any order."""

from __future__ import annotations

from hypothesis import strategies as st
from hypothesis.stateful import rule

from machine.bay_machine import BayMachine
from machine.given import (
    LABELS,
    OPERATORS,
    PEOPLE,
    TRIED,
    WORDS,
    by_whom,
    faults,
    lines,
    nth,
    person,
    seen_on,
    which_or_who,
)
from machine.plain_parts import Aim
from machine.plain_result import status, urgency
from readbell.core.board.entry import Do
from readbell.core.cartridge.events import How
from readbell.core.instant import Instant
from readbell.core.reading.bands import Bands, LineSeen, Strength, Unreadable
from readbell.core.results.telling import Channel, Hearer, TellResult
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.review.reasons import AmendReason, WithdrawReason

hearers = st.sampled_from(["person"] * 5 + ["guardian", "office"])
others = st.lists(st.sampled_from(LABELS), max_size=2, unique=True)
concerned = st.lists(st.sampled_from([*PEOPLE, "pat-nobody"]), max_size=1)


class ResultMachine(BayMachine):
    """A bay and its model, and everything that is done with what came of the strips."""

    def begin_with(self, n: int, shown: dict[str, str], mended: dict[str, str]) -> None:
        """Let a strip be read twice, or told and changed, in two plays of three."""
        if n % 3 == 1:
            self.read_twice(n, shown, mended, "", ["", "late", "mended", "late"][n // 3])
            self.settle_what_waits(n, mended, n % 2 == 1)
        elif n % 3 == 2:
            self.told_otherwise(n, mended, shown, "amend" if n < 7 else "take back")

    @rule(by=by_whom, label=which_or_who, shown=lines, fault=faults)
    def amend(self, by: str, label: str, shown: dict[str, str], fault: str) -> None:
        """Say anew what was on a strip."""
        seen = seen_on(self.model.cartridges.get(label), shown, fault)
        act = AmendResult(
            by=by,
            cartridge=label,
            bands=Bands(
                control=seen.control,
                lines=tuple(
                    LineSeen(line=name, strength=Strength(word))
                    for name, word in seen.lines.items()
                ),
                unreadable=None if seen.unreadable is None else Unreadable(seen.unreadable),
            ),
            reason=AmendReason.OTHER,
            words=self.stand.private(WORDS),
        )
        self.put(act, lambda: self.model.amend(by, label, seen))

    @rule(by=by_whom, label=which_or_who)
    def release(self, by: str, label: str) -> None:
        """Let what is held stand."""
        act = ReleaseReading(by=by, cartridge=label, words=self.stand.private(WORDS))
        self.put(act, lambda: self.model.release(by, label))

    @rule(by=by_whom, label=which_or_who, with_it=others, people=concerned)
    def take_back(self, by: str, label: str, with_it: list[str], people: list[str]) -> None:
        """Take a result back, alone or with what was mixed up with it."""
        act = WithdrawResult(
            by=by,
            cartridge=label,
            reason=WithdrawReason.ANOTHER_PERSON,
            words=self.stand.private(WORDS),
            others=tuple(with_it),
            persons=tuple(people),
        )
        self.put(act, lambda: self.model.take_back(by, label, with_it, people))

    @rule(by=by_whom, label=which_or_who, who=person, to=hearers)
    def tell(self, by: str, label: str, who: str | None, to: str) -> None:
        """Tell somebody how a result stands."""
        act = TellResult(
            by=by,
            cartridge=label,
            to=Hearer(to),
            how=Channel.SPOKEN,
            since=Instant(0),
            person=who,
            made_sure=How.TYPED,
        )
        is_told = self.put(act, lambda: self.model.tell(by, label, who, to))
        TRIED[f"told to: {to}"] += is_told

    @rule(
        n=nth,
        again=lines,
        mended=lines,
        fault=faults,
        comes=st.sampled_from(["", "mended", "taken back", "in doubt", "late", "late"]),
    )
    def read_twice(
        self, n: int, again: dict[str, str], mended: dict[str, str], fault: str, comes: str
    ) -> None:
        """See a faint line, and let somebody else read the strip again, or nobody in time."""
        self.one_more("L-100", PEOPLE[n % 2])
        found = self.pick(
            n,
            lambda each: (
                each.assay.faint_is_read_twice
                and each.applied is not None
                and not (each.ended or each.unsure)
            ),
        )
        if found is None:
            return
        aim = Aim(OPERATORS[0], found.label, found.label, found.person)
        self.advance(max(0, found.window()[1] - self.model.now))
        self.see(Do.READ, aim, dict.fromkeys(found.assay.lines, "faint"), "")
        self.give_up(found.label, OPERATORS[1], words=False)
        match comes:
            case "mended":
                self.see(Do.CORRECT, aim, mended, "")
            case "taken back":
                self.take_back(OPERATORS[n % 2], found.label, LABELS[: n % 3], [])
            case "in doubt":
                self.again(cleanly=True, away=0, boots="unknown")
                self.state_what_is_unsure(0, 60_000, 0)
                self.advance(120_000)
                self.see(Do.LOOK, aim, again, "")
            case "late":
                self.until_the_next_border(0, rings=True)
                self.left_alone(2_000_000, rings=n % 2 == 0)
        self.see(Do.READ, Aim(OPERATORS[n % 3 != 0], found.label), again, fault)
        found = self.model.cartridges[found.label]
        TRIED["a second reader comes"] += found.second
        TRIED["nobody comes to read again"] += found.awaits and found.lapsed

    @rule(n=nth, anew=lines, early=lines, then=st.sampled_from(["amend", "amend", "take back"]))
    def told_otherwise(
        self, n: int, anew: dict[str, str], early: dict[str, str], then: str
    ) -> None:
        """Tell a result, change it, tell it again: whoever was misled has to hear it."""
        self.a_whole_life("L-odd" if n % 2 else "L-100", early, anew, early, "", n)
        found = self.pick(n, lambda each: status(each) in ("preliminary", "final", "amended"))
        if found is None:
            return
        self.tell(OPERATORS[0], found.label, found.person, "person")
        other = OPERATORS[found.read_by == OPERATORS[0]]
        if then == "amend":
            self.amend(other, found.label, anew, "")
        else:
            self.take_back(other, found.label, LABELS[n % 4 : n % 4 + n % 3], PEOPLE[2 : 2 + n % 2])
        TRIED["somebody was told what no longer holds"] += (
            urgency(self.model.cartridges[found.label]) == "put-right"
        )
        if n % 3:
            self.tell(OPERATORS[1], found.label, None, "person")

    @rule(n=nth, anew=lines, says=st.booleans())
    def settle_what_waits(self, n: int, anew: dict[str, str], says: bool) -> None:
        """Let one that is held stand, or say anew what was on it; by somebody else if one is left."""
        found = self.pick(n, lambda each: bool(each.held) and each.ended and not each.withdrawn)
        if found is None:
            return
        by = next((each for each in OPERATORS if each not in found.who_saw), OPERATORS[n % 2])
        if says:
            self.amend(by, found.label, anew, "")
        else:
            self.release(by, found.label)
