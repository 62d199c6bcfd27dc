"""Whoever is entered and goes before anything is begun for them: recorded, and waited for no more."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, START, Bench, at, private
from core.board.paper_bench import entered, run
from core.board.stations_bench import SharedBay, reasons
from core.board.test_parties import party, turns
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.allowed import NEEDS
from readbell.core.board.draft import Draft
from readbell.core.board.fold import fold
from readbell.core.board.forgetting import forget_words
from readbell.core.board.leaving import (
    GONE_ALREADY,
    NOBODY_WAITS,
    NOT_WAITING,
    STAYS,
    UNKNOWN_PARTY,
    left_with,
    may_leave,
)
from readbell.core.board.patients_today import patients_today
from readbell.core.board.to_repeat import to_repeat
from readbell.core.instant import Span, later
from readbell.core.people.acts import NoteLeft
from readbell.core.people.events import PersonLeft
from readbell.core.people.particulars import LeaveReason
from readbell.core.refusal import RefusalCode
from readbell.core.staff.roles import Role
from readbell.core.stations.apart import ApartReason


def left(person: str | None = "P-007", car: str | None = None, **more: object) -> NoteLeft:
    """Somebody has left, or all of a car who still wait."""
    said: dict[str, object] = {
        "by": "op-1",
        "person": person if car is None else None,
        "party": car,
        "reason": LeaveReason.COULD_NOT_WAIT,
        "words": None,
        **more,
    }
    return NoteLeft(**said)  # type: ignore[arg-type]


def car_of_three() -> Bench:
    """A car whose people wait."""
    bench = Bench()
    bench.must(party("car", "P-007", "P-008", "P-009"))
    return bench


def gone(bench: Bench) -> list[str | None]:
    """Who has left, by their ids."""
    return [bench.board.name(key) for key in bench.board.gone]


def test_who_has_left_is_waited_for_no_more_and_the_others_keep_their_turns() -> None:
    """The record says who said so, and why; they declined nothing, and are owed nothing."""
    bench = car_of_three()
    (event,) = bench.must(left("P-008"), "1:00")

    assert isinstance(event, PersonLeft)
    assert (event.by, event.reason) == ("key-op-1", LeaveReason.COULD_NOT_WAIT)
    assert turns(bench.board) == ["P-007", "P-009"]
    assert gone(bench) == ["P-008"]
    assert bench.board.person_files.get(event.person) is None
    assert not to_repeat(bench.board)


def test_a_party_leaves_together_but_for_those_who_were_begun() -> None:
    """What runs for them is read all the same."""
    bench = car_of_three()
    bench.label("C1", "P-007", "0:10")
    words = private("the child was tired")
    made = bench.must(left(car="car", words=words, reason=LeaveReason.OTHER), "1:00")

    assert [bench.board.name(each.person) for each in made] == ["P-008", "P-009"]  # type: ignore[arg-type, union-attr]
    assert len({each.words.key for each in made}) == 2  # type: ignore[union-attr]
    assert turns(bench.board) == []
    refused = bench.refused(left(car="car"))
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, NOBODY_WAITS)


@pytest.mark.parametrize(
    ("act", "code", "subject"),
    [
        (left("nobody"), RefusalCode.UNKNOWN_PERSON, ""),
        (left(car="nobody"), RefusalCode.NOT_ALLOWED, UNKNOWN_PARTY),
        (left("P-007", by="nobody"), RefusalCode.UNKNOWN_OPERATOR, "nobody"),
        (left("P-008"), RefusalCode.NOT_ALLOWED, GONE_ALREADY),
        (left("P-001"), RefusalCode.NOT_ALLOWED, NOT_WAITING),
    ],
)
def test_nobody_leaves_who_does_not_wait(act: NoteLeft, code: RefusalCode, subject: str) -> None:
    """Of somebody with a cartridge the cartridge is given up, with its own reason."""
    bench = car_of_three()
    bench.must(left("P-008"))
    bench.label("C1", "P-001")

    refused = bench.refused(act)
    assert (refused.code, refused.subject) == (code, subject)


def test_whoever_was_entered_alone_may_leave_too_before_anything_is_begun() -> None:
    """They stand in no queue, but the record has that they came."""
    bench = Bench()
    bench.must(RegisterPerson(by="op-1", person=private("P-010")))
    bench.must(left("P-010"))

    assert gone(bench) == ["P-010"]


def test_whoever_comes_again_waits_again_in_their_new_place() -> None:
    """Entered with another party, or begun at once."""
    bench = car_of_three()
    bench.must(left(car="car"), "1:00")
    bench.must(party("car again", "P-009"), "5:00")
    assert (turns(bench.board), gone(bench)) == (["P-009"], ["P-007", "P-008"])
    bench.label("C1", "P-007", "6:00")
    assert gone(bench) == ["P-008"]
    assert may_leave(bench.board, bench.board.persons["P-009"])


def test_whoever_was_run_on_paper_had_not_left_for_good() -> None:
    """They came back while the computer was down."""
    bench = Bench()
    bench.must(party("car", "P-001", "P-002"))
    bench.must(left(car="car"), "1:00")
    entered(run(), bench)

    assert gone(bench) == ["P-002"]
    assert bench.refused(left("P-001")).subject == NOT_WAITING


def test_who_has_left_stands_behind_all_others_of_the_day() -> None:
    """So that they can be taken back in, and nobody looks for them."""
    bench = car_of_three()
    bench.label("C1", "P-001", "0:10")
    bench.must(left("P-007"), "1:00")
    found = patients_today(bench.board, START)

    assert [bench.board.name(each.key) for each in found] == ["P-008", "P-009", "P-001", "P-007"]
    assert [each.waits for each in found] == [True, True, False, False]
    assert found[-1].left == bench.board.gone[found[-1].key]
    assert [each.key for each in patients_today(bench.board, at("2:00"))] == [
        each.key for each in found[:2]
    ]


def test_whoever_was_tested_and_left_when_they_came_again_stands_there_once() -> None:
    """With what was run for them, and that they left."""
    bench = car_of_three()
    bench.to_well("C1", "P-007")
    bench.must(bench.read_act(CLEAR), "18:00")
    bench.must(party("car again", "P-007"), "30:00")
    bench.must(left("P-007"), "31:00")
    (found,) = [
        each for each in patients_today(bench.board, START) if bench.board.name(each.key) == "P-007"
    ]

    assert [each.label for each in found.cartridges] == ["C1"]
    assert found.left is not None


def test_those_who_left_another_day_are_nobodys_concern_any_more() -> None:
    """What a board keeps of them stays small through the years; the record has them all."""
    bench = car_of_three()
    bench.must(left("P-007"), "1:00")
    event = bench.board.gone[bench.board.persons["P-007"]]
    other = bench.board.persons["P-008"]
    soon = replace(event, person=other, at=later(event.at, STAYS))
    bench.board = fold(bench.board, soon)
    assert gone(bench) == ["P-007", "P-008"]
    third = bench.board.persons["P-009"]
    late = replace(soon, person=third, at=later(event.at, Span(STAYS + 1)))
    bench.board = fold(bench.board, late)
    assert gone(bench) == ["P-008", "P-009"]


def test_words_about_somebody_who_left_are_forgotten_with_them() -> None:
    """Wherever they stand on a board that is open elsewhere."""
    bench = car_of_three()
    bench.must(left("P-007", words=private("unwell")))
    key = bench.board.persons["P-007"]
    draft = Draft(bench.board)
    forget_words(draft, (key,), frozenset(("key-unwell",)))
    words = draft.board().gone[key].words

    assert words is not None
    assert words.value is None


def test_those_who_left_together_may_be_taken_back_together() -> None:
    """As far as they are not back already; whoever came alone left alone."""
    bench = car_of_three()
    bench.must(RegisterPerson(by="op-1", person=private("P-010")))
    bench.must(left("P-007"), "1:00")
    bench.must(left(car="car"), "2:00")
    bench.must(left("P-010"), "2:00")
    first, second, third, alone = (
        bench.board.persons[each] for each in ("P-007", "P-008", "P-009", "P-010")
    )

    assert left_with(bench.board, first) == (first,)
    assert left_with(bench.board, second) == left_with(bench.board, third) == (second, third)
    assert left_with(bench.board, alone) == (alone,)
    bench.label("C1", "P-009", "3:00")
    assert left_with(bench.board, second) == (second,)


def test_it_is_said_by_whoever_may_enter_people() -> None:
    """Whoever meets the cars."""
    assert NEEDS[NoteLeft] is Role.TESTER


def with_car() -> SharedBay:
    """A shared bay where a car waits."""
    bay = SharedBay()
    bay.must(party("car", "P-007", "P-008", "P-009"))
    return bay


def test_who_left_while_a_station_was_alone_has_left_for_all() -> None:
    """And on both sides it is one leaving."""
    sides = with_car().cut()
    sides.ours.must(left("P-007"), "3:00")
    sides.ours.must(left("P-008"), "3:10")
    sides.theirs.must(left("P-008"), "3:20")

    found = sides.join()

    assert not found.apart
    assert turns(found.board) == ["P-009"]


def test_who_was_begun_elsewhere_has_not_left() -> None:
    """The other side had them in the chair: what was noted here is kept apart."""
    sides = with_car().cut()
    sides.ours.must(left("P-007"), "3:00")
    sides.theirs.must(sides.theirs.label_act("C9", "P-007"), "3:10")

    found = sides.join()

    assert reasons(found, PersonLeft) == [ApartReason.SAID_OTHERWISE]
    assert not found.board.gone


def test_who_was_entered_again_elsewhere_after_they_left_waits() -> None:
    """They came back to the other window."""
    sides = with_car().cut()
    sides.ours.must(left("P-007"), "3:00")
    sides.theirs.must(party("car again", "P-007"), "3:30")

    found = sides.join()

    assert reasons(found, PersonLeft) == [ApartReason.SAID_OTHERWISE]
    assert turns(found.board)[-1] == "P-007"
