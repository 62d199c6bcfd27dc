"""What left is put on record: by whom, of what, in which parts, and at which time of day."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import TODAY, at
from core.board.sending_bench import FHIR, SendingBench
from core.board.stock_bench import StockBench
from readbell.core.board.events import BayFounded, ClockJumped, Mode
from readbell.core.board.fold import fold
from readbell.core.board.sending import A_PART, ALREADY_NOTED, NOBODY_NAMED
from readbell.core.board.wall_time import wall_of
from readbell.core.exports.acts import NoteExport
from readbell.core.exports.events import Choice, ResultsExported
from readbell.core.instant import Span
from readbell.core.policy.staffing import SignInBy
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import Role


def test_an_export_of_very_many_results_is_several_events_of_one_export() -> None:
    """No single line of the record grows without end."""
    made = SendingBench()
    made.read()
    many = made.leaving("C1") * (A_PART + 1)
    events = made.must(replace(made.note("C1"), results=many), "19:00")
    assert [(each.part, each.parts, len(each.results)) for each in events] == [  # type: ignore[union-attr]
        (1, 2, A_PART),
        (2, 2, 1),
    ]
    assert [each.where is None for each in events] == [False, True]  # type: ignore[union-attr]
    assert len(made.board.exports) == 1


def test_an_export_is_refused_that_cannot_have_been() -> None:
    """By a stranger, of a cartridge that nobody knows, or twice."""
    made = SendingBench()
    made.read()
    act = made.note("C1")
    by_a_stranger = Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject="op-9")
    assert made.refused(replace(act, by="op-9")) == by_a_stranger
    stranger = replace(act.results[0], cartridge="id-C9")
    of_a_stranger = Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject="id-C9")
    assert made.refused(replace(act, results=(stranger,))) == of_a_stranger
    made.must(act, "19:00")
    twice = Refusal(code=RefusalCode.NOT_ALLOWED, subject=ALREADY_NOTED)
    assert made.refused(act, "19:01") == twice


def test_where_nobody_has_to_say_who_they_are_an_export_needs_no_name() -> None:
    """Where people sign in, or have roles, it does."""
    made = SendingBench()
    made.read()
    act = replace(made.note("C1"), by=None)
    (event,) = made.must(act, "19:00")
    assert isinstance(event, ResultsExported)
    assert event.by is None
    made.decides(reports_expected=(FHIR,), sign_in=SignInBy.BADGE)
    again = replace(act, export="export-2")
    unnamed = Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOBODY_NAMED)
    assert made.refused(again, "19:01") == unnamed
    made.decides(reports_expected=(FHIR,))
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    unnamed = Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOBODY_NAMED)
    assert made.refused(again, "19:01") == unnamed


def test_practice_leaves_unnamed_whatever_roles_it_has() -> None:
    """It is of no patient."""
    made = StockBench(mode=Mode.REHEARSAL)
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    act = NoteExport(by=None, export="export-1", format=FHIR, count=0, digest="0" * 64, where=None)
    made.must(act, "19:00")


def test_where_there_are_roles_only_a_supervisor_exports() -> None:
    """An export is a look into the archive."""
    made = SendingBench()
    made.read()
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER, Role.READER)))
    act = made.note("C1")
    assert made.refused(replace(act, by="op-2"), "19:00").code is RefusalCode.ROLE_MISSING
    made.must(act, "19:00")


def test_what_was_chosen_stands_in_the_record() -> None:
    """Whoever asks later what left sees what was asked for then."""
    made = SendingBench()
    made.read()
    choice = Choice(since=TODAY, lots=("L-100",), unsent=True)
    (event,) = made.must(made.note("C1", choice=choice), "19:00")
    assert isinstance(event, ResultsExported)
    assert event.choice == choice


@pytest.mark.parametrize(("now", "moved"), [("4:59", 0), ("5:00", 60_000), ("9:00", 30_000)])
def test_a_time_leaves_as_the_wall_clock_showed_it_then(now: str, moved: int) -> None:
    """However the clock was set since: what left yesterday bears the same time tomorrow."""
    made = StockBench()
    for time, by in (("5:00", 60_000), ("8:00", -30_000)):
        made.board = fold(made.board, ClockJumped(at=at(time), by_span=Span(by), cartridges=()))
    assert wall_of(made.board, at(now)) == at(now) + moved


def test_what_left_is_on_record_with_its_digest_and_its_instant() -> None:
    """By them a file is known again, and what a receiver had heard by when."""
    made = SendingBench()
    made.read()
    (event,) = made.must(made.note("C1"), "19:00")
    assert isinstance(event, ResultsExported)

    assert event.digest == "0" * 64
    assert [each.at for each in made.board.sent["id-C1"]] == [at("19:00")]


def test_of_several_that_left_together_each_is_noted_where_nothing_is_expected() -> None:
    """An export by hand says so of every result in it."""
    made = SendingBench()
    made.decides(reports_expected=())
    made.read("C1")
    made.read("C2", "P-002")
    made.must(made.note("C1", "C2"), "19:00")

    assert set(made.board.sent) == {"id-C1", "id-C2"}


@pytest.mark.parametrize(
    ("left", "entered", "stands"),
    [
        pytest.param(None, "19:00", "19:00", id="entered at once"),
        pytest.param("18:30", "19:00", "18:30", id="entered half an hour later"),
        pytest.param("19:00", "19:00", "19:00", id="entered in the same instant"),
        pytest.param("19:01", "19:00", "19:00", id="by a clock that goes before"),
        pytest.param("0:00", "19:00", "1:00", id="by a clock that says before all records"),
    ],
)
def test_an_export_stands_at_the_instant_at_which_it_left(
    left: str | None, entered: str, stands: str
) -> None:
    """A receiver that asks when it was told is not to hear when somebody got round to noting it."""
    made = SendingBench()
    founded = BayFounded(at=at("1:00"), bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE)
    made.board = replace(made.board, founded=founded)
    made.read()
    when = None if left is None else at(left)
    (event,) = made.must(replace(made.note("C1"), left=when), entered)
    assert isinstance(event, ResultsExported)
    assert event.at == at(stands)
    (sent,) = made.board.sent["id-C1"]
    assert sent.at == event.at


def test_where_a_record_says_nothing_of_its_beginning_an_export_is_taken_as_entered() -> None:
    """Nothing else can be known of it."""
    made = SendingBench()
    made.board = replace(made.board, founded=None)
    made.read()
    (event,) = made.must(replace(made.note("C1"), left=at("18:30")), "19:00")
    assert isinstance(event, ResultsExported)
    assert event.at == at("19:00")
