"""The room of those who are tested, as it is painted."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NO_CONTROL, TODAY, at, private, span
from readbell.core.board.acts import RegisterParty
from readbell.core.people.acts import NoteConsent, NoteLeft, NoteParticulars, NoteSymptoms
from readbell.core.people.particulars import (
    ConsentBy,
    ConsentHow,
    LeaveReason,
    Particular,
    ToldTo,
)
from readbell.hand.doing import Filling, Paper, Room, Visiting
from ui.pages import one_strip, painted, present, text

if TYPE_CHECKING:
    from readbell.core.board.board import Board

ROOM = Visiting(room=Room.PATIENTS, cursor=1)
SAID = (
    (Particular.NAME, "Ada [b]Quillby[/b]"),
    (Particular.BIRTH_DATE, "1980-02-03"),
    (Particular.CONTACT, "0123"),
)


def board() -> Board:
    """P-9 of a car waits; P-001 had an invalid strip, and much is known of them."""
    bench = one_strip()
    bench.must(RegisterParty(by="op-1", party=private("car 12"), persons=(private("P-9"),)))
    said = tuple((what, private(value)) for what, value in SAID)
    bench.must(NoteParticulars(by="op-1", person="P-001", particulars=said, today=TODAY))
    bench.must(
        NoteConsent(
            by="op-1",
            person="P-001",
            giver=ConsentBy.SELF,
            how=ConsentHow.SPOKEN,
            assays=(),
            told_to=ToldTo.PERSON,
            words=None,
            today=TODAY,
        )
    )
    onset = private("2026-03-27")
    bench.must(NoteSymptoms(by="op-1", person="P-001", present=True, onset=onset, today=TODAY))
    bench.must(bench.read_act(NO_CONTROL, "C07"), "18:00")
    return bench.board


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_each_person_stands_with_state_and_result(size: tuple[int, int]) -> None:
    """And below the table what is known of the chosen one; brackets mean nothing."""
    page = text(painted(present(board(), ROOM, now=at("18:00")), *size))
    for words in ("P-9", "car 12, 1.", "waits", "P-001", "C07", "INVALID"):
        assert words in page
    for words in ("Name: Ada [b]Quillby[/b]", "Born: 1980-02-03", "Symptoms: yes, since 2026"):
        assert words in page


def test_whoever_is_owed_a_repeat_is_marked_though_nothing_was_read() -> None:
    """A void strip is among no results and on no list to tell: here its person must not be lost."""
    bench = one_strip()
    bench.must(bench.void_act("C07"), "5:00")
    room = replace(ROOM, cursor=0)
    rows = text(painted(present(bench.board, room, now=at("18:00")), 80, 24)).splitlines()
    (void,) = [each.split() for each in rows if "P-001" in each]
    assert void[-3:] == ["C07", "void", "repeat"]

    page = text(painted(present(board(), ROOM, now=at("18:00")), 80, 24)).splitlines()
    (invalid,) = [each.split() for each in page if "P-001" in each]
    assert invalid[-3:] == ["x", "INVALID", "repeat"]
    away = present(board(), ROOM, now=at("18:00"), idle=span("11:00"))
    assert "repeat" not in text(painted(away, 80, 24))


def test_whoever_is_owed_a_repeat_is_marked_whichever_of_theirs_was_begun_last() -> None:
    """One was given up while the other ran on; then that lapsed, and it is that one which is owed."""
    bench = one_strip()
    bench.label("C2", now="4:00")
    bench.must(bench.void_act("C2"), "5:00")
    room = replace(ROOM, cursor=0)
    for now, expected in (("6:00", "void"), ("23:00", "repeat")):
        if now == "23:00":
            bench.lapse("C07")
        rows = text(painted(present(bench.board, room, now=at(now)), 80, 24)).splitlines()
        (row,) = [each.split() for each in rows if "P-001" in each]
        assert row[-1] == expected


def test_nobody_being_there_it_names_nobody() -> None:
    """Neither who is here, nor what came of it."""
    now = present(board(), ROOM, now=at("18:00"), idle=span("11:00"))
    page = text(painted(now, 120, 40))
    for secret in ("P-001", "P-9", "Quillby", "1980", "INVALID"):
        assert secret not in page


def test_an_empty_room_says_so() -> None:
    """Before the first person of a day."""
    page = text(
        painted(present(replace(one_strip().board, running={}), ROOM, now=at("18:00")), 80, 24)
    )
    assert "Nobody came yet today." in page


def test_what_was_typed_on_a_form_is_hidden_once_nobody_is_there() -> None:
    """A date of birth is not for whoever walks by."""
    answers = (
        ("person", "P-001"),
        ("how", "typed"),
        ("what", "birth-date"),
        ("said", "1980-02-03"),
    )
    doing = Filling(paper=Paper.PARTICULAR, answers=answers)
    here = text(painted(present(board(), doing), 80, 24))
    away = text(painted(present(board(), doing, idle=span("11:00")), 80, 24))
    assert "1980-02-03" in here.replace("as 1980-02-03", "", 1)
    assert "1980-02-03" not in away.replace("as 1980-02-03", "", 1)


@pytest.mark.parametrize("paper", [Paper.PARTICULAR, Paper.CONSENT, Paper.PERSON, Paper.AHEAD])
def test_a_form_about_somebody_says_about_whom(paper: Paper) -> None:
    """A row chosen by a slip would be the wrong person; nobody being there it names nobody."""
    doing = Filling(paper=paper, answers=(("person", "P-001"), ("how", "picked")))
    assert "P-001" in text(painted(present(board(), doing), 80, 24)).splitlines()[2]
    away = text(painted(present(board(), doing, idle=span("11:00")), 80, 24))
    assert "P-001" not in away


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_whoever_has_left_stands_last_with_why_and_the_key_that_takes_them_back(
    size: tuple[int, int],
) -> None:
    """They are not looked for, and a slip can be undone; whoever waits can be gone."""
    bench = one_strip()
    people = (private("P-8"), private("P-9"))
    bench.must(RegisterParty(by="op-1", party=private("car 12"), persons=people))
    gone = NoteLeft(
        by="op-1",
        person="P-9",
        party=None,
        reason=LeaveReason.OTHER,
        words=private("the dog was ill"),
    )
    bench.must(gone, "5:00")
    last = text(painted(present(bench.board, replace(ROOM, cursor=2), now=at("6:00")), *size))
    first = text(painted(present(bench.board, replace(ROOM, cursor=0), now=at("6:00")), *size))

    (row,) = [each for each in last.splitlines() if "car 12, 2." in each]
    assert "has left" in row
    assert "Left at 00:58:20: for a reason of its own: the dog was ill" in last
    assert ("F6 Back in" in last, "F12 Gone" in last) == (True, False)
    assert ("F6 Back in" in first, "F12 Gone" in first) == (False, True)
    assert "Left at" not in first


def test_whoever_left_after_a_test_of_today_stands_with_that_test() -> None:
    """And that they came again, and went, is told below."""
    bench = one_strip()
    bench.must(RegisterParty(by="op-1", party=private("car"), persons=(private("P-001"),)))
    gone = NoteLeft(
        by="op-1", person="P-001", party=None, reason=LeaveReason.COULD_NOT_WAIT, words=None
    )
    bench.must(gone, "5:00")
    page = text(painted(present(bench.board, replace(ROOM, cursor=0), now=at("6:00")), 80, 24))
    (row,) = [each for each in page.splitlines() if "car, 1." in each]

    assert "C07" in row
    assert "Left at 00:58:20: they could not wait" in page
