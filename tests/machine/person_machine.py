"""Who is tested: what is known of them, who speaks for them, who is told, and who is forgotten."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from machine.given import OPERATORS, PARTIES, PEOPLE, TRIED, WORDS, by_whom, lines, nth
from machine.named import forgotten_in, named_in
from machine.plain_parts import Consent
from machine.plain_result import status, what_to_say
from machine.result_machine import ResultMachine
from machine.stand import ODD, ONE_LINE, Stand
from readbell.core.people.acts import NoteConsent, NoteLeft, NoteParticulars, RefuseConsent
from readbell.core.people.particulars import (
    ConsentBy,
    ConsentHow,
    DeclineReason,
    LeaveReason,
    Particular,
    ToldTo,
)
from readbell.core.policy.notices import NoticeRule
from readbell.core.policy.policy import SitePolicy

if TYPE_CHECKING:
    from machine.plain_cartridge import Cartridge

NAMES = dict(zip(PEOPLE, ("Ada Ash", "Bea Birch", "Cem Cedar", "Dot Dogwood"), strict=True))
GROWN_UP_AT = 16
BORN = ["1980-02-03", "2010-03-28", "2010-03-29", "2010-03-30", "2018-06-01"]
"""Around the sixteenth birthday on the day on which every bay here begins."""
BAD_DAYS = ["2126-01-01", "yesterday"]
whom = st.sampled_from([*PEOPLE[:2], *PEOPLE[:2], *PEOPLE])
told_to = st.sampled_from(["person", "guardian", "guardian", "other"])


class PersonMachine(ResultMachine):
    """A bay and its model, and everything that is done about people."""

    def __init__(self) -> None:
        super().__init__()
        self.model.grown_up_at, self.model.offices = GROWN_UP_AT, [ODD.id]

    def a_stand(self) -> Stand:
        """Found a bay that asks who is a child, and whose office hears of one assay."""
        notice = NoticeRule(assay=ODD.id, office="the office", hours=24)
        return Stand(SitePolicy(minor_below_years=GROWN_UP_AT, notices=(notice,)))

    def begin_with(self, n: int, shown: dict[str, str], mended: dict[str, str]) -> None:
        """Let a child's result be told to who speaks for it, or let somebody be forgotten."""
        if n < 9:
            super().begin_with(n, shown, mended)
        elif n % 2:
            self.come_and_go()
            self.a_child(n, shown, mended)
        else:
            self.forget_in_peace(n, "asked in writing", again=True)

    @rule(
        by=by_whom,
        who=whom,
        name=st.booleans(),
        born=st.sampled_from([None, *BORN, *BORN, *BAD_DAYS]),
    )
    def note_who_it_is(self, by: str, who: str, name: bool, born: str | None) -> None:
        """Enter a name, a day of birth, or both."""
        said = NAMES[who] if name else None
        given = ((Particular.NAME, said), (Particular.BIRTH_DATE, born))
        act = NoteParticulars(
            by=by,
            person=who,
            particulars=tuple(
                (what, self.stand.private(each)) for what, each in given if each is not None
            ),
            today=self.model.today,
        )
        self.put(act, lambda: self.model.note(by, who, said, born))

    @rule(
        by=by_whom,
        who=whom,
        giver=st.sampled_from([ConsentBy.SELF, ConsentBy.GUARDIAN, ConsentBy.OTHER]),
        assays=st.sampled_from([[], [], [ONE_LINE.id], [ODD.id], ["unheard-of"]]),
        to=told_to,
    )
    def say_yes(self, by: str, who: str, giver: ConsentBy, assays: list[str], to: str) -> None:
        """Consent, for oneself or for a child, and say who may hear of it."""
        act = NoteConsent(
            by=by,
            person=who,
            giver=giver,
            how=ConsentHow.SPOKEN,
            assays=tuple(assays),
            told_to=ToldTo(to),
            words=self.stand.private(WORDS),
            today=self.model.today,
        )
        by_self = giver is ConsentBy.SELF
        self.put(
            act,
            lambda: self.model.consent(by, who, Consent(self.model.now, True, by_self, assays, to)),
        )

    @rule(by=by_whom, who=st.sampled_from(PEOPLE[1:]))
    def say_no(self, by: str, who: str) -> None:
        """Refuse: the visit ends."""
        words = self.stand.private(f"{NAMES[who]} thinks it over")
        act = RefuseConsent(by=by, person=who, reason=DeclineReason.DECLINED, words=words)
        self.put(act, lambda: self.model.decline(by, who))

    def come_and_go(self) -> None:
        """Come with others, go before anything is begun, as one cannot twice, and come again."""
        self.register_party(OPERATORS[0], PARTIES[0], PEOPLE[1:])
        for who in (PEOPLE[2], PEOPLE[2], PEOPLE[0]):
            self.leave(OPERATORS[1], who)
        self.register_party(OPERATORS[0], PARTIES[1], PEOPLE[2:])

    @rule(by=by_whom, who=st.sampled_from(PEOPLE))
    def leave(self, by: str, who: str) -> None:
        """Go before anything is begun for them."""
        words = self.stand.private(f"{NAMES[who]} had to go")
        act = NoteLeft(
            by=by, person=who, party=None, reason=LeaveReason.COULD_NOT_WAIT, words=words
        )
        self.put(act, lambda: self.model.leave(by, who))

    @rule(
        n=nth,
        to=st.sampled_from(["person", "guardian", "guardian", "other", "office"]),
        read_back=st.sampled_from(["nothing", "ID", "name", "birth", "another"]),
    )
    def tell_who_asks(self, n: int, to: str, read_back: str) -> None:
        """Tell whoever asks, who reads back an ID, a name or a day of birth, or another's."""
        found = self.pick(n, lambda each: what_to_say(each) is not None)
        if found is None:
            return
        self.tell(OPERATORS[n % 2], found.label, self._said(found, read_back, n), to)

    def _said(self, found: Cartridge, read_back: str, n: int) -> str | None:
        about = self.model.about(found.person)
        match read_back:
            case "ID":
                return found.person
            case "name":
                return about.name and (about.name.upper() if n % 2 else about.name)
            case "birth":
                form = "%Y%m%d" if n % 2 else "%Y-%m-%d"
                return None if about.born is None else about.born.strftime(form)
            case "another":
                return PEOPLE[n % len(PEOPLE)] if n % 2 else NAMES[PEOPLE[n % len(PEOPLE)]]
        return None

    @rule(n=nth, shown=lines, mended=lines)
    def a_child(self, n: int, shown: dict[str, str], mended: dict[str, str]) -> None:
        """Test a child for whom a guardian speaks, tell both, and say the result anew."""
        who, first, second = PEOPLE[1], *OPERATORS
        kin = "other" if n == 8 else "guardian"
        self.register_person(first, who)
        self.note_who_it_is(first, who, n % 2 == 0, BORN[2 + n % 3])
        if n % 4 == 1:
            self.say_no(first, who)
        self.one_more("L-100", who)
        self.say_yes(first, who, ConsentBy.SELF, [], "guardian")
        self.say_yes(first, who, list(ConsentBy)[n % 3], [], kin)
        self.one_more("L-odd" if n % 2 else "L-100", who)
        found = self.pick(
            0, lambda each: each.person == who and each.applied is not None and not each.ended
        )
        if found is None:
            return
        self.advance(max(0, found.window()[1] - self.model.now))
        self.sensibly(found, shown)
        found = self.model.cartridges[found.label]
        for to in (kin, "office", "person")[: 1 + n % 4]:
            self.tell(first, found.label, who, to)
        if n % 4 == 3:
            self.say_yes(first, who, ConsentBy.GUARDIAN, [], "person")
        self.amend(second if found.read_by == first else first, found.label, mended, "")
        TRIED["a guardian was told what no longer holds"] += (
            "guardian" in found.told
            and status(found) == "amended"
            and what_to_say(found) != found.told["guardian"]
        )
        self.tell(second, found.label, None, kin)

    @precondition(lambda self: self.model.disk == "fine" and not self.model.noticed)
    @rule(
        by=by_whom,
        who=whom,
        why=st.sampled_from(["asked in writing"] * 4 + [" ", "{who} asked", "for {name}"]),
    )
    def forget(self, by: str, who: str, why: str) -> None:
        """Erase somebody, if nothing hinders; a name that nobody entered is not known for one."""
        name = self.model.about(who).name or "the family"
        self.is_forgotten(by, who, why.format(who=who, name=name))

    def is_forgotten(self, by: str, who: str, why: str) -> bool:
        """Erase somebody: of what names them nothing is shown or stored from here on."""
        called = (who, NAMES[who])
        answer = self.stand.forget(by, who, why)
        if not self.agree("erase", answer, lambda: self.model.erase(by, who, why)):
            return False
        self.acknowledged = [forgotten_in(each, answer.events) for each in self.acknowledged]
        assert not named_in(self.stand.work.told[-1], called)
        assert not named_in(self.stand.stored(), called)
        assert self.stand.is_folded(self.stand.stored()), "the board says more than the record"
        return True

    @precondition(lambda self: self.model.disk == "fine" and not self.model.noticed)
    @rule(n=nth, why=st.sampled_from(["asked in writing", "moved away"]), again=st.booleans())
    def forget_in_peace(self, n: int, why: str, again: bool) -> None:
        """Finish what runs, see to what is open, erase somebody, and look for them in every file."""
        who = PEOPLE[n % 2]
        self.note_who_it_is(OPERATORS[0], who, True, BORN[0])
        if self.is_forgotten(OPERATORS[0], who, why):
            return
        for found in list(self.model.cartridges.values()):
            self._be_done_with(found)
        if not self.is_forgotten(OPERATORS[0], who, why):
            return
        TRIED["somebody is forgotten"] += 1
        self.begin_again(cleanly=n % 2 == 0, away=0, boots=None)
        left = self.stand.left_of(who, NAMES[who])
        assert not left, left
        if again:
            self.register_person(OPERATORS[1], who)
            self.one_more("L-100", who)

    def _be_done_with(self, found: Cartridge) -> None:
        """End it, let it stand, and tell it."""
        if not found.ended:
            self.give_up(found.label, OPERATORS[0], words=True)
            found = self.model.cartridges[found.label]
        if not found.ended:
            self.advance(3_600_000)
            self.ring()
            self.sensibly(found, dict.fromkeys(found.assay.lines, "absent"))
            found = self.model.cartridges[found.label]
        if found.held:
            self.release(OPERATORS["nurse-ada" in found.who_saw], found.label)
        for to in ("person", *self.model.cartridges[found.label].told):
            self.tell(OPERATORS[0], found.label, None, to)
