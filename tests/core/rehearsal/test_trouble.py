"""What is in the way of steady hands, and what they make of it."""

from __future__ import annotations

from dataclasses import replace

from builders import NASAL, START, at, span
from core.rehearsal.test_scenario import SCENARIO
from readbell.core.board.entry import Do
from readbell.core.instant import Instant
from readbell.core.rehearsal.scenario import (
    Flaw,
    FlawKind,
    Interruption,
    InterruptionKind,
    ScriptedPerson,
)
from readbell.core.rehearsal.steady_hands import Box, Deed, SteadyHands, Visitor
from readbell.core.rehearsal.trouble import NO_TROUBLE, Trouble, trouble_of
from readbell.core.rehearsal.virtual_cartridge import Shows

TROUBLED = replace(
    SCENARIO,
    operators=("op-1", "op-2"),
    persons=(
        *SCENARIO.persons,
        ScriptedPerson(id="P-002", arrives=span("0:00"), shows=Shows()),
    ),
    interruptions=(
        Interruption(
            at=span("1:00"),
            kind=InterruptionKind.CALLED_AWAY,
            says="Come.",
            operator="op-1",
            until=span("3:00"),
        ),
        Interruption(
            at=span("2:00"), kind=InterruptionKind.CAR_LEAVES, says="Go.", persons=("P-001",)
        ),
    ),
    flaws=(
        Flaw(cartridge="C1", kind=FlawKind.OUT_OF_DATE),
        Flaw(cartridge="C2", kind=FlawKind.LABEL_SWAPPED, other="C4"),
    ),
)


def hands(trouble: Trouble, *people: str) -> SteadyHands:
    """Return one pair of hands, with `people` before it from the start."""
    visitors = [Visitor(person=each, arrives=START) for each in people]
    return SteadyHands(["op-1"], visitors, lambda: Box(lot="L-1", assay=NASAL), trouble)


def deeds(found: SteadyHands, many: int) -> list[tuple[str, str, str | None]]:
    """Return the first deeds: what, on which cartridge, for what reason."""
    now, done = START, []
    for _ in range(many):
        each = found.next_deed("op-1", now)
        assert isinstance(each, Deed)
        done.append(
            (each.entry.step or str(each.entry.do), each.entry.cartridge, each.entry.reason)
        )
        now = each.ends
    return done


def test_trouble_is_placed_on_the_line_of_the_bay() -> None:
    """Instants of the bay, and labels of both devices that were mixed up."""
    found = trouble_of(TROUBLED, START)

    assert found.away == {"op-1": ((at("1:00"), at("3:00")),), "op-2": ()}
    assert found.leaves == {"P-001": at("2:00")}
    assert found.flawed == {"C1": "out-of-date", "C2": "label-error", "C4": "label-error"}


def test_whoever_is_called_away_is_back_when_they_said() -> None:
    """From the first instant of it to the last."""
    found = trouble_of(TROUBLED, START)

    assert found.back("op-1", at("0:59")) is None
    assert found.back("op-1", at("1:00")) == at("3:00")
    assert found.back("op-1", at("3:00")) is None
    assert found.back("op-9", at("2:00")) is None
    assert hands(found, "P-009").next_deed("op-1", at("2:00")) == at("3:00")


def test_somebody_has_left_from_the_instant_on_at_which_they_leave() -> None:
    """Before it they are there, and nobody else ever leaves."""
    found = trouble_of(TROUBLED, START)

    assert not found.has_left("P-001", Instant(at("2:00") - 1))
    assert found.has_left("P-001", at("2:00"))
    assert not found.has_left("P-002", at("9:00"))


def test_a_bad_device_is_voided_once_it_is_labelled_and_its_person_goes_first() -> None:
    """What is wrong is seen as the pouch is opened."""
    found = deeds(hands(Trouble(flawed={"C1": "out-of-date"}), "P-001", "P-002"), 4)

    assert found == [
        ("label", "C1", None),
        ("void", "C1", "out-of-date"),
        ("label", "C2", None),
        ("buffer", "C2", None),
    ]


def test_whoever_leaves_unswabbed_is_given_up_and_nobody_waits_for_them() -> None:
    """Their device goes into the waste, and the next person comes."""
    leaves = Trouble(leaves={"P-001": at("0:15")})

    assert deeds(hands(leaves, "P-001", "P-002"), 4) == [
        ("label", "C1", None),
        ("buffer", "C1", None),
        ("void", "C1", "declined"),
        ("label", "C2", None),
    ]


def test_whoever_leaves_once_they_are_swabbed_is_tested_all_the_same() -> None:
    """The specimen stays."""
    leaves = Trouble(leaves={"P-001": at("1:30")})

    assert [each[0] for each in deeds(hands(leaves, "P-001"), 4)] == [
        "label",
        "buffer",
        "collect",
        "extract",
    ]


def test_whoever_has_left_is_not_begun() -> None:
    """The next in the queue is."""
    found = hands(Trouble(leaves={"P-001": START}), "P-001", "P-002").next_deed("op-1", START)

    assert isinstance(found, Deed)
    assert (found.entry.do, found.entry.person) == (Do.LABEL, "P-002")


def test_where_nothing_is_said_nothing_is_in_the_way() -> None:
    """Old scenarios are played as they always were."""
    assert trouble_of(replace(SCENARIO, operators=()), START) == NO_TROUBLE
