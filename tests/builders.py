"""A bench made of values alone: the core played by hand, without clock, disk or screen."""

from __future__ import annotations

from datetime import date
from itertools import count
from typing import TYPE_CHECKING

from readbell.assays.content_hash import content_hash
from readbell.assays.library import Library
from readbell.core.assay.events import Basis
from readbell.core.board.acts import (
    Act,
    AdoptAssay,
    HoldLot,
    ReceiveLot,
    RegisterOperator,
    RegisterPerson,
)
from readbell.core.board.board import Board
from readbell.core.board.decide import decide
from readbell.core.board.events import BayFounded, Mode
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import Aim, DoStep, Label, Look, Read, Void
from readbell.core.cartridge.events import VoidReason
from readbell.core.cartridge.looks import lapse
from readbell.core.instant import Instant, Span, later
from readbell.core.keeping.events import ErasedScope, RecordErased
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.private import Private
from readbell.core.reading.bands import Bands, LineSeen, Strength, Unreadable
from readbell.core.refusal import Refusal
from readbell.core.results.result import Result, result_of
from readbell.core.span_text import read_span

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge

NASAL = Library().find("respiratory-antigen-nasal")
THREE_LINES = Library().find("respiratory-antigen-three-lines")
START = Instant(1_774_745_600_000)
TODAY = date(2026, 3, 29)
LAST_DAY = date(2026, 12, 31)


def span(text: str) -> Span:
    """Return the span that `text` writes, as in a scenario."""
    found = read_span(text)
    assert found is not None, text
    return found


def at(text: str) -> Instant:
    """Return the instant so long after the start of the bench."""
    return later(START, span(text))


def private(value: str) -> Private:
    """Return an identifier whose key can be read in a failing test."""
    return Private(key=f"key-{value}", salt=f"salt-{value}", value=value)


def erased(person: str) -> RecordErased:
    """Return that whoever has this ID was erased, twenty minutes after the start."""
    return RecordErased(
        at=at("20:00"),
        by="key-op-1",
        scope=ErasedScope.PERSON,
        through=None,
        people=1,
        kept=0,
        keys=(f"key-{person}",),
        words=None,
    )


def bands(
    control: bool | None = True,  # reads as what is seen
    unreadable: Unreadable | None = None,
    **lines: str,
) -> Bands:
    """Return bands; a line's dashes are written as underscores: sars_cov_2="faint"."""
    seen = tuple(
        LineSeen(line=name.replace("_", "-"), strength=Strength(strength))
        for name, strength in lines.items()
    )
    return Bands(control=control, lines=seen, unreadable=unreadable)


NEGATIVE = bands(sars_cov_2="absent")
FAINT = bands(sars_cov_2="faint")
CLEAR = bands(sars_cov_2="clear")
NO_CONTROL = bands(control=False, sars_cov_2="clear")
SMEAR = Bands(unreadable=Unreadable.SMEAR)


class Bench:
    """One operator, two persons, one lot; every act goes through decide and fold."""

    def __init__(
        self,
        assay: Assay = NASAL,
        *,
        units: int | None = 20,
        expires: date = LAST_DAY,
        mode: Mode = Mode.REHEARSAL,
    ) -> None:
        self.board = Board()
        self.assay = assay
        self._ids = count(1)
        basis = Basis.REHEARSAL if mode is Mode.REHEARSAL else Basis.CHECKED
        self.board = fold(
            self.board, BayFounded(at=START, bay="Harrow Quay", timezone="UTC", mode=mode)
        )
        self.must(RegisterOperator(by=None, operator=private("op-1")))
        self.must(RegisterOperator(by="op-1", operator=private("op-2")))
        self.adopt(assay, basis)
        self.receive("L-100", assay, expires=expires, units=units)
        for person in ("P-001", "P-002"):
            self.must(RegisterPerson(by="op-1", person=private(person)))

    def adopt(self, assay: Assay, basis: Basis = Basis.REHEARSAL) -> None:
        """Take an assay into use."""
        self.must(
            AdoptAssay(
                by="op-1",
                assay=assay,
                content_hash=content_hash(assay),
                basis=basis,
                instructions_version="1",
            )
        )

    def receive(
        self, number: str, assay: Assay, *, expires: date = LAST_DAY, units: int | None = 20
    ) -> None:
        """Let a lot of an assay come in."""
        act = ReceiveLot(by="op-1", number=number, assay=assay.id, expires=expires, units=units)
        self.must(act)

    def decides(self, **decisions: object) -> None:
        """Let the site decide something."""
        policy = SitePolicy(**decisions)  # type: ignore[arg-type]
        self.board = fold(self.board, PolicySet(at=START, policy=policy))

    def do(self, act: Act, now: str = "0:00") -> tuple[Event, ...] | Refusal:
        """Judge `act` at `now` and, if it is taken, put what follows on the board."""
        decided = decide(self.board, act, at(now))
        if not isinstance(decided, Refusal):
            for event in decided:
                self.board = fold(self.board, event)
        return decided

    def must(self, act: Act, now: str = "0:00") -> tuple[Event, ...]:
        """Judge `act` and insist that it is taken."""
        decided = self.do(act, now)
        assert not isinstance(decided, Refusal), decided
        return decided

    def refused(self, act: Act, now: str = "0:00") -> Refusal:
        """Judge `act` and insist that it is refused, and that nothing changed."""
        before = self.board
        decided = self.do(act, now)
        assert isinstance(decided, Refusal), decided
        assert self.board is before
        return decided

    def aim(self, label: str = "C1", **named: str | None) -> Aim:
        """Return an aim at the cartridge `label`, by op-1 unless said otherwise."""
        return Aim(
            by=named.get("by") or "op-1",
            cartridge=label,
            scanned=named.get("scanned"),
            person=named.get("person"),
        )

    def label_act(self, label: str = "C1", person: str = "P-001", **named: str) -> Label:
        """Return the act that starts a cartridge."""
        return Label(
            aim=self.aim(label, person=person, **named),
            new_id=f"id-{label}",
            lot=named.get("lot", "L-100"),
            today=TODAY,
        )

    def step_act(
        self, step: str, label: str = "C1", *, done_at: str | None = None, doubt: str = "0:00"
    ) -> DoStep:
        """Return the act of one step, stated afterwards if `done_at` is given."""
        return DoStep(
            aim=self.aim(label),
            step=step,
            new_specimen=f"specimen-{next(self._ids)}",
            done_at=None if done_at is None else at(done_at),
            give_or_take=span(doubt),
        )

    def look_act(self, seen: Bands, label: str = "C1", **named: str) -> Look:
        """Return an early look."""
        return Look(aim=self.aim(label, **named), bands=seen)

    def read_act(self, seen: Bands, label: str = "C1", **named: str) -> Read:
        """Return a window reading."""
        return Read(aim=self.aim(label, **named), bands=seen)

    def void_act(self, label: str = "C1") -> Void:
        """Return an act that gives a cartridge up."""
        return Void(aim=self.aim(label), reason=VoidReason.DROPPED)

    def hold_act(self, lot: str = "L-100", by: str = "op-1") -> HoldLot:
        """Return an act that stops a lot."""
        return HoldLot(by=by, lot=lot)

    def label(self, label: str = "C1", person: str = "P-001", now: str = "0:00") -> Cartridge:
        """Start a cartridge."""
        self.must(self.label_act(label, person), now)
        return self.cartridge(label)

    def step(self, step: str, now: str, label: str = "C1") -> Cartridge:
        """Do one step of a cartridge."""
        self.must(self.step_act(step, label), now)
        return self.cartridge(label)

    def to_well(
        self, label: str = "C1", person: str = "P-001", *, applied: str = "2:30"
    ) -> Cartridge:
        """Take a cartridge from its label to the well, all but the drops at the start."""
        self.label(label, person)
        for step in ("buffer", "collect", "extract"):
            self.step(step, "0:00", label)
        self.step("withdraw", "1:00", label)
        return self.step("apply", applied, label)

    def result(self, label: str = "C1") -> Result:
        """Return the result of a cartridge as it now stands."""
        return result_of(self.cartridge(label))

    def lapse(self, label: str = "C1", now: str = "22:30.001") -> None:
        """Let the window of a cartridge close unread: of one with its drops at 2:30."""
        self.board = fold(self.board, lapse(self.cartridge(label), at(now)))

    def cartridge(self, label: str = "C1") -> Cartridge:
        """Return the cartridge `label` as it is now."""
        found = self.board.labelled(label)
        assert found is not None, label
        return found
