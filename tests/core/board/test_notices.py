"""What the site has to tell an office, within its hours."""

from __future__ import annotations

from dataclasses import replace

from builders import CLEAR, NEGATIVE, NO_CONTROL, at
from core.board.telling_bench import OFFICE, TellingBench
from readbell.core.board.closing_checks import still_to_notify, still_to_tell
from readbell.core.board.worklist import is_notice_overdue
from readbell.core.results.telling import Hearer
from readbell.core.results.to_tell import Urgency


def test_an_office_is_to_be_notified_within_the_hours_of_the_site() -> None:
    """Counted from the reading; overdue it goes before the positives."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    made.read(CLEAR)
    due = "2:18:00"

    assert made.to_tell() == [("C1", "positive"), ("C1", "notice")]
    assert not is_notice_overdue(made.board, at("2:17:59"))
    assert made.to_tell(due) == [("C1", "notice"), ("C1", "positive")]
    assert is_notice_overdue(made.board, at(due))
    assert made.lines()[1].at == at(due)
    assert still_to_tell(made.board, at(due)) == ("C1",)
    assert still_to_notify(made.board, at(due)) == ("C1",)
    made.tell(to=Hearer.OFFICE)
    assert made.to_tell() == [("C1", "positive")]


def test_an_office_that_was_notified_wrongly_is_notified_again() -> None:
    """And of what was never notified and is taken back, it hears nothing."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    made.read(CLEAR, "C1")
    made.read(CLEAR, "C2", "P-002")
    made.tell(to=Hearer.OFFICE)

    for label in ("C1", "C2"):
        made.withdraw(label)

    assert made.to_tell() == [("C1", "notice"), ("C1", "repeat"), ("C2", "repeat")]
    made.tell(to=Hearer.OFFICE, now="24:00")
    assert made.to_tell() == [("C1", "repeat"), ("C2", "repeat")]


def test_negatives_are_left_out_of_notices_where_the_site_says_so() -> None:
    """Else they are notified too; what is to be repeated never is, nor what is held."""
    left_out = TellingBench()
    left_out.decides(notices=(replace(OFFICE, negatives=False),))
    kept = TellingBench()
    kept.decides(notices=(OFFICE,))
    for made in (left_out, kept):
        made.read(NEGATIVE, "C1")
        made.read(NO_CONTROL, "C2", "P-002")

    assert not left_out.board.to_notify
    left_out.amend(CLEAR, "C1")
    assert set(left_out.board.to_notify) == {"id-C1"}
    left_out.amend(NEGATIVE, "C1", now="26:00")
    assert not left_out.board.to_notify
    assert set(kept.board.to_notify) == {"id-C1"}
    kept.hold("C1")
    assert not [each for each in kept.to_tell() if each[1] == "notice"]


def test_a_preliminary_positive_is_not_notified() -> None:
    """What is read in the window is."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    made.tell(now="6:00")
    assert not made.board.to_notify

    made.must(made.read_act(CLEAR), "18:00")

    assert set(made.board.to_notify) == {"id-C1"}


def test_a_rule_that_a_site_gave_up_asks_for_nothing_more() -> None:
    """What was owed by it is owed no longer, and other assays never were."""
    made = TellingBench()
    made.decides(notices=(OFFICE, replace(OFFICE, assay="another")))
    made.read(CLEAR)
    made.decides(notices=(replace(OFFICE, assay="another"),))

    assert made.to_tell() == [("C1", "positive")]
    made.read(CLEAR, "C2", "P-002")
    assert not [each for each in made.to_tell() if each[1] == "notice"]


def test_a_notice_names_the_office_and_what_was_told_before() -> None:
    """It goes to the office and to nobody else."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    made.read(CLEAR)
    word = made.tell()
    (line,) = made.lines("20:00")

    assert line.urgency is Urgency.NOTICE
    assert line.notice is not None
    assert line.notice.office == OFFICE.office
    assert line.told == (word,)
    assert line.misled == ()
    assert line.may_hear == (Hearer.OFFICE,)
