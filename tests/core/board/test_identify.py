"""The right operator, the right cartridge, the right person: asked in one fixed order."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, NEGATIVE, Bench
from readbell.core.cartridge.acts import DoStep, Look, Read, Void
from readbell.core.cartridge.events import VoidReason
from readbell.core.reading.bands import Bands

if TYPE_CHECKING:
    from readbell.core.board.acts import Act

NOBODY_ASKED = Bands()

# The order of refusals as the headless contract fixes it.
FAULTS = {
    "operator": "unknown-operator",
    "cartridge": "unknown-cartridge",
    "scanned": "wrong-cartridge",
    "person": "wrong-person",
}


def bench_with(stage: str) -> Bench:
    """A bench whose cartridge C1 is of P-001, and C2 of P-002."""
    bench = Bench()
    bench.label("C2", "P-002")
    if stage == "labelled":
        bench.label()
    elif stage == "in buffer":
        bench.label()
        for step in ("buffer", "collect", "extract"):
            bench.step(step, "2:00")
    else:
        bench.to_well()
    if stage == "read":
        bench.must(bench.read_act(NEGATIVE), "17:30")
    elif stage == "void":
        bench.must(bench.void_act(), "2:30")
    return bench


def act_with(bench: Bench, faults: frozenset[str], kind: str) -> Act:
    """An act of `kind` on C1 with everything wrong that `faults` names."""
    aim = bench.aim(
        "C9" if "cartridge" in faults else "C1",
        by="nobody" if "operator" in faults else "op-1",
        scanned="C2" if "scanned" in faults else "C1",
        person="P-002" if "person" in faults else "P-001",
    )
    match kind:
        case "step":
            return DoStep(aim=aim, step="withdraw", new_specimen="specimen")
        case "look":
            return Look(aim=aim, bands=NOBODY_ASKED)
        case "read":
            return Read(aim=aim, bands=NOBODY_ASKED)
        case _:
            return Void(aim=aim, reason=VoidReason.DROPPED)


@pytest.mark.parametrize(
    ("kind", "stage", "now", "last"),
    [
        pytest.param("read", "developing", "17:29.999", "too-early", id="read too early"),
        pytest.param("read", "developing", "17:30", "bad-bands", id="read without an answer"),
        pytest.param("read", "developing", "22:30.001", "window-closed", id="read too late"),
        pytest.param("read", "read", "17:31", "already-read", id="read twice"),
        pytest.param("read", "labelled", "17:30", "out-of-order", id="read before the drops"),
        pytest.param("look", "developing", "4:29.999", "too-early", id="look too early"),
        pytest.param("look", "developing", "4:30", "bad-bands", id="look without an answer"),
        pytest.param("look", "developing", "17:30", "not-allowed", id="look in the window"),
        pytest.param("look", "void", "4:30", "already-ended", id="look at a void cartridge"),
        pytest.param("step", "labelled", "2:30", "out-of-order", id="step out of turn"),
        pytest.param("step", "in buffer", "2:30", "wait-not-over", id="step before its wait"),
        pytest.param("step", "read", "17:31", "already-read", id="step on a read cartridge"),
        pytest.param("void", "read", "17:31", "already-read", id="void of a read cartridge"),
        pytest.param("void", "developing", "22:30.001", "already-ended", id="void after the close"),
    ],
)
def test_of_several_refusals_the_first_in_order_is_given(
    kind: str, stage: str, now: str, last: str
) -> None:
    """Operator, cartridge known, scanned, person, ended, order and waits, time, bands."""
    bench = bench_with(stage)
    faults = list(FAULTS)
    given = [
        str(bench.refused(act_with(bench, frozenset(faults[place:]), kind), now).code)
        for place in range(len(faults) + 1)
    ]

    assert given == [*FAULTS.values(), last]


@pytest.mark.parametrize(
    ("scanned", "is_taken"),
    [
        pytest.param("C1", True, id="the cartridge itself"),
        pytest.param(None, True, id="not scanned"),
        pytest.param("C2", False, id="another cartridge"),
        pytest.param("C9", False, id="a label nobody gave"),
        pytest.param("c1", False, id="the label in small letters"),
        pytest.param("", False, id="an empty scan"),
    ],
)
def test_a_scan_of_anything_else_is_a_wrong_cartridge(scanned: str | None, is_taken: bool) -> None:
    """Two cartridges of one batch look alike; the scan is what tells them apart."""
    bench = bench_with("developing")
    act = Read(aim=bench.aim(scanned=scanned), bands=CLEAR)

    if is_taken:
        bench.must(act, "17:30")
    else:
        refusal = bench.refused(act, "17:30")
        assert (refusal.code, refusal.subject) == ("wrong-cartridge", scanned)


@pytest.mark.parametrize(
    ("person", "is_taken"),
    [
        pytest.param("P-001", True, id="the person it is run for"),
        pytest.param(None, True, id="not asked"),
        pytest.param("P-002", False, id="another person"),
        pytest.param("P-404", False, id="a person nobody knows"),
    ],
)
def test_a_person_who_is_not_the_cartridges_is_refused(person: str | None, is_taken: bool) -> None:
    """Known or not, whoever is not the cartridge's own is the wrong person."""
    bench = bench_with("developing")
    act = Read(aim=bench.aim(person=person), bands=CLEAR)

    if is_taken:
        bench.must(act, "17:30")
    else:
        refusal = bench.refused(act, "17:30")
        assert (refusal.code, refusal.subject) == ("wrong-person", "C1")


def test_any_registered_operator_may_go_on_with_a_cartridge() -> None:
    """Hands change in the middle of a run; the record names each by their own key."""
    bench = bench_with("developing")
    bench.must(Read(aim=bench.aim(by="op-2"), bands=CLEAR), "17:30")

    reading = bench.cartridge().reading
    assert reading is not None
    assert reading.by == "key-op-2"


@pytest.mark.parametrize(
    ("stage", "now", "named", "code", "subject"),
    [
        pytest.param("labelled", "1:00", {"by": "nobody"}, "unknown-operator", "nobody", id="who"),
        pytest.param("labelled", "1:00", {"label": "C9"}, "unknown-cartridge", "C9", id="which"),
        pytest.param("read", "18:00", {}, "already-read", "C1", id="read"),
        pytest.param("developing", "22:30.001", {}, "window-closed", "C1", id="lapsed"),
        pytest.param("void", "3:00", {}, "already-ended", "C1", id="void"),
    ],
)
def test_a_refusal_says_what_it_is_about(
    stage: str, now: str, named: dict[str, str], code: str, subject: str
) -> None:
    """A sentence without its cartridge sends the hand to the wrong one."""
    refusal = (bench := bench_with(stage)).refused(bench.read_act(NEGATIVE, **named), now)

    assert (refusal.code, refusal.subject) == (code, subject)
