"""Whoever was told what no longer holds is put right before all else."""

from __future__ import annotations

from dataclasses import replace

from builders import CLEAR, FAINT, NEGATIVE, THREE_LINES, at, bands, span
from core.board.telling_bench import OFFICE, TellingBench
from readbell.core.people.particulars import ToldTo
from readbell.core.results.status import ResultStatus
from readbell.core.results.telling import Hearer


def test_an_early_positive_that_is_withheld_puts_everybody_right_who_heard_it() -> None:
    """It names them, and stays first until each of them was told."""
    made = TellingBench()
    made.consents(ToldTo.GUARDIAN)
    made.read(FAINT, "C2", "P-002", now="17:40")
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    made.tell(now="6:00")
    made.tell(to=Hearer.GUARDIAN, now="7:00")
    made.must(made.read_act(NEGATIVE), "18:00")

    assert made.to_tell() == [("C1", "put-right"), ("C2", "positive")]
    assert [each.to for each in made.lines()[0].misled] == [Hearer.PERSON, Hearer.GUARDIAN]
    made.tell(now="20:00")
    assert [each.to for each in made.lines()[0].misled] == [Hearer.GUARDIAN]
    made.tell(to=Hearer.GUARDIAN, now="21:00")
    assert made.to_tell() == [("C2", "positive")]


def test_a_preliminary_positive_that_was_amended_away_misled() -> None:
    """Though nobody was told in between."""
    made = TellingBench()
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    made.tell(now="6:00")
    made.must(made.read_act(CLEAR), "18:00")
    made.amend(NEGATIVE)

    assert made.to_tell() == [("C1", "put-right")]


def test_a_second_early_look_that_shows_more_misled_nobody() -> None:
    """It is one more thing to tell."""
    one = bands(influenza_a="clear", influenza_b="absent", sars_cov_2="absent")
    two = bands(influenza_a="clear", influenza_b="absent", sars_cov_2="clear")
    rules = replace(THREE_LINES.reading, early_from=span("2:00"))
    made = TellingBench(replace(THREE_LINES, reading=rules))
    made.to_well()
    made.must(made.look_act(one), "5:00")
    made.tell(now="6:00")
    made.must(made.look_act(two), "7:00")

    assert made.to_tell("8:00") == [("C1", "positive")]


def test_a_repeat_that_was_begun_does_not_put_right_who_was_misled() -> None:
    """A new swab is no word about the old one."""
    made = TellingBench()
    made.read(CLEAR)
    made.tell()
    made.withdraw()
    made.label("C2", now="25:00")

    assert made.to_tell() == [("C1", "put-right")]


def test_whoever_heard_what_was_amended_since_is_put_right() -> None:
    """An amendment that says the same misled nobody."""
    made = TellingBench()
    made.read(FAINT)
    made.tell()
    made.amend(CLEAR)
    assert not made.to_tell()

    made.amend(NEGATIVE, now="26:00")

    assert made.to_tell() == [("C1", "put-right")]
    assert made.tell(now="27:00").status is ResultStatus.AMENDED
    assert not made.to_tell()


def test_what_was_taken_back_is_in_order_by_when_that_was_done() -> None:
    """Since then it does not hold."""
    made = TellingBench()
    made.read(CLEAR)
    made.tell()
    made.withdraw(now="23:00")
    (line,) = made.lines()

    assert line.at == at("23:00")


def test_so_is_a_run_on_paper_and_its_office_has_its_hours_from_then_on() -> None:
    """Else the office would be overdue with the very act that took it back."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    made.from_paper()
    for to in (Hearer.PERSON, Hearer.OFFICE):
        made.tell("K1", to, now="41:00")
    made.withdraw("K1", now="9:00:00")

    right, notice = made.lines("9:00:00")

    assert right.at == at("9:00:00")
    assert notice.at == at("11:00:00")
