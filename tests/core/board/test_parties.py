"""People who come together are registered at once, and started one by one."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import START, Bench, at, private
from readbell.core.board.acts import RegisterParty, RegisterPerson
from readbell.core.board.events import Mode
from readbell.core.board.fold import fold, replay
from readbell.core.board.to_start import to_start
from readbell.core.errors import BrokenRecordError
from readbell.core.people.events import PartyRegistered, PersonRegistered
from readbell.core.private import Private
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.board import Board


def party(name: str, *persons: str, by: str | None = "op-1") -> RegisterParty:
    """The act that registers a party."""
    return RegisterParty(
        by=by, party=private(name), persons=tuple(private(each) for each in persons)
    )


def turns(board: Board) -> list[str | None]:
    """Whose turn it is next, by their ids."""
    return [board.name(key) for key in to_start(board)]


def test_who_is_not_known_yet_is_registered_with_the_party() -> None:
    """A car of six is one form, not seven; who came before keeps their key."""
    bench = Bench()
    known = replace(private("P-001"), key="another-key")
    act = replace(party("car 1", "P-007"), persons=(private("P-007"), known))
    new, found = bench.must(act, "1:00")

    assert isinstance(new, PersonRegistered)
    assert (new.person.value, new.by) == ("P-007", "key-op-1")
    assert isinstance(found, PartyRegistered)
    assert (found.by, found.at) == ("key-op-1", at("1:00"))
    assert found.persons == ("key-P-007", "key-P-001")


def test_the_board_knows_with_whom_somebody_came() -> None:
    """The row of a cartridge names the party."""
    bench = Bench()
    bench.must(party("car 1", "P-001", "P-007"))
    found = bench.board.party_of("key-P-007")

    assert found is not None
    assert (bench.board.name(found.key), found.persons) == ("car 1", ("key-P-001", "key-P-007"))
    assert bench.board.party_of("key-P-002") is None
    assert list(bench.board.parties.values()) == [found]


def test_whoever_comes_again_came_with_the_later_party() -> None:
    """The household of last week is not the car of today."""
    bench = Bench()
    bench.must(party("car 1", "P-001", "P-002"))
    bench.must(party("car 2", "P-001"))
    names = [
        None if found is None else bench.board.name(found.key)
        for found in map(bench.board.party_of, ("key-P-001", "key-P-002"))
    ]

    assert names == ["car 2", "car 1"]


@pytest.mark.parametrize(
    ("act", "refusal"),
    [
        pytest.param(
            party("car 1", "P-007", by="nobody"),
            Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject="nobody"),
            id="by a stranger",
        ),
        pytest.param(
            party("car 1"),
            Refusal(code=RefusalCode.NOT_ALLOWED, subject="empty party"),
            id="of nobody",
        ),
        pytest.param(
            party("car 1", "P-007", "P-008", "P-007"),
            Refusal(code=RefusalCode.NOT_ALLOWED, subject="person twice"),
            id="with somebody twice",
        ),
        pytest.param(
            party("car 0", "P-007"),
            Refusal(code=RefusalCode.ALREADY_KNOWN, subject="party"),
            id="under a name that is taken",
        ),
    ],
)
def test_a_party_that_makes_no_sense_registers_nobody(act: RegisterParty, refusal: Refusal) -> None:
    """All or none: half a car would be looked for on the forecourt."""
    bench = Bench()
    bench.must(party("car 0", "P-001"))

    assert bench.refused(act) == refusal


def test_in_a_live_bay_somebody_vouches_for_a_party() -> None:
    """Only a rehearsal registers people without an operator."""
    live = Bench(mode=Mode.LIVE)

    assert live.refused(party("car 1", "P-007", by=None)).code == "unknown-operator"
    assert len(Bench().must(party("car 1", "P-007", by=None))) == 2


def test_a_party_of_one_is_a_party() -> None:
    """One person with a name for their car is nothing else."""
    bench = Bench()
    bench.must(party("car 1", "P-007"))

    assert turns(bench.board) == ["P-007"]


def test_a_party_and_a_person_may_be_called_alike() -> None:
    """A family name may be a patient's number at another place: keys keep them apart."""
    bench = Bench()
    act = replace(party("P-001", "P-001"), party=replace(private("P-001"), key="key-party"))
    bench.must(act)

    assert bench.board.name("key-party") == "P-001"
    assert bench.board.persons["P-001"] == "key-P-001"
    assert turns(bench.board) == ["P-001"]


def test_an_erased_party_can_still_be_told_apart() -> None:
    """Its name is gone and the people in it are still here; the name is free again."""
    bench = Bench()
    gone = Private(key="key-gone", salt="", value=None)
    event = PartyRegistered(at=START, by="key-op-1", party=gone, persons=("key-P-001",))
    bench.board = fold(bench.board, event)

    assert bench.board.name("key-gone") is None
    assert turns(bench.board) == ["P-001"]
    assert bench.board.party_of("key-P-001") is not None


def test_turns_follow_the_order_in_which_people_came() -> None:
    """The first car first, and in it whoever was named first."""
    bench = Bench()
    bench.must(party("car 1", "P-007", "P-001"))
    bench.must(party("car 2", "P-002", "P-003"))

    assert turns(bench.board) == ["P-007", "P-001", "P-002", "P-003"]


def test_whoever_has_a_cartridge_is_no_longer_waiting() -> None:
    """Also when it was given up: a repeat is asked for elsewhere."""
    bench = Bench()
    bench.must(party("car 1", "P-001", "P-002"))
    bench.label("C1", "P-001")
    bench.must(bench.void_act(), "1:00")

    assert turns(bench.board) == ["P-002"]


def test_a_cartridge_from_before_the_party_does_not_count() -> None:
    """Somebody comes back another day and waits for a new one, whatever the clock says."""
    bench = Bench()
    bench.label("C1", "P-001", now="5:00")
    bench.must(party("car 1", "P-001"), "5:00")

    assert turns(bench.board) == ["P-001"]
    bench.label("C2", "P-001", now="5:00")
    assert turns(bench.board) == []


def test_whoever_came_again_waits_once() -> None:
    """Two turns for one person would open two pouches."""
    bench = Bench()
    bench.must(party("car 1", "P-001", "P-002"))
    bench.must(party("car 2", "P-003", "P-001"))

    assert turns(bench.board) == ["P-002", "P-003", "P-001"]


def test_whoever_came_in_no_party_is_not_listed() -> None:
    """A single person is started at once; nothing waits."""
    bench = Bench()
    bench.must(RegisterPerson(by="op-1", person=private("P-009")))

    assert to_start(bench.board) == ()


def test_a_party_of_people_the_record_never_introduced_is_a_broken_record() -> None:
    """An event that names nobody must not be dropped in silence."""
    event = PartyRegistered(at=START, by="key-op-1", party=private("car 1"), persons=("key-P-404",))

    with pytest.raises(BrokenRecordError, match="person 'key-P-404'"):
        replay((event,), Bench().board)
