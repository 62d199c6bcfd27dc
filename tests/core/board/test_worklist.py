"""What is still to be told: the gravest first, nothing twice, and nothing forgotten."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, at, private
from core.any_acts import BENCH, PLANS, Plan, folded, record
from core.board.telling_bench import OFFICE, TellingBench
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.board import Board
from readbell.core.board.subjects import is_patients
from readbell.core.board.worklist import MOST, worklist
from readbell.core.people.particulars import ToldTo
from readbell.core.results.result import result_of
from readbell.core.results.telling import Hearer
from readbell.core.results.to_tell import Urgency, urgency_of


def test_positives_come_before_what_is_to_be_repeated_and_negatives_last() -> None:
    """Of one kind whoever waits longest comes first."""
    made = TellingBench()
    made.must(RegisterPerson(by="op-1", person=private("P-003")))
    made.read(NEGATIVE, "C1", "P-003", now="18:00")
    made.read(NO_CONTROL, "C2", "P-002", now="18:01")
    made.read(CLEAR, "C3", now="18:03")
    made.read(FAINT, "C4", "P-002", now="18:02")

    assert made.to_tell() == [
        ("C4", "positive"),
        ("C3", "positive"),
        ("C1", "negative"),
    ]


def test_whoever_is_to_be_tested_again_is_told_until_a_repeat_was_begun() -> None:
    """Then they know."""
    made = TellingBench()
    made.read(NO_CONTROL)
    assert made.to_tell() == [("C1", "repeat")]

    made.label("C2", now="25:00")

    assert not made.to_tell()


def test_an_unread_strip_is_to_be_told_since_its_window_closed() -> None:
    """Not since its label, before which nobody could have known."""
    made = TellingBench()
    made.to_well()
    made.lapse()
    (waiting,) = worklist(made.board, at("30:00")).waiting

    assert waiting.at == at("22:30")


def test_a_positive_that_was_seen_early_is_to_be_told_since_it_was_seen() -> None:
    """It is valid from then on, though its window has yet to open."""
    made = TellingBench()
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    (waiting,) = worklist(made.board, at("5:30")).waiting

    assert waiting.at == at("5:00")


def test_somebody_who_heard_that_it_is_to_be_repeated_is_on_no_list() -> None:
    """Though no repeat was begun yet."""
    made = TellingBench()
    made.read(NO_CONTROL)
    made.tell()

    assert not made.to_tell()


def test_a_preliminary_positive_that_holds_is_told_again_as_final() -> None:
    """They were told that the last reading was to come; nobody was misled."""
    made = TellingBench()
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    assert made.to_tell("5:30") == [("C1", "positive")]
    made.tell(now="6:00")
    assert not made.to_tell("7:00")

    made.must(made.read_act(CLEAR), "18:00")

    assert made.to_tell() == [("C1", "positive")]
    made.tell()
    assert not made.to_tell()


def test_whoever_heard_that_it_is_to_be_repeated_heard_it_whatever_the_reason_is_now() -> None:
    """Invalid or taken back: for them it is the same."""
    made = TellingBench()
    made.read(NO_CONTROL)
    made.tell()
    made.withdraw()

    assert not made.to_tell()


def test_a_hold_that_is_lifted_makes_nobody_be_told_again() -> None:
    """While it lasts nothing is to be told, and afterwards what was told holds."""
    made = TellingBench()
    made.read(CLEAR, "C1")
    made.read(CLEAR, "C2", "P-002")
    made.tell()
    for label in ("C1", "C2"):
        made.hold(label)
    assert not made.to_tell()

    for label in ("C1", "C2"):
        made.release(label)

    assert made.to_tell() == [("C2", "positive")]


def test_what_was_amended_before_anybody_heard_it_stands_where_it_belongs() -> None:
    """A negative that turned out positive is told before other negatives, and the other way round."""
    made = TellingBench()
    made.read(NEGATIVE, "C1")
    made.read(CLEAR, "C2", "P-002")
    made.amend(CLEAR, "C1")
    made.amend(NEGATIVE, "C2", now="25:01")

    assert made.to_tell() == [("C1", "positive"), ("C2", "negative")]


def test_what_was_taken_back_before_anybody_heard_it_is_to_be_repeated() -> None:
    """The person waits for a result that will not come."""
    made = TellingBench()
    made.read(CLEAR)
    made.withdraw()

    assert made.to_tell() == [("C1", "repeat")]


def test_a_void_cartridge_is_on_no_list() -> None:
    """Whoever stands there has seen it."""
    made = TellingBench()
    made.label()
    made.must(made.void_act())

    assert not made.to_tell()
    assert not made.board.to_tell


def test_a_strip_nobody_read_is_told_by_what_was_seen_early() -> None:
    """Lapsed with an early positive it is positive; without one, to be repeated."""
    made = TellingBench()
    made.to_well("C1")
    made.must(made.look_act(CLEAR), "5:00")
    made.to_well("C2", "P-002")
    for label in ("C1", "C2"):
        made.lapse(label)

    assert made.to_tell() == [("C1", "positive"), ("C2", "repeat")]


def test_what_is_older_is_left_out_for_those_who_may_not_see_it() -> None:
    """A tester sees the running day."""
    made = TellingBench()
    made.read(CLEAR)

    assert made.to_tell(back_to="0:00") == [("C1", "positive")]
    assert not made.to_tell(back_to="0:01")


def test_a_bay_that_never_tells_looks_at_a_bounded_number() -> None:
    """The rest is counted, not walked."""
    old = {f"gone-{n}": "key-P-001" for n in range(MOST + 3)}

    assert worklist(replace(Board(), to_tell=old), at("0:00")).more == 3


def test_whoever_was_erased_is_on_no_list() -> None:
    """Nobody knows any more whom to tell."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    made.read(CLEAR)
    names = {**made.board.names, "key-P-001": None}

    assert not worklist(replace(made.board, names=names), at("30:00")).waiting


def test_a_run_on_paper_is_to_be_told_as_any_other() -> None:
    """It starts no repeat by itself, so it stays until somebody was told."""
    made = TellingBench()
    made.from_paper()

    assert made.to_tell("50:00") == [("K1", "positive")]
    assert made.to_tell("50:00", back_to="40:01") == []
    made.from_paper("K2", "41:00", NO_CONTROL)
    assert made.to_tell("50:00") == [("K1", "positive"), ("K2", "repeat")]


@given(PLANS)
@settings(max_examples=60)
def test_the_worklist_is_what_a_walk_over_everything_would_find(plan: Plan) -> None:
    """Law: the small mappings forget nothing and keep nothing that was told."""
    board = folded(BENCH, record(plan))
    wanted = {
        each.id
        for each in board.in_order()
        if is_patients(each)
        and (urgency := urgency_of(board.told.get(each.id, ()), result_of(each))) is not None
        and (urgency is not Urgency.REPEAT or each.id in board.owed)
    }

    assert {each.result.cartridge for each in worklist(board, at("0:00")).waiting} == wanted


def test_a_line_says_who_may_hear_and_what_was_told() -> None:
    """Whoever tells it looks nowhere else."""
    made = TellingBench()
    made.consents(ToldTo.GUARDIAN)
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    word = made.tell(now="6:00")
    made.must(made.read_act(CLEAR), "18:00")
    (line,) = made.lines()

    assert line.told == (word,)
    assert line.may_hear == (Hearer.PERSON, Hearer.GUARDIAN)
    assert line.misled == ()
    assert line.at == at("18:00")


def test_of_what_nobody_tells_only_the_newest_are_listed() -> None:
    """The list is made anew with each picture."""
    made = TellingBench()
    made.read(CLEAR)
    cartridge = made.cartridge()
    many = {f"id-{number}": cartridge.labelled.subject for number in range(MOST + 1)}
    ended = {
        key: replace(cartridge, labelled=replace(cartridge.labelled, cartridge=key)) for key in many
    }
    board = replace(made.board, to_tell_first=many, ended=ended)
    listed = worklist(board, at("30:00")).waiting

    assert len(listed) == MOST
    assert "id-0" not in [each.result.cartridge for each in listed]


def test_the_small_lists_name_whom_each_result_is_about() -> None:
    """Of somebody who is erased nothing is to be told."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    made.to_well("C1", "P-001")
    made.must(made.look_act(CLEAR, "C1"), "5:00")
    early = made.board.to_tell_first
    made.must(made.read_act(CLEAR, "C1"), "18:00")
    made.read(NO_CONTROL, "C2", "P-002")
    one, two = made.cartridge("C1").id, made.cartridge("C2").id

    assert early == {one: "key-P-001"}
    assert made.board.to_tell_first == made.board.to_notify == {one: "key-P-001"}
    assert made.board.to_tell == {two: "key-P-002"}


def test_what_was_told_and_holds_is_on_none_of_the_small_lists() -> None:
    """They stay short for ever."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    made.read(CLEAR)
    made.tell()
    made.tell(to=Hearer.OFFICE)
    assert not made.board.to_tell_first
    assert not made.board.to_notify

    made.amend(NEGATIVE)
    key = made.cartridge().id
    assert made.board.to_put_right == made.board.to_notify == {key: "key-P-001"}


def test_a_repeat_that_was_begun_leaves_the_small_list() -> None:
    """Whoever comes again knows why."""
    made = TellingBench()
    made.read(NO_CONTROL)
    made.label("C2", now="25:00")

    assert not made.board.to_tell
