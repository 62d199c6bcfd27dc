"""A wall says cartridge, place, stage and countdown; whoever reads it learns nobody's result."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, FAINT, NEGATIVE, Bench, at, private
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.acts import RegisterParty, RegisterPerson
from readbell.core.board.fold import fold
from readbell.core.board.not_followed import NotFollowed
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.particulars import Particular
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.phrases.board_words import Where, standing
from readbell.phrases.wall_words import (
    gives_away,
    label_shown,
    on_the_wall,
    place_shown,
    why_not_followed,
)


def with_second_reader(when: SecondReader) -> Bench:
    """A bench on which C1 has had its drops, and some readings are read twice."""
    made = Bench()
    policy = SitePolicy(second_reader=(SecondReaderRule(when=when),))
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    made.to_well()
    return made


@pytest.mark.parametrize("when", ["18:00", "21:00"])
def test_a_strip_that_waits_for_a_second_reader_is_one_that_nobody_has_read(when: str) -> None:
    """Where only faint lines are read twice, the board's own word would be the result."""
    made = with_second_reader(SecondReader.FAINT)
    unread = on_the_wall(made.cartridge(), at(when))
    made.must(made.read_act(FAINT), "17:40")
    assert made.cartridge().awaits_second

    assert on_the_wall(made.cartridge(), at(when)) == unread
    assert standing(made.cartridge(), at(when)).word != unread.word  # type: ignore[union-attr]


def test_where_no_close_is_stated_the_figure_does_not_tell_of_the_first_reading() -> None:
    """The board counts from it, for whoever reads second; a wall from the opening."""
    made = with_second_reader(SecondReader.ALL)
    found = made.cartridge()
    open_end = replace(found.assay.reading, closes=None)
    assay = replace(found.assay, reading=open_end)
    unread = replace(found, assay=assay)
    made.must(made.read_act(CLEAR), "18:00")
    once = replace(made.cartridge(), assay=assay)

    now = at("19:00")
    assert standing(once, now).figure(now) == "+1:00"
    said = on_the_wall(once, now)
    assert said is not None
    assert said.figure(now) == "+1:30"
    assert said == on_the_wall(unread, now)


@pytest.mark.parametrize("seen", [CLEAR, FAINT])
@pytest.mark.parametrize("when", ["6:01", "10:00", "18:00", "21:00", "22:30"])
def test_an_early_positive_changes_no_word(seen: object, when: str) -> None:
    """Up to the last instant in time."""
    made, other = Bench(), Bench()
    made.to_well()
    other.to_well()
    made.must(made.look_act(seen), "6:00")  # type: ignore[arg-type]
    assert made.cartridge().shown_early
    assert on_the_wall(made.cartridge(), at(when)) == on_the_wall(other.cartridge(), at(when))


def test_not_even_that_an_early_look_is_possible_is_said() -> None:
    """On the board the same place says what was seen."""
    made = Bench()
    made.to_well()
    assert standing(made.cartridge(), at("6:00")).where is Where.EARLY_LOOK
    said = on_the_wall(made.cartridge(), at("6:00"))
    assert said is not None
    assert (said.where, said.sign.strip()) == (Where.DEVELOPING, "")


def test_what_has_ended_is_not_on_it_however_it_did() -> None:
    """Read, void, or its time over: it goes."""
    for seen in (CLEAR, NEGATIVE):
        made = Bench()
        made.to_well()
        made.must(made.read_act(seen), "18:00")
        assert on_the_wall(made.cartridge(), at("18:01")) is None
    made = Bench()
    made.to_well()
    assert on_the_wall(made.cartridge(), at("22:30")) is not None
    assert on_the_wall(made.cartridge(), at("22:30.001")) is None
    made = Bench()
    made.label()
    made.must(made.void_act(), "0:10")
    assert on_the_wall(made.cartridge(), at("0:11")) is None


def test_a_clock_that_cannot_be_believed_is_told_and_has_no_figure() -> None:
    """It would be believed."""
    made = Bench()
    unsure = replace(made.to_well(), unsure=True)
    said = on_the_wall(unsure, at("6:00"))
    assert said is not None
    assert (said.word, said.figure(at("6:00"))) == ("unsure", "")


def placed(place: str | None = None, lane: str | None = None) -> Bench:
    """A bench with one cartridge somewhere."""
    made = Bench()
    key = made.board.persons["P-001"]
    party = RegisterParty(
        by="op-1",
        party=private("V-1"),
        persons=(private("P-001"),),
        lane=None if lane is None else private(lane),
    )
    made.must(party)
    assert made.board.party_of(key) is not None
    act = made.label_act()
    made.must(act if place is None else replace(act, place=private(place)))
    return made


def test_where_it_lies_goes_before_where_its_person_waits() -> None:
    """Whoever looks for the cartridge looks on the bench."""
    for given, said in (
        (placed("B3", "lane 2"), "B3"),
        (placed(None, "lane 2"), "lane 2"),
        (placed(), ""),
        (placed("  ", "lane 2"), "lane 2"),
    ):
        assert place_shown(given.cartridge(), given.board) == said


def test_a_place_that_names_somebody_is_left_out() -> None:
    """It is the site's own words, and somebody may have put an ID or a name there."""
    made = Bench()
    made.must(RegisterPerson(by="op-1", person=private("K-7781")))
    name = ((Particular.NAME, private("Ada Quillfeather")),)
    made.must(
        NoteParticulars(by="op-1", person="K-7781", particulars=name, today=made.label_act().today)
    )
    made.must(made.label_act("C1", "K-7781"))
    cartridge = made.cartridge()
    for text in ("K-7781", "for k7781", "Quillfeather", "ADA QUILLFEATHER", "Ada"):
        assert gives_away(text, cartridge, made.board), text
    for text in ("B3", "lane 2", "7", "adapter shelf"):
        assert not gives_away(text, cartridge, made.board), text


def test_a_label_that_is_an_id_is_told_by_its_number() -> None:
    """README says never to; where it was done all the same, the wall does not show it."""
    made = Bench()
    made.must(made.label_act("P-001"))
    assert label_shown(made.cartridge("P-001"), made.board) == "NO 1"
    made.must(made.label_act("C2", "P-002"))
    assert label_shown(made.cartridge("C2"), made.board) == "C2"


def test_there_are_words_for_every_trouble() -> None:
    """None of them blames a person."""
    said = {why_not_followed(each) for each in NotFollowed}
    assert len(said) == len(NotFollowed)
