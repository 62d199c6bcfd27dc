"""How far back somebody sees records and results, and that an opened record is recorded."""

from __future__ import annotations

from dataclasses import replace

from builders import NEGATIVE, at
from core.board.staff_bench import bench
from readbell.core.board.fold import fold
from readbell.core.board.staff import SEEN_AT_MOST, results_seen
from readbell.core.refusal import RefusalCode
from readbell.core.shift.events import ShiftOpened
from readbell.core.staff.acts import GiveRoles, OpenRecord
from readbell.core.staff.events import Opened, RecordOpened
from readbell.core.staff.roles import Role


def test_opening_a_record_is_recorded_and_roles_bound_how_far_it_goes_back() -> None:
    """A tester sees the running shift, a supervisor the archive."""
    made = bench(roles=True)
    made.label(now="1:00")
    seen = OpenRecord(by="op-2", person="P-001", what=Opened.HISTORY, since=at("1:00"))
    (event,) = made.must(seen, "2:00")
    assert event == RecordOpened(
        at=at("2:00"), by="key-op-2", person="key-P-001", what=Opened.HISTORY, since=at("1:00")
    )
    old = OpenRecord(by="op-2", person="P-001", what=Opened.HISTORY, since=at("1:01"))
    assert made.refused(old).code is RefusalCode.ROLE_MISSING
    (event,) = made.must(OpenRecord(by="op-1", person="P-001", what=Opened.TRACE, since=at("1:01")))
    assert isinstance(event, RecordOpened)
    assert event.since is None


def test_while_a_shift_runs_its_beginning_counts_and_not_midnight() -> None:
    """A night shift sees its own evening."""
    made = bench(roles=True)
    made.label(now="1:00")
    seen = OpenRecord(by="op-2", person="P-001", what=Opened.HISTORY, since=at("1:01"))
    assert made.refused(seen, "2:00").code is RefusalCode.ROLE_MISSING
    made.board = fold(made.board, ShiftOpened(at=at("0:30"), by="key-op-1", number=1, checks=()))
    (event,) = made.must(seen, "2:00")
    assert isinstance(event, RecordOpened)
    assert event.since == at("0:30")


def test_a_person_without_a_cartridge_has_nothing_to_hide_and_a_stranger_no_record() -> None:
    """The first is waiting now; the second is nobody."""
    made = bench(roles=True)
    made.must(OpenRecord(by="op-2", person="P-002", what=Opened.HISTORY, since=at("9:00")))
    nobody = OpenRecord(by="op-2", person="P-9", what=Opened.HISTORY, since=at("9:00"))
    assert made.refused(nobody).code is RefusalCode.UNKNOWN_PERSON


def test_results_are_seen_as_far_back_as_roles_let_one() -> None:
    """Where nobody said who they are, the running shift alone; without roles, all of it."""
    made = bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    assert len(results_seen(made.board, None, at("1:00"))) == 1
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    for who, since, count in (
        ("op-1", "1:00", 1),
        ("op-2", "1:00", 0),
        ("op-2", "0:00", 1),
        (None, "1:00", 0),
    ):
        assert len(results_seen(made.board, who, at(since))) == count
    assert len(results_seen(made.board, "op-1", at("0:00"), "P-001")) == 1
    assert not results_seen(made.board, "op-1", at("0:00"), "P-002")


def test_of_very_many_results_those_that_ended_last_are_seen() -> None:
    """Years of them are walked for nobody who only looks; a person's own are all there."""
    made = bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    (one,) = made.board.ended.values()
    many = {
        f"id-{place}": replace(
            one, labelled=replace(one.labelled, cartridge=f"id-{place}", label=f"L{place}")
        )
        for place in range(SEEN_AT_MOST + 5)
    }
    board = replace(made.board, ended=many, history={"key-P-001": tuple(many)})
    seen = results_seen(board, None, at("0:00"))
    assert [each.label for each in seen] == [f"L{n}" for n in range(5, SEEN_AT_MOST + 5)]
    assert len(results_seen(board, None, at("0:00"), "P-001")) == SEEN_AT_MOST + 5
    assert not results_seen(board, None, at("0:00"), "P-404")


def test_what_ended_before_a_day_is_not_looked_at_for_that_day() -> None:
    """What was labelled late the day before may have ended in it, and is passed over."""
    made = bench(roles=True)
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    assert not results_seen(made.board, "op-2", at("5:00:00"))
    assert not results_seen(made.board, "op-2", at("30:00:00"))
    made.to_well("C2")
    made.must(made.void_act("C2"), "3:00")
    assert [each.label for each in results_seen(made.board, "op-2", at("0:00"))] == ["C1"]


def test_a_device_left_over_for_days_hides_no_result_of_the_shift() -> None:
    """Thrown away after it, it is the last that has ended."""
    made = bench(roles=True)
    made.label("C9", "P-002", "0:00")
    made.label("C1", "P-001", "30:00:00")
    for step in ("buffer", "collect", "extract"):
        made.step(step, "30:00:00")
    made.step("withdraw", "30:01:00")
    made.step("apply", "30:02:30")
    made.must(made.read_act(NEGATIVE), "30:18:00")
    made.must(made.void_act("C9"), "31:00:00")
    assert [each.label for each in results_seen(made.board, "op-2", at("29:00:00"))] == ["C1"]
