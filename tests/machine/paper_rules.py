"""People, parties, assays and lots are entered, mostly once more; boxes are opened and stopped."""

from __future__ import annotations

from datetime import date

from hypothesis import strategies as st
from hypothesis.stateful import rule

from machine.given import LABELS, LOTS, OPERATORS, PARTIES, PEOPLE, TRIED, WORDS, by_whom, nth
from machine.hands import Hands
from machine.plain_stock import Correction, end_of
from machine.stand import ASSAYS, ODD, ONE_LINE
from readbell.assays.content_hash import content_hash
from readbell.core.assay.events import Basis
from readbell.core.board.acts import AdoptAssay, ReceiveLot, RegisterParty, RegisterPerson
from readbell.core.board.entry import Do, Entry
from readbell.core.stock.acts import CorrectLot, LastDay

GOOD, PAST, TODAY = date(2026, 12, 30), date(2026, 3, 28), date(2026, 3, 29)
"""Last days of a lot; `TODAY` is the day on which every bay here begins."""
corrections = st.builds(
    Correction,
    day=st.sampled_from([None, None, GOOD, PAST, PAST, TODAY, TODAY, date(2026, 12, 31)]),
    assay=st.sampled_from([None, None, None, ONE_LINE.id, ODD.id, "unheard-of"]),
    is_past=st.sampled_from([True, True, False]),
    scanned=st.sampled_from([False, False, True]),
)


class PaperRules(Hands):
    """What has to be known before anything is run."""

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
        by=by_whom, lot=st.sampled_from([*LOTS, "L-9"]), hold=st.sampled_from([False] * 4 + [True])
    )
    def lot(self, by: str, lot: str, hold: bool) -> None:
        """Open a box, or stop it."""
        if hold and lot != "L-100":
            self.put(Entry(do=Do.HOLD_LOT, by=by, lot=lot), lambda: self.model.hold(by, lot))
        else:
            self.put(Entry(do=Do.OPEN_LOT, by=by, lot=lot), lambda: self.model.open(by, lot))

    @rule(by=by_whom, lot=st.sampled_from([*LOTS, "L-odd", "L-100", "L-9"]), said=corrections)
    def entered_wrongly(self, by: str, lot: str, said: Correction) -> None:
        """Put right a lot; those of which most is begun here are made good again afterwards."""
        before = self._held_as_expired()
        self.correct_lot(by, lot, said)
        TRIED["begun of a lot that was out of date"] += self._held_as_expired() - before
        if lot in ("L-100", "L-odd"):
            self.correct_lot(
                OPERATORS[1], lot, Correction(date(2026, 12, 31), scanned=said.scanned)
            )

    def _held_as_expired(self) -> int:
        return sum("lot-expired" in each.held for each in self.model.cartridges.values())

    def correct_lot(self, by: str, lot: str, said: Correction) -> None:
        """Say what is right of a lot."""
        day = (
            None
            if said.day is None
            else LastDay(on=said.day, ends=end_of(said.day), is_scanned=said.scanned)
        )
        act = CorrectLot(
            by=by,
            lot=lot,
            today=self.model.today,
            words=self.stand.private(WORDS),
            last_day=day,
            is_past=said.is_past,
            assay=said.assay,
        )
        self.put(act, lambda: self.model.correct_lot(by, lot, said))

    @rule(lot=st.sampled_from(["L-two", "L-two", "L-100"]), n=nth)
    def open_and_take(self, lot: str, n: int) -> None:
        """Open a box and take cartridges from it until two more have been started."""
        self.lot(OPERATORS[0], lot, hold=False)
        for turn in range(2):
            label = next((each for each in LABELS if each not in self.model.cartridges), None)
            if label is not None:
                self.start(label, PEOPLE[(n + turn) % 2], lot)
        self.lot(OPERATORS[1], lot, hold=n == 0)
