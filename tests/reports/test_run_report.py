"""The report of a rehearsal: the stable contract by which others check the program."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from builders import (
    CLEAR,
    FAINT,
    NEGATIVE,
    NO_CONTROL,
    START,
    THREE_LINES,
    Bench,
    at,
    bands,
)
from readbell.core.board.fold import fold
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.cartridge.looks import lapse
from readbell.core.refusal import RefusalCode
from readbell.reports.run_report import ActLine, run_report

if TYPE_CHECKING:
    from collections.abc import Sequence

END = at("10:00")
"""While a strip applied at 2:30 still develops."""


def report(
    bench: Bench, acts: Sequence[ActLine] = (), alerts: Sequence[AlertRaised] = ()
) -> dict[str, Any]:
    """The report of a bench."""
    return run_report(
        title="A morning",
        starts=START,
        ends=END,
        acts=acts,
        alerts=alerts,
        board=bench.board,
        events=7,
        head="ab" * 32,
    )


def only(bench: Bench) -> dict[str, Any]:
    """The report of the last cartridge of a bench."""
    found: dict[str, Any] = report(bench)["cartridges"][-1]
    return found


@pytest.fixture
def bench() -> Bench:
    """A bench on which C1 has its drops since 2:30."""
    found = Bench()
    found.to_well()
    return found


def test_the_keys_are_those_of_the_contract_and_in_its_order(bench: Bench) -> None:
    """Others read them by name; one more or one less would be another contract."""
    found = report(
        bench,
        [ActLine(at=START, refusal=None, says="done")],
        [AlertRaised(at=START, cartridge="id-C1", alert=AlertKind.READ_NOW, due=START, step="")],
    )

    assert list(found) == ["title", "acts", "alerts", "cartridges", "journal"]
    assert list(found["acts"][0]) == ["n", "at_s", "accepted", "refusal", "says"]
    assert list(found["alerts"][0]) == ["at_s", "cartridge", "kind"]
    assert list(found["cartridges"][0]) == [
        "cartridge",
        "person",
        "lot",
        "stage",
        "outcome",
        "analytes",
        "applied_s",
        "read_s",
        "elapsed_s",
        "early_positive_s",
        "operator",
        "repeat_of",
        "deviations",
    ]
    assert list(found["journal"]) == ["events", "head"]


def test_every_value_is_plain_json(bench: Bench) -> None:
    """No enumeration and no instant may leak into the output."""
    bench.must(bench.read_act(CLEAR), "18:00")
    found = report(bench)

    assert json.loads(json.dumps(found)) == found


def test_acts_are_counted_from_nothing_and_told_with_their_refusals() -> None:
    """An act and a refusal stand in one list, in the order they were made."""
    acts = [
        ActLine(at=at("0:30"), refusal=None, says="done."),
        ActLine(at=at("0:30.250"), refusal=RefusalCode.TOO_EARLY, says="no."),
    ]

    assert report(Bench(), acts)["acts"] == [
        {"n": 0, "at_s": 30.0, "accepted": True, "refusal": None, "says": "done."},
        {"n": 1, "at_s": 30.25, "accepted": False, "refusal": "too-early", "says": "no."},
    ]


def test_alerts_name_the_label_and_the_instant_of_announcing(bench: Bench) -> None:
    """Seconds after the start, milliseconds as decimals."""
    alert = AlertRaised(
        at=at("22:30.001"),
        cartridge="id-C1",
        alert=AlertKind.LAPSED,
        due=at("22:30.001"),
        step="",
    )

    assert report(bench, alerts=[alert])["alerts"] == [
        {"at_s": 1350.001, "cartridge": "C1", "kind": "lapsed"}
    ]


def test_a_read_cartridge_is_told_whole(bench: Bench) -> None:
    """What was read, by whom, how long after the drops."""
    bench.must(bench.read_act(FAINT), "18:00.500")

    assert only(bench) == {
        "cartridge": "C1",
        "person": "P-001",
        "lot": "L-100",
        "stage": "read",
        "outcome": "positive",
        "analytes": {"sars-cov-2": "positive"},
        "applied_s": 150.0,
        "read_s": 1080.5,
        "elapsed_s": 930.5,
        "early_positive_s": None,
        "operator": "op-1",
        "repeat_of": None,
        "deviations": [],
    }


def test_a_cartridge_that_was_never_applied_has_no_outcome() -> None:
    """It ends in the stage it was in; what is absent is null."""
    bench = Bench()
    bench.label()
    found = only(bench)

    assert (found["stage"], found["outcome"]) == ("labelled", None)
    assert found["analytes"] == {"sars-cov-2": None}
    assert (found["applied_s"], found["read_s"], found["operator"]) == (None, None, None)


def test_an_early_positive_is_told_by_its_first_look(bench: Bench) -> None:
    """A second look takes nothing back and moves nothing."""
    bench.must(bench.look_act(CLEAR), "6:00")
    bench.must(bench.look_act(CLEAR), "9:00")

    assert only(bench)["early_positive_s"] == 210.0


def test_a_lapsed_cartridge_is_invalid_and_read_by_nobody(bench: Bench) -> None:
    """`elapsed_s` and `read_s` are of the window reading alone."""
    bench.board = fold(bench.board, lapse(bench.cartridge(), at("22:30.001")))
    found = only(bench)

    assert (found["stage"], found["outcome"]) == ("lapsed", "invalid")
    assert (found["read_s"], found["elapsed_s"], found["operator"]) == (None, None, None)


def test_a_lapsed_cartridge_keeps_its_early_positive(bench: Bench) -> None:
    """Stage lapsed, outcome positive."""
    bench.must(bench.look_act(CLEAR), "6:00")
    bench.board = fold(bench.board, lapse(bench.cartridge(), at("22:30.001")))
    found = only(bench)

    assert (found["stage"], found["outcome"]) == ("lapsed", "positive")


def test_a_void_cartridge_has_no_outcome(bench: Bench) -> None:
    """Given up is not read."""
    bench.must(bench.void_act(), "3:00")

    assert (only(bench)["stage"], only(bench)["outcome"]) == ("void", None)


def test_a_contradiction_is_withheld(bench: Bench) -> None:
    """The cartridge and its analyte say so alike."""
    bench.must(bench.look_act(CLEAR), "6:00")
    bench.must(bench.read_act(NEGATIVE), "18:00")

    assert (only(bench)["outcome"], only(bench)["analytes"]["sars-cov-2"]) == (
        "withheld",
        "withheld",
    )


def test_analytes_stand_in_the_order_of_the_device() -> None:
    """Each under its key, whatever was seen."""
    bench = Bench(THREE_LINES)
    bench.to_well()
    seen = bands(influenza_a="absent", influenza_b="clear", sars_cov_2="absent")
    bench.must(bench.read_act(seen), "18:00")

    assert list(only(bench)["analytes"].items()) == [
        ("influenza-a", "negative"),
        ("influenza-b", "positive"),
        ("sars-cov-2", "negative"),
    ]


def test_a_repeat_names_what_it_repeats(bench: Bench) -> None:
    """By the label people can find on the first strip."""
    bench.must(bench.read_act(NO_CONTROL), "18:00")
    bench.label("C2", now="19:00")

    assert only(bench)["repeat_of"] == "C1"


def test_a_deviation_is_told_in_seconds() -> None:
    """The whole wait, not what it was too long by."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    bench.step("withdraw", "3:00.250")

    assert only(bench)["deviations"] == [{"code": "extract-long", "seconds": 180.25}]


def test_cartridges_stand_in_the_order_of_labelling() -> None:
    """Running, read or lapsed: the order never depends on what became of them."""
    bench = Bench()
    for label in ("C2", "C1", "C3"):
        bench.to_well(label)
    bench.must(bench.read_act(CLEAR, "C1"), "18:00")

    assert [each["cartridge"] for each in report(bench)["cartridges"]] == ["C2", "C1", "C3"]


def test_the_journal_is_told_by_its_length_and_its_end() -> None:
    """The head is what somebody notes down and later checks against."""
    assert report(Bench())["journal"] == {"events": 7, "head": "ab" * 32}
