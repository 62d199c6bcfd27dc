"""The room of what is to be told, as it is painted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, NEGATIVE, TODAY, Bench, at, private, span
from core.board.telling_bench import OFFICE, TellingBench
from readbell.core.board.mixed_up import PersonMixedUp
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.particulars import Particular, ToldTo
from readbell.core.results.telling import Hearer
from readbell.hand.doing import Filling, Paper, Room, Visiting
from readbell.ui.dues import NOTICE_OVERDUE, PUT_RIGHT
from ui.pages import SIZES, painted, present, text

ROOM = Visiting(room=Room.TELLING)
NOW = at("4:00:00")


def bench() -> TellingBench:
    """P-001 was told an early positive that is withheld; P-002 has a positive, to be notified."""
    made = TellingBench()
    made.decides(notices=(OFFICE,))
    said = ((Particular.CONTACT, private("0123 [b]")),)
    made.must(NoteParticulars(by="op-1", person="P-001", particulars=said, today=TODAY))
    made.consents(ToldTo.GUARDIAN)
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    made.tell(to=Hearer.GUARDIAN, now="6:00")
    made.must(made.read_act(NEGATIVE), "18:00")
    made.read(CLEAR, "C2", "P-002")
    return made


@pytest.mark.parametrize("size", SIZES)
def test_what_misled_somebody_stands_first_and_names_who_was_told(size: tuple[int, int]) -> None:
    """Then what an office should know by now, then the positives."""
    page = painted(present(bench().board, ROOM, now=NOW), *size)
    rows = [row.text for row in page.lines if row.text[3:6].strip() in ("C1", "C2")]

    assert [row.split()[:1] or row for row in rows] == [[">"], ["C2"], ["C2"]]
    assert "PUT RIGHT" in rows[0]
    assert "OVERDUE" in rows[1]
    assert "POSITIVE" in rows[2]
    said = " ".join(text(page).split())
    assert "No longer holds: a parent or guardian heard by phone" in said
    assert "Contact: 0123 [b]" in said


def test_whoever_tells_on_paper_is_said_where_the_paper_comes_from() -> None:
    """Noted as handed over, and nothing printed: a person goes home without what the record says."""
    page = " ".join(text(painted(present(bench().board, ROOM, now=NOW), 80, 24)).split())

    assert "readbell slip C1 makes it." in page


def test_the_header_says_that_somebody_is_to_be_put_right() -> None:
    """On every page, until it is done."""
    page = text(painted(present(bench().board, now=NOW), 200, 60))

    assert PUT_RIGHT in page
    assert NOTICE_OVERDUE in page
    assert PUT_RIGHT not in text(painted(present(Bench().board, now=NOW), 200, 60))


def test_of_a_notice_the_hours_are_counted_down() -> None:
    """And whom it goes to is said below the table."""
    room = replace(ROOM, cursor=2)
    page = text(painted(present(bench().board, room, now=at("2:00:00")), 120, 40))

    assert "in 18:00" in page
    assert "health office is notified by" in page


def test_nobody_being_there_neither_who_nor_what_is_shown() -> None:
    """The room may have been left open."""
    page = text(painted(present(bench().board, ROOM, now=NOW, idle=span("11:00")), 120, 40))

    assert "hidden" in page
    for words in ("P-001", "POSITIVE", "0123", "No longer holds"):
        assert words not in page


@pytest.mark.parametrize("size", SIZES)
def test_whoever_was_mixed_up_is_named_in_the_room(size: tuple[int, int]) -> None:
    """Beside what is to be told, and where nothing else is; not while nobody is there."""
    for made in (bench(), TellingBench()):
        made.board = replace(
            made.board,
            new_specimen={
                made.board.persons["P-002"]: PersonMixedUp(at=NOW, cartridges=("id-C1",))
            },
        )
        named = "Mixed up: to be told, and to give a new specimen: P-002."
        assert named in text(painted(present(made.board, ROOM, now=NOW), *size))
        away = present(made.board, ROOM, now=NOW, idle=span("11:00"))
        assert "P-002" not in text(painted(away, *size))


def test_a_room_without_anything_to_tell_says_so() -> None:
    """Nothing is left out in silence."""
    page = text(painted(present(Bench().board, ROOM, now=NOW), 80, 24))

    assert "Nothing is to be told." in page


def test_what_was_never_told_for_long_is_counted() -> None:
    """A bay that never notes a telling still sees what is new."""
    old = {f"gone-{n}": "key-P-001" for n in range(205)}
    board = replace(bench().board, to_tell=old)

    assert "And 5 older ones" in text(painted(present(board, ROOM, now=NOW), 120, 40))


@pytest.mark.parametrize("size", SIZES)
def test_the_form_asks_whom_how_and_an_id(size: tuple[int, int]) -> None:
    """Only those who may hear it are offered."""
    answers = (("cartridge", "id-C2"), ("version", "1"), ("office", "no"))
    filling = Filling(paper=Paper.TELL, answers=answers)
    page = text(painted(present(bench().board, filling, now=NOW), *size))

    assert "Somebody is told a result   C2  + POSITIVE" in page
    assert "the person" in page
    assert "guardian" not in page
    assert "Patient ID, name or date of birth" in page
