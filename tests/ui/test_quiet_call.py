"""The call where nothing calls: it is quiet, and says what comes next and what hands may go on with."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NASAL, NEGATIVE, Bench, at, private, span
from readbell.core.assay.step import Wait
from readbell.core.board.acts import RegisterParty
from readbell.ui.ink import Token
from ui.calls import drawn, in_buffer, left, right


def test_a_wait_to_come_is_never_worded_like_one_that_is_over() -> None:
    """On a small screen there is no room for "in": "wait over 0:08" would say that it ended."""
    bench = Bench()
    for label, person in (("C01", "P-001"), ("C02", "P-002")):
        bench.label(label, person)
        for step in ("buffer", "collect", "extract"):
            bench.step(step, "0:00", label)
    for size in ((80, 24), (120, 40), (40, 12)):
        shown = "\n".join(each.text for each in drawn(bench.board, at("0:50"), size=size))
        assert "0:10" in shown or "█" in shown
        assert "over" not in shown
    assert right(drawn(bench.board, at("0:50"), size=(80, 24)), 58)[0] == "C02 wait ends 0:10"


def test_when_nothing_is_due_it_is_quiet_and_says_what_comes_next() -> None:
    """No fill, no bright digit."""
    bench = Bench()
    bench.to_well()
    lines = drawn(bench.board, at("10:00"))

    assert left(lines)[:4] == ["Nothing due", "", "next P-001", "e  opens in"]
    tokens = {piece.token for each in lines for piece in each.pieces if "█" in piece.text}
    assert tokens == {Token.RAIL}


def test_a_wait_and_a_limit_to_come_say_what_they_are() -> None:
    """The figure alone would not."""
    bench = Bench()
    bench.label()
    for step in ("buffer", "collect", "extract"):
        bench.step(step, "0:00")
    assert "in buffer: ends in" in left(drawn(bench.board, at("0:30")))

    steps = tuple(
        replace(each, wait=Wait(until="withdraw", most=span("2:00")))
        if each.key == "extract"
        else each
        for each in NASAL.steps
    )
    other = Bench(replace(NASAL, steps=steps))
    other.label()
    for step in ("buffer", "collect", "extract"):
        other.step(step, "0:00")
    assert "to be done within" in left(drawn(other.board, at("0:30")))


def test_an_empty_bay_says_how_to_begin_and_a_done_one_what_was_done() -> None:
    """A blank place might be a broken one."""
    assert drawn(Bench().board)[0].text.strip() == "Nothing runs. F2 starts the first patient."
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    assert drawn(bench.board, at("19:00"))[0].text.strip() == "All read. 1 today, last 01:11."


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_how_many_are_to_be_repeated_stands_in_one_place(size: tuple[int, int]) -> None:
    """Twice in one band it reads as two things."""
    bench = Bench()
    bench.to_well("C1", "P-001")
    bench.must(bench.void_act("C1"), "5:00")
    bench.label("C2", "P-002", "5:00")
    shown = "\n".join(each.text for each in drawn(bench.board, at("5:10"), size=size))

    assert "1 to work on" in shown
    assert shown.count("1 to repeat") == 1


def test_while_somebody_waits_the_call_says_to_scan_them() -> None:
    """They were entered; F2 is for others."""
    bench = Bench()
    bench.must(
        RegisterParty(
            by="op-1", party=private("party 1"), persons=(private("P-777"), private("P-778"))
        )
    )
    assert drawn(bench.board)[0].text.strip() == (
        "Nothing runs. 2 to begin: scan the ID of whoever is next."
    )


def test_what_only_waits_for_a_hand_is_no_call() -> None:
    """A labelled cartridge has no time against it."""
    bench = Bench()
    bench.label()

    lines = drawn(bench.board, at("0:10"))
    assert left(lines) == ["1 to work on", "", "next P-001", "Buffer into the tube", ""]
    assert not any("fill" in piece.token for each in lines for piece in each.pieces)


def test_the_drops_that_are_due_are_called_quietly() -> None:
    """Between the squeezed swab and the drops no clock runs, and still the hands are wanted."""
    bench = Bench()
    bench.to_well("C2", "P-002", applied="2:30")
    in_buffer(bench, "C1", "P-001", "3:00")
    bench.step("withdraw", "4:00", "C1")
    lines = drawn(bench.board, at("4:20"))

    assert left(lines)[:4] == [">  drops due", "", "P-001", "Drops onto the well"]
    assert not any("fill" in piece.token for each in lines for piece in each.pieces)
    assert "> C1 drops due Drops onto the well" in right(drawn(bench.board, at("18:00")))


def test_whoever_is_owed_a_repeat_is_told_where_nothing_is_due() -> None:
    """Twenty-three of them are not nothing."""
    bench = Bench()
    bench.to_well("C1", "P-001", applied="2:30")
    bench.to_well("C2", "P-002", applied="2:40")
    bench.must(bench.void_act("C1"), "5:00")
    lines = drawn(bench.board, at("6:00"))
    assert left(lines)[0] == "1 to repeat"
    assert "x 1 to repeat P-001" in right(lines)
    # A row of masked IDs tells nobody anything: where the names are does.
    assert "x 1 to repeat F9, Patients" in right(drawn(bench.board, at("6:00"), masked=True))

    bench.must(bench.void_act("C2"), "6:00")
    assert drawn(bench.board, at("7:00"))[0].text.strip() == "2 to repeat: P-001, P-002."
    masked = drawn(bench.board, at("7:00"), masked=True)[0].text
    assert masked.strip() == "2 to repeat: F9, Patients says who."
