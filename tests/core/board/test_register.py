"""Operators, persons, assays and lots become known, each once and by somebody who is known."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, START, Bench, private
from readbell.core.assay.events import Basis
from readbell.core.board.acts import (
    Act,
    AdoptAssay,
    ReceiveLot,
    RegisterOperator,
    RegisterPerson,
)
from readbell.core.board.board import Board
from readbell.core.board.decide import decide
from readbell.core.board.events import BayFounded, Mode
from readbell.core.board.fold import fold
from readbell.core.board.stock import lots_on_hold
from readbell.core.refusal import Refusal
from readbell.core.stock.lot import Delivery, Lot

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

LATER = replace(NASAL, title="The same test, after a change of its file")
YEAR_END = date(2026, 12, 31)


def adoption(
    by: str | None = "op-1",
    assay: Assay = LATER,
    content_hash: str = "hash-2",
    basis: Basis = Basis.CHECKED,
    version: str = "2026-01",
) -> AdoptAssay:
    """Take the changed assay into use, checked against its instructions."""
    return AdoptAssay(
        by=by,
        assay=assay,
        content_hash=content_hash,
        basis=basis,
        instructions_version=version,
    )


def receipt(by: str | None = "op-1", number: str = "L-200", assay: str = NASAL.id) -> ReceiveLot:
    """Receive ten units."""
    return ReceiveLot(by=by, number=number, assay=assay, expires=YEAR_END, units=10)


NEW: dict[str, Act] = {
    "operator": RegisterOperator(by=None, operator=private("op-9")),
    "person": RegisterPerson(by=None, person=private("P-009")),
    "adoption": adoption(by=None),
    "lot": receipt(by=None),
}


@pytest.mark.parametrize("kind", NEW)
def test_a_stranger_vouches_for_nothing(kind: str) -> None:
    """The record would name a key that it never introduced."""
    act = NEW[kind]
    assert isinstance(act, RegisterOperator | RegisterPerson | AdoptAssay | ReceiveLot)
    refusal = Bench().refused(replace(act, by="nobody"))

    assert (refusal.code, refusal.subject) == ("unknown-operator", "nobody")


@pytest.mark.parametrize("kind", NEW)
def test_in_a_live_bay_somebody_vouches_for_everything(kind: str) -> None:
    """Once an operator is known there is no entry without a name."""
    bench = Bench(mode=Mode.LIVE)
    act = NEW[kind]
    assert isinstance(act, RegisterOperator | RegisterPerson | AdoptAssay | ReceiveLot)

    assert bench.refused(act).code == "unknown-operator"
    (event,) = bench.must(replace(act, by="op-1"))
    assert getattr(event, "by", None) == "key-op-1"


@pytest.mark.parametrize("kind", NEW)
def test_a_rehearsal_sets_itself_up(kind: str) -> None:
    """A scenario file brings its own people and lots, and nobody is tested there."""
    (event,) = Bench(mode=Mode.REHEARSAL).must(NEW[kind])

    assert getattr(event, "by", "missing") is None


def test_the_first_operator_of_a_bay_registers_himself() -> None:
    """Somebody has to be the first; the second already needs the first."""
    founded = BayFounded(at=START, bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE)
    board = fold(Board(), founded)
    decided = decide(board, NEW["operator"], START)
    assert not isinstance(decided, Refusal)
    board = fold(board, decided[0])
    second = decide(board, RegisterOperator(by=None, operator=private("op-2")), START)

    assert board.operators == {"op-9": "key-op-9"}
    assert isinstance(second, Refusal)
    assert second.code == "unknown-operator"


@pytest.mark.parametrize(
    ("act", "subject"),
    [
        pytest.param(
            RegisterOperator(by="op-1", operator=private("op-2")), "operator", id="operator"
        ),
        pytest.param(RegisterPerson(by="op-1", person=private("P-001")), "person", id="person"),
        pytest.param(receipt(number="L-100"), "lot", id="lot"),
    ],
)
def test_what_is_known_is_not_entered_again(act: Act, subject: str) -> None:
    """A second key for one person would split their history in two."""
    refusal = Bench().refused(act)

    assert (refusal.code, refusal.subject) == ("already-known", subject)


def test_an_assay_is_adopted_once() -> None:
    """The very same content is in use already; a changed file is a new adoption."""
    bench = Bench()
    bench.must(adoption())

    refusal = bench.refused(adoption())
    assert (refusal.code, refusal.subject) == ("already-known", "assay")


@pytest.mark.parametrize(
    ("basis", "version", "is_taken"),
    [
        pytest.param(Basis.CHECKED, "2026-01", True, id="checked against a version"),
        pytest.param(Basis.CHECKED, "", False, id="no version named"),
        pytest.param(Basis.CHECKED, " \t", False, id="a version of blanks"),
        pytest.param(Basis.REHEARSAL, "2026-01", False, id="for practice only"),
    ],
)
def test_a_live_bay_takes_only_what_somebody_checked(
    basis: Basis, version: str, is_taken: bool
) -> None:
    """The kit's own instructions come first, so somebody has to have held the file to them."""
    act = adoption(basis=basis, version=version)
    bench = Bench(mode=Mode.LIVE)

    if is_taken:
        bench.must(act)
    else:
        assert bench.refused(act).code == "not-adopted"
    Bench(mode=Mode.REHEARSAL).must(act)


def test_a_bay_without_a_founding_is_taken_for_a_live_one() -> None:
    """Where nothing says that it is practice, the stricter rule holds."""
    decided = decide(Board(), adoption(by=None, basis=Basis.REHEARSAL), START)

    assert isinstance(decided, Refusal)
    assert decided.code == "not-adopted"


def test_a_lot_runs_the_latest_adoption_of_its_assay() -> None:
    """After a change of the file new lots follow it; older lots keep what they came in under."""
    bench = Bench()
    before = bench.board.lots["L-100"].assay
    bench.must(adoption())
    bench.must(receipt())

    assert bench.board.lots["L-200"] == Lot(
        number="L-200",
        assay="hash-2",
        expires=YEAR_END,
        units=10,
        deliveries=(Delivery(at=START, units=10),),
    )
    assert bench.board.lots["L-100"].assay == before
    assert before != "hash-2"


def test_a_lot_of_an_assay_nobody_adopted_is_refused() -> None:
    """There would be no steps and no window to run its cartridges by."""
    refusal = Bench().refused(receipt(assay="unheard-of"))

    assert (refusal.code, refusal.subject) == ("not-adopted", "unheard-of")


def test_any_operator_may_hold_a_lot_even_twice() -> None:
    """Whoever sees a bad box stops it at once; a second hold does no harm."""
    bench = Bench()
    bench.must(bench.hold_act(by="op-2"))
    bench.must(bench.hold_act(by="op-1"))

    assert bench.board.lots["L-100"].on_hold
    assert lots_on_hold(bench.board) == {"L-100"}


@pytest.mark.parametrize(
    ("by", "lot", "code"),
    [
        pytest.param("nobody", "L-404", "unknown-operator", id="a stranger"),
        pytest.param("op-1", "L-404", "unknown-lot", id="a lot nobody received"),
    ],
)
def test_a_hold_needs_an_operator_and_a_lot(by: str, lot: str, code: str) -> None:
    """The operator is asked for first, as everywhere."""
    bench = Bench()

    assert bench.refused(bench.hold_act(lot, by)).code == code
