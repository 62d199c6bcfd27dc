"""What comes home of somebody who was erased while a station was alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import Bench, at, private
from core.board.erasing_bench import kept_apart
from journal.samples import erasing
from readbell.core.board.acts import RegisterParty
from readbell.core.board.fold import replay
from readbell.core.board.joining_erased import erased_meanwhile
from readbell.core.cartridge.acts import Void
from readbell.core.cartridge.events import VoidReason
from readbell.core.people.acts import NoteParty
from readbell.core.people.events import OperatorRegistered, ParticularNoted, PersonRegistered
from readbell.core.people.particulars import Particular

if TYPE_CHECKING:
    from readbell.core.board.event import Event

GONE = erasing("key-P-001", "key-some words of theirs")


def noted(person: str, name: str) -> ParticularNoted:
    """Return that a name was noted."""
    return ParticularNoted(
        at=at("1:00"), by="key-op-1", person=person, what=Particular.NAME, value=private(name)
    )


def test_nothing_goes_where_nobody_was_erased() -> None:
    """The usual day."""
    board = Bench().board
    assert erased_meanwhile(board, [], board, [noted("key-P-001", "Ada Ash")], at("2:00")) == ()


def test_what_was_said_of_them_goes_and_what_names_them_by_id_or_by_name() -> None:
    """A text about somebody else, and one that is kept apart, as well."""
    bench = Bench()
    bench.must(RegisterParty(by="op-1", party=private("Car"), persons=(private("P-001"),)))
    bench.label("C1", "P-001")
    bench.label("C2", "P-002")
    base = bench.board
    void = Void(aim=bench.aim("C1"), reason=VoidReason.OTHER, words=private("ran off"))
    waits = NoteParty(by="op-1", party="Car", lane=private("lane 3"), note=None)
    ours: list[Event] = [
        *bench.must(void),
        *bench.must(waits),
        noted("key-P-001", "Ada Ash"),
        noted("key-P-002", "Bea Birch"),
        kept_apart("behind P-001"),
        kept_apart("behind P-002"),
        kept_apart(None),
    ]

    (event,) = erased_meanwhile(base, [GONE], base, ours, at("2:00"))

    assert event.keys == ("key-ran off", "key-lane 3", "key-Ada Ash", "key-behind P-001")
    assert event.whose == ("id-C1", "key-Car", "key-P-001")
    assert (event.by, event.scope, event.people) == (GONE.by, GONE.scope, 0)
    assert event.at == at("2:00")


def test_their_full_name_is_looked_for_too() -> None:
    """One word alone may be anybody's."""
    bench = Bench()

    two = replay([noted("key-P-001", "Ada Ash"), noted("key-P-002", "Bea")], bench.board)
    ours: list[Event] = [kept_apart("Ada Ash left"), kept_apart("Bea left")]

    (event,) = erased_meanwhile(two, [erasing("key-P-001", "key-P-002")], two, ours, at("2:00"))

    assert event.keys == ("key-Ada Ash left",)


def test_who_came_again_and_who_works_here_stay() -> None:
    """Whoever was entered anew alone is here, whatever was erased of an earlier visit."""
    board = Bench().board
    again = PersonRegistered(at=at("1:00"), by="key-op-1", person=private("P-001"))
    helper = OperatorRegistered(at=at("1:00"), by="key-op-1", operator=private("helper of P-001"))

    assert erased_meanwhile(board, [GONE], board, [again, helper], at("2:00")) == ()
