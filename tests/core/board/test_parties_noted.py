"""Where a party waits, and devices that are labelled before their person's turn."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import START, Bench, at, private
from readbell.core.board.acts import RegisterParty
from readbell.core.board.fold import fold
from readbell.core.people.acts import LabelAhead, NoteParty
from readbell.core.people.events import PartyNoted
from readbell.core.people.particulars import OfParty
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.refusal import RefusalCode

AHEAD = LabelAhead(by="op-1", person="P-001", label="C5", day_began=at("0:00"))
PEOPLE = (private("P-001"), private("P-002"))


def ahead() -> Bench:
    """A site that labels ahead."""
    bench = Bench()
    bench.board = fold(bench.board, PolicySet(at=START, policy=SitePolicy(label_ahead=True)))
    return bench


def test_a_party_waits_somewhere_and_moves_on() -> None:
    """What is not said anew stays as it was."""
    bench = Bench()
    act = RegisterParty(
        by="op-1", party=private("car 12"), persons=PEOPLE, lane=private("lane 1"), note=None
    )
    bench.must(act)
    (party,) = bench.board.parties.values()
    assert (party.lane, party.note) == ("lane 1", None)
    bench.must(NoteParty(by="op-1", party="car 12", lane=None, note=private("wheelchair")))
    bench.must(NoteParty(by="op-1", party="car 12", lane=private("lane 2"), note=None))
    (party,) = bench.board.parties.values()
    assert (party.lane, party.note) == ("lane 2", "wheelchair")
    gone = replace(private("x"), value=None)
    for what in OfParty:
        erased = PartyNoted(at=START, by=None, party=party.key, what=what, value=gone)
        bench.board = fold(bench.board, erased)
    (party,) = bench.board.parties.values()
    assert (party.lane, party.note) == (None, None)


def test_a_note_is_for_a_party_that_came() -> None:
    """Registered with a note alone it has no lane yet."""
    bench = Bench()
    bench.must(RegisterParty(by="op-1", party=private("car"), persons=PEOPLE, note=private("deaf")))
    refused = bench.refused(NoteParty(by="op-1", party="bus", lane=private("1"), note=None))
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, "unknown party")


def test_nothing_is_labelled_ahead_unless_the_site_says_so() -> None:
    """Pre-labelled blanks are how results are swapped."""
    assert Bench().refused(AHEAD).subject == "label ahead"


def test_what_was_labelled_for_one_starts_nobody_else() -> None:
    """And it starts no clock: the pouch is shut until the person's turn."""
    bench = ahead()
    bench.must(AHEAD)
    assert bench.board.running == {}
    other = replace(bench.label_act("C5", "P-002"), day_began=at("0:00"))
    assert bench.refused(other, "1:00").code is RefusalCode.WRONG_PERSON
    assert bench.refused(replace(AHEAD, person="P-002")).code is RefusalCode.LABEL_IN_USE
    bench.must(AHEAD)
    bench.must(replace(bench.label_act("C5"), day_began=at("0:00")), "2:00")
    assert bench.board.ahead == {}
    assert bench.refused(replace(AHEAD, person="P-002")).code is RefusalCode.LABEL_IN_USE


@pytest.mark.parametrize("began", ["1:00", None])
def test_it_holds_for_that_day_alone(began: str | None) -> None:
    """A label that was never used is free again; where nobody says which day it is, it is not."""
    bench = ahead()
    bench.must(AHEAD)
    act = bench.label_act("C5", "P-002")
    act = replace(act, day_began=None if began is None else at(began))
    if began is None:
        assert bench.refused(act, "2:00").code is RefusalCode.WRONG_PERSON
    else:
        bench.must(act, "2:00")


def test_another_label_is_taken_too_and_the_one_ahead_is_free_then() -> None:
    """A device may be dropped before it was ever used."""
    bench = ahead()
    bench.must(AHEAD)
    bench.must(bench.label_act("C6"))
    bench.must(bench.label_act("C5", "P-002"))
