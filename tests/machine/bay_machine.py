"""Acts of every kind, in any order, on a real bay and on the plain model: they must agree."""

from __future__ import annotations

from collections import Counter
from datetime import date
from typing import TYPE_CHECKING

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from machine.compare import board_of, difference, plain_of
from machine.plain_bay import Aim, Bay
from machine.plain_cartridge import Cartridge, Seen
from machine.stand import ASSAYS, ODD, ONE_LINE, STEPS, Stand
from readbell.assays.content_hash import content_hash
from readbell.core.assay.events import Basis
from readbell.core.board.acts import (
    AdoptAssay,
    HearAlert,
    MuteSound,
    ReceiveLot,
    RegisterOperator,
    RegisterParty,
    RegisterPerson,
    TryAlarm,
    Unmute,
)
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import ClockJumped, ComputerSlept, MuteReason
from readbell.core.instant import Instant, Span
from readbell.core.reading.bands import Strength, Unreadable

if TYPE_CHECKING:
    from collections.abc import Callable

    from machine.plain_bay import Code
    from readbell.bay.news import Answer
    from readbell.core.board.acts import Act
    from readbell.core.board.event import Event

OPERATORS = ["nurse-ada", "nurse-ben"]
PEOPLE = ["pat-1301", "pat-1302", "pat-1303", "pat-1304"]
PARTIES = ["car-blue-77", "car-red-88"]
WORDS = "slid-off-the-tray"
IDENTIFIERS = [*OPERATORS, *PEOPLE, *PARTIES, WORDS, "nurse-nobody", "pat-nobody"]
"""What may stand in no repr, whoever typed it into whichever field."""
LABELS = [f"C{number}" for number in range(1, 9)]
LOTS = {
    "L-100": (ONE_LINE.id, date(2026, 12, 31), None),
    "L-odd": (ODD.id, date(2026, 12, 31), None),
    "L-two": (ONE_LINE.id, date(2026, 12, 31), 2),
    "L-old": (ONE_LINE.id, date(2026, 3, 29), None),  # the day on which every bay here begins
}
TRIED: Counter[str] = Counter()
"""How often each kind of thing was done, and what came of it."""

by_whom = st.integers(0, 23).map(
    lambda n: {21: OPERATORS[1], 22: "nurse-nobody", 23: PEOPLE[0]}.get(n, OPERATORS[0])
)
which = st.sampled_from(LABELS)
nth = st.integers(0, 11)
which_or_who = st.sampled_from([*LABELS, *LABELS, PEOPLE[2]])
"""A cartridge, or somebody's identifier that the scanner read in its place."""
person = st.integers(0, 15).map(lambda n: PEOPLE[n - 12] if n >= 12 else None)
scan = st.integers(0, 15).map(lambda n: {13: "C1", 14: "C2", 15: PEOPLE[1]}.get(n))
doubt = st.sampled_from([0, 0, 1, 10_000, 60_000, 150_000, 150_001, 600_000])
strength = st.sampled_from(["absent", "absent", "faint", "clear"])
lines = st.fixed_dictionaries(dict.fromkeys(ODD.lines, strength))
faults = st.integers(0, 15).map(
    lambda n: {12: "no control", 13: "smear", 14: "smear and lines", 15: "nothing"}.get(n, "")
)


def seen_on(found: Cartridge | None, shown: dict[str, str], fault: str) -> Seen:
    """What somebody says they saw on a strip: as a rule, an answer for each line there is."""
    names = ONE_LINE.lines if found is None else found.assay.lines
    answers = {name: shown[name] for name in names}
    match fault:
        case "no control":
            return Seen(control=False, lines=answers)
        case "smear":
            return Seen(unreadable="smear")
        case "smear and lines":
            return Seen(lines=answers, unreadable="smear")
        case "nothing":
            return Seen(control=True, lines={"sars-cov-2": "absent"} if len(names) > 1 else {})
    return Seen(control=True, lines=answers)


class BayMachine(RuleBasedStateMachine):
    """One bay, its model beside it."""

    def __init__(self) -> None:
        super().__init__()
        self.stand = Stand()
        clocks = self.stand.clocks()
        self.model = Bay(clocks=clocks, at=self.stand.work.now(), recorded=clocks)
        self.model.looked, self.model.checked = clocks, clocks.running
        self.acknowledged: list[Event] = []
        self.clock_news = 0
        self.reprs: list[object] = []

    # What is done, and what must come of it.

    def put(
        self, act: Act | Entry, judge: Callable[[], Code], *, starts: bool = False
    ) -> Answer | None:
        """Do `act` on both sides and compare what comes of it."""
        bay = self.stand.work.bay
        answer = self.stand.run(bay.enter(act) if isinstance(act, Entry) else bay.do(act))
        code = self.model.take(judge, starts=starts)
        found = None if answer.refusal is None else str(answer.refusal.code)
        name = str(act.do) if isinstance(act, Entry) else type(act).__name__
        assert found == code, f"{name}: {found}, and the model says {code}"
        TRIED[f"{name}: {code or 'taken'}"] += 1
        self.acknowledged.extend(answer.events)
        self.reprs += [act, answer]
        return answer

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
            lambda found: self.model.do_steps(found, keys, said, doubt),
            "step",
            done_at=None if said is None else Instant(said),
            give_or_take=Span(doubt),
            **more,
        )

    def see(self, do: Do, aim: Aim, shown: dict[str, str], fault: str) -> None:
        """Look, read or correct."""
        seen = seen_on(self.model.cartridges.get(aim.label), shown, fault)
        judges: dict[Do, tuple[str, Callable[[Cartridge], Code]]] = {
            Do.LOOK: ("look", lambda found: self.model.look(found, seen)),
            Do.READ: ("read", lambda found: self.model.read(found, seen, aim.by)),
            Do.CORRECT: ("correct", lambda found: self.model.correct(found, seen, aim.by)),
        }
        what, judge = judges[do]
        tests = tuple((name, Strength(word)) for name, word in seen.lines.items())
        unreadable = None if seen.unreadable is None else Unreadable(seen.unreadable)
        self.aimed(do, aim, judge, what, control=seen.control, test=tests, unreadable=unreadable)

    def start(self, label: str, who: str | None, lot: str, by: str = OPERATORS[0]) -> None:
        """Label a cartridge."""
        aim = Aim(by, label, None, who)
        entry = Entry(do=Do.LABEL, by=by, cartridge=label, person=who, lot=lot, place=WORDS)
        self.put(entry, lambda: self.model.label(aim, lot), starts=True)

    # The rules.

    @initialize(odd=st.booleans(), shown=lines, mended=lines, n=nth)
    def prepare(self, odd: bool, shown: dict[str, str], mended: dict[str, str], n: int) -> None:
        """Register operators and people, adopt the assays, receive the lots; run two cartridges."""
        first = OPERATORS[0]
        for by, new in ((None, first), (first, OPERATORS[1]), (None, "nurse-nobody")):
            act = RegisterOperator(by=by, operator=self.stand.private(new))
            self.put(act, lambda by=by, new=new: self.model.register_operator(by, new))  # type: ignore[misc]
        for key in ASSAYS:
            self.adopt(first, key, checked=True)
        for number in LOTS:
            self.receive(first, number)
        for who in PEOPLE[:2]:
            self.register_person(first, who)
        self.a_whole_life("L-odd" if odd else "L-100", mended, shown, mended, "", n)
        self.one_more("L-100" if odd else "L-odd", PEOPLE[1])
        if n % 2:
            self.an_outage("gone", ends=False, n=n)

    @rule(label=which)
    def hurry(self, label: str) -> None:
        """Take a cartridge to its well, each wait kept."""
        found = self.model.cartridges.get(label)
        while found is not None and found.wanted is not None and not found.ended:
            before = len(found.done)
            if found.wanted in ("withdraw", "apply"):
                self.advance(60_000)
            self.sensibly(found, {})
            found = self.model.cartridges[label]
            if len(found.done) == before:
                break

    @rule(label=which, shown=lines)
    def go_on(self, label: str, shown: dict[str, str]) -> None:
        """Do what comes next for a cartridge, or start it."""
        found = self.model.cartridges.get(label)
        if found is None:
            self.start(label, PEOPLE[int(label[1:]) % 2], "L-100")
        else:
            self.sensibly(found, shown)

    @rule(lot=st.sampled_from(["L-100", "L-odd", "L-two"]), who=st.sampled_from(PEOPLE[:2]))
    def one_more(self, lot: str, who: str) -> None:
        """Take a new cartridge to its well."""
        label = next((each for each in LABELS if each not in self.model.cartridges), None)
        if label is not None:
            self.start(label, who, lot)
            self.hurry(label)

    def pick(self, n: int, fits: Callable[[Cartridge], bool]) -> Cartridge | None:
        """Return one of the cartridges that fit, if any does."""
        found = [each for each in self.model.cartridges.values() if fits(each)]
        return found[n % len(found)] if found else None

    @rule(
        n=nth,
        do=st.sampled_from([Do.LOOK, Do.READ]),
        beside=st.sampled_from([0, 1, 30_000, -1]),
        shown=lines,
        fault=faults,
    )
    def see_in_time(self, n: int, do: Do, beside: int, shown: dict[str, str], fault: str) -> None:
        """Look at or read a strip that develops, where its time for that begins."""
        found = self.pick(n, lambda each: each.applied is not None and not each.ended)
        if found is None:
            return
        early, opens, _, _ = found.window()
        begins = early if do is Do.LOOK and early is not None else opens
        self.advance(max(0, begins + beside - self.model.now))
        self.see(do, Aim(OPERATORS[n % 2], found.label, found.label, found.person), shown, fault)

    @rule(
        lot=st.sampled_from(["L-100", "L-odd"]),
        early=lines,
        shown=lines,
        mended=lines,
        fault=faults,
        n=nth,
    )
    def a_whole_life(
        self,
        lot: str,
        early: dict[str, str],
        shown: dict[str, str],
        mended: dict[str, str],
        fault: str,
        n: int,
    ) -> None:
        """Start one, look at it early, read it, and mend the reading."""
        label = next((each for each in LABELS if each not in self.model.cartridges), None)
        if label is None:
            return
        self.start(label, PEOPLE[0], lot)
        self.hurry(label)
        found = self.model.cartridges.get(label)
        if found is None or found.applied is None:
            return
        aim = Aim(OPERATORS[0], label, label, found.person)
        self.advance((found.assay.early or 0) - (n == 0))
        self.see(Do.LOOK, aim, early, "")
        if n % 4 == 2:
            self.give_up(label, OPERATORS[1], words=True)
        self.ring()
        self.advance(max(0, found.window()[1] - self.model.now - (n == 1)))
        self.see(Do.READ, aim, shown, fault)
        closes = found.window()[3]
        until = self.model.now + 300_000 if closes is None else closes
        self.advance(n * 1_000 if n < 8 else max(0, until - self.model.now + (n == 11)))
        self.see(Do.CORRECT, aim, mended, "")

    @rule(shown=lines, boots=st.sampled_from(["before", "unknown"]), doubt=doubt, n=nth)
    def a_life_in_doubt(self, shown: dict[str, str], boots: str, doubt: int, n: int) -> None:
        """Start one, lose the time in a restart of the computer, state the drops, and read."""
        self.one_more("L-100", PEOPLE[1])
        self.again(cleanly=n % 2 == 0, away=n * 10_000, boots=boots)
        self.state_what_is_unsure(0, 60_000, doubt)
        self.see_in_time(0, Do.READ, 0, shown, "")

    @rule(n=nth, shown=lines, early=lines)
    def give_up_what_was_seen(self, n: int, shown: dict[str, str], early: dict[str, str]) -> None:
        """Look early, and give the cartridge up: it must not wipe out a positive."""
        self.one_more("L-100", PEOPLE[n % 2])
        self.see_in_time(n, Do.LOOK, 0, early, "")
        found = self.pick(n, lambda each: bool(each.early) and not each.ended)
        if found is not None:
            self.give_up(found.label, OPERATORS[0], words=n % 2 == 0)
            self.see_in_time(n, Do.READ, 0, shown, "")

    @rule(
        lot=st.sampled_from(["L-100", "L-odd"]),
        waited=st.sampled_from([59_999, 60_000, 180_000, 180_001, 240_000]),
        back=st.sampled_from([0, 1, 30_000, 120_000]),
        doubt=doubt,
        shown=lines,
    )
    def late_truth(
        self, lot: str, waited: int, back: int, doubt: int, shown: dict[str, str]
    ) -> None:
        """Do several steps together, and state the later ones after the fact; then read."""
        label = next((each for each in LABELS if each not in self.model.cartridges), None)
        if label is None:
            return
        self.start(label, PEOPLE[1], lot)
        aim = Aim(OPERATORS[0], label)
        self.steps(aim, ["buffer", "collect", "extract"], None, 0, one=False)
        self.advance(waited)
        self.steps(aim, ["withdraw"], self.model.now - back, doubt, one=True)
        self.steps(aim, ["withdraw"], None, 0, one=True)
        self.advance(30_000)
        self.steps(aim, ["apply"], self.model.now - back, doubt, one=True)
        self.see_in_time(0, Do.READ, 0, shown, "")

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

    @precondition(lambda self: self.model.disk == "fine" and not self.model.noticed)
    @rule(how=st.sampled_from(["gone", "gone", "away"]), ends=st.booleans(), n=nth)
    def an_outage(self, how: str, ends: bool, n: int) -> None:
        """Let the disk fail while something falls due, and be mended, or end the program meanwhile."""
        self.one_more("L-100", PEOPLE[1])
        self.the_disk_fails(how)
        self.until_the_next_border(0, rings=True)
        self.start(LABELS[n % len(LABELS)], PEOPLE[0], "L-100")
        if ends:
            self.again(cleanly=n % 2 == 0, away=0, boots=None)
        else:
            self.the_disk_is_mended()
            self.look_about(2_000)

    @rule(lot=st.sampled_from(["L-two", "L-two", "L-100"]), n=nth)
    def open_and_take(self, lot: str, n: int) -> None:
        """Open a box and take cartridges from it until two more have been started."""
        self.lot(OPERATORS[0], lot, hold=False)
        for turn in range(2):
            label = next((each for each in LABELS if each not in self.model.cartridges), None)
            if label is not None:
                self.start(label, PEOPLE[(n + turn) % 2], lot)
        self.lot(OPERATORS[1], lot, hold=n == 0)

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

    @rule(n=nth, shown=lines, fault=faults, other=st.integers(0, 7), late=st.booleans())
    def correct_in_time(
        self, n: int, shown: dict[str, str], fault: str, other: int, late: bool
    ) -> None:
        """Mend a reading, by whoever read it; or by somebody else, or late."""
        found = self.pick(n, lambda each: each.seen is not None)
        if found is None:
            return
        if late:
            closes = found.window()[3]
            until = found.read_at + 300_000 if closes is None else closes
            self.advance(max(0, until + n % 2 - self.model.now))
        by = found.read_by if other else OPERATORS[OPERATORS.index(found.read_by) - 1]
        self.see(Do.CORRECT, Aim(by, found.label), shown, fault)

    @rule(n=nth, back=st.sampled_from([0, 60_000, 300_000, 960_000, -1]), doubt=doubt)
    def state_what_is_unsure(self, n: int, back: int, doubt: int) -> None:
        """Say with a witness when the drops of a cartridge in doubt fell."""
        found = self.pick(n, lambda each: each.unsure and not each.ended)
        if found is not None:
            self.state(found.label, OPERATORS[0], OPERATORS[1], back, doubt)

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

    @rule(
        label=which,
        who=st.sampled_from([*PEOPLE, None]),
        lot=st.sampled_from([*LOTS, "L-100", "L-odd", "L-9"]),
        by=by_whom,
    )
    def label_it(self, label: str, who: str | None, lot: str, by: str) -> None:
        """Start a cartridge, sensibly or not."""
        self.start(label, who, lot, by)

    @rule(
        label=which_or_who,
        by=by_whom,
        scanned=scan,
        who=person,
        first=st.integers(0, 5),
        many=st.integers(0, 4),
        back=st.sampled_from([None, None, 0, 1_000, 30_000, 90_000, 300_000, -5_000]),
        doubt=doubt,
    )
    def step_anyhow(
        self,
        label: str,
        by: str,
        scanned: str | None,
        who: str | None,
        first: int,
        many: int,
        back: int | None,
        doubt: int,
    ) -> None:
        """Do a step or several together, now or as stated afterwards, in turn or out of it."""
        found = self.model.cartridges.get(label)
        if found is not None and found.wanted is not None and first < 4:
            first = STEPS.index(found.wanted)
        said = None if back is None else self.model.now - back
        keys = STEPS[first : first + max(many, 1)]
        if many == 0 and first == 5:
            self.steps(Aim(by, label, scanned, who), [], said, doubt, one=False)
        else:
            self.steps(Aim(by, label, scanned, who), keys, said, doubt, one=many <= 1)

    @rule(
        do=st.sampled_from([Do.LOOK, Do.READ, Do.READ, Do.CORRECT, Do.CORRECT]),
        label=which_or_who,
        by=by_whom,
        scanned=scan,
        who=person,
        shown=lines,
        fault=faults,
    )
    def see_anyhow(
        self,
        do: Do,
        label: str,
        by: str,
        scanned: str | None,
        who: str | None,
        shown: dict[str, str],
        fault: str,
    ) -> None:
        """Look at a strip, read it, or mend a reading."""
        self.see(do, Aim(by, label, scanned, who), shown, fault)

    @rule(label=which, by=by_whom, words=st.booleans())
    def give_up(self, label: str, by: str, words: bool) -> None:
        """Void a cartridge."""
        reason = WORDS if words else "dropped"
        self.aimed(Do.VOID, Aim(by, label), self.model.give_up, "void", reason=reason)

    @rule(
        label=which_or_who,
        by=st.sampled_from(OPERATORS),
        witness=st.sampled_from([*OPERATORS, *OPERATORS, "nurse-nobody"]),
        back=st.sampled_from([0, 60_000, 300_000, 960_000, -1]),
        doubt=doubt,
    )
    def state(self, label: str, by: str, witness: str, back: int, doubt: int) -> None:
        """Say with a witness when the drops fell."""
        said = self.model.now - back
        self.aimed(
            Do.STATE_APPLICATION,
            Aim(by, label),
            lambda found: self.model.state(found, by, witness, said, doubt),
            "state",
            witness=witness,
            done_at=Instant(said),
            give_or_take=Span(doubt),
        )

    @rule(
        by=by_whom, lot=st.sampled_from([*LOTS, "L-9"]), hold=st.sampled_from([False] * 4 + [True])
    )
    def lot(self, by: str, lot: str, hold: bool) -> None:
        """Open a box, or stop it."""
        if hold and lot != "L-100":
            self.put(Entry(do=Do.HOLD_LOT, by=by, lot=lot), lambda: self.model.hold(by, lot))
        else:
            self.put(Entry(do=Do.OPEN_LOT, by=by, lot=lot), lambda: self.model.open(by, lot))

    @rule(
        what=st.sampled_from(["person", "party", "party", "assay", "lot"]),
        by=by_whom,
        n=nth,
        people=st.lists(st.sampled_from(PEOPLE), max_size=3),
    )
    def papers(self, what: str, by: str, n: int, people: list[str]) -> None:
        """Enter people, an assay or a lot, as a rule one that is there already."""
        match what:
            case "person":
                self.register_person(by, PEOPLE[n % len(PEOPLE)])
            case "party":
                self.register_party(by, PARTIES[n % 2], people)
            case "assay":
                self.adopt(by, list(ASSAYS)[n % 2], checked=n < 6)
            case _:
                self.receive(by, list(LOTS)[n % len(LOTS)])

    def register_party(self, by: str, name: str, people: list[str]) -> None:
        """Enter people who come together."""
        act = RegisterParty(
            by=by,
            party=self.stand.private(name),
            persons=tuple(self.stand.private(each) for each in people),
        )
        self.put(act, lambda: self.model.register_party(by, name, people))

    def register_person(self, by: str, new: str) -> None:
        """Enter somebody to be tested."""
        act = RegisterPerson(by=by, person=self.stand.private(new))
        self.put(act, lambda: self.model.register_person(by, new))

    def adopt(self, by: str, key: str, checked: bool) -> None:
        """Take an assay into use, once more as a rule."""
        real, plain = ASSAYS[key]
        act = AdoptAssay(
            by=by,
            assay=real,
            content_hash=content_hash(real),
            basis=Basis.CHECKED,
            instructions_version="1" if checked else " ",
        )
        self.put(act, lambda: self.model.adopt(by, plain, checked=checked))

    def receive(self, by: str, number: str) -> None:
        """Receive a lot, once more as a rule."""
        assay, expires, units = LOTS[number]
        act = ReceiveLot(by=by, number=number, assay=assay, expires=expires, units=units)
        self.put(act, lambda: self.model.receive(by, number, assay, expires, units))

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

    @precondition(lambda self: self.model.disk == "fine" and not self.model.noticed)
    @rule(how=st.sampled_from(["away", "gone"]))
    def the_disk_fails(self, how: str) -> None:
        """Take the journal away, or every place there is to write to."""
        self.stand.break_disk(how)
        self.model.disk = how
        TRIED[f"the disk fails: {how}"] += 1

    @precondition(lambda self: self.model.disk != "fine")
    @rule()
    def the_disk_is_mended(self) -> None:
        """Put back what was taken; nobody has looked yet."""
        self.stand.mend_disk(self.model.disk)
        self.model.disk = "fine"
        TRIED["the disk is mended"] += 1
        TRIED["something rang on no disk"] += bool(self.model.undo)

    @rule(
        cleanly=st.booleans(),
        away=st.sampled_from([0, 0, 1_000, 120_000, 960_000]),
        boots=st.sampled_from([None, None, "sound", "before", "unknown"]),
    )
    def again(self, cleanly: bool, away: int, boots: str | None) -> None:
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
            self.again(cleanly=False, away=0, boots=None)
            self.both_sides_agree()
        finally:
            self.stand.clear()
