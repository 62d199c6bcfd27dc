"""The rooms of people, review and results: what stands there, and for whose eyes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import FAINT, NASAL, NEGATIVE, NO_CONTROL, Bench, at, private
from core.board.twice_bench import clock, to_well
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.board import Board
from readbell.core.board.fold import fold
from readbell.core.board.staff import SEEN_AT_MOST
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.review.acts import AmendResult, WithdrawResult
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import AmendReason, HoldReason, WithdrawReason
from readbell.core.staff.acts import GiveRoles, StateCompetence
from readbell.core.staff.roles import Role
from readbell.hand.doing import Filling, Paper, Room, Visiting
from ui.busy_board import NOW
from ui.pages import SIZES, SMALL_SIZES, painted, present, text
from ui.shared_bay import shared_board

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.hand.doing import Doing

LATER = at("30:00")


def bench() -> Bench:
    """A bench with roles, a clearance, and C1 read and held."""
    made = Bench()
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER, Role.READER)))
    made.must(
        StateCompetence(
            by="op-1",
            operator="op-2",
            assay=NASAL.id,
            until=date(2027, 1, 31),
            vision_checked=date(2026, 1, 2),
        )
    )
    made.to_well()
    made.must(made.read_act(NEGATIVE, by="op-2"), "18:00")
    event = ReadingHeld(
        at=at("18:00"), by=None, cartridge="id-C1", reasons=(HoldReason.NOT_SIGNED_IN,)
    )
    made.board = fold(made.board, event)
    return made


def page(
    board: Board,
    doing: Doing,
    width: int = 80,
    height: int = 24,
    *,
    now: Instant = LATER,
    operator: str | None = "op-1",
) -> str:
    """The page as it is read without colour."""
    return text(painted(present(board, doing, now=now, operator=operator), width, height))


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_everybody_stands_with_roles_and_the_chosen_one_with_clearances(
    width: int, height: int
) -> None:
    """Where the table has room for it, in a column."""
    shown = page(bench().board, Visiting(room=Room.PEOPLE, cursor=1), width, height)
    assert "tester, reader, supervisor" in shown
    assert "respiratory-antigen-nasal to 2027-01-31" in " ".join(shown.split())
    assert "vision" in shown
    if width < 140:
        first = page(bench().board, Visiting(room=Room.PEOPLE), width, height)
        assert "is cleared for" not in first


@pytest.mark.parametrize("room", [Room.PEOPLE, Room.REVIEW])
def test_an_empty_room_says_what_to_do(room: Room) -> None:
    """Nobody presses into the dark."""
    shown = page(Board() if room is Room.PEOPLE else Bench().board, Visiting(room=room))
    assert "F2 registers the first" in shown or "Nothing is held for review" in shown


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_what_is_held_stands_with_its_reason_and_in_the_top_line(width: int, height: int) -> None:
    """So that nobody ends a shift without having seen it."""
    shown = page(bench().board, Visiting(room=Room.REVIEW), width, height)
    assert "1 held" in shown
    for words in ("C1", "P-001", "- NEGATIVE", "Read by op-2", "was not signed in", "F3 releases"):
        assert words in " ".join(shown.split())


@pytest.mark.parametrize("room", [Room.PEOPLE, Room.REVIEW, Room.TODAY])
@pytest.mark.parametrize(("width", "height"), SMALL_SIZES)
def test_the_rooms_fit_on_a_small_screen(room: Room, width: int, height: int) -> None:
    """Cut, never broken."""
    seen = present(bench().board, Visiting(room=room), now=LATER)
    made = painted(seen, width, height)
    assert len(made.lines) == height
    assert all(each.width == width for each in made.lines)


def test_a_result_under_review_is_masked_when_nobody_is_there() -> None:
    """As everywhere."""
    seen = present(bench().board, Visiting(room=Room.REVIEW), now=LATER)
    shown = text(painted(replace(seen, hand=replace(seen.hand, locked=True)), 80, 24))
    assert "P-001" not in shown
    assert "NEGATIVE" not in shown
    assert "hidden" in shown


def test_results_are_marked_held_and_withdrawn() -> None:
    """By word; what was taken back is due again."""
    made = bench()
    doing = Visiting(room=Room.TODAY)
    assert "held" in page(made.board, doing).split("cart.")[1]
    made.must(
        WithdrawResult(
            by="op-1", cartridge="C1", reason=WithdrawReason.ANOTHER_PERSON, words=private("x")
        ),
        "20:00",
    )
    shown = page(made.board, doing)
    assert "WITHDRAWN" in shown
    assert "repeat" in shown
    assert "NEGATIVE" not in shown


def test_a_tester_sees_the_results_of_the_day_and_a_supervisor_all_of_them() -> None:
    """Roles bound what is seen."""
    board, doing = bench().board, Visiting(room=Room.TODAY)
    tomorrow = at("30:00:00")
    assert "C1" in page(board, doing, operator="op-2")
    assert "Nothing was read yet" in page(board, doing, now=tomorrow, operator="op-2")
    assert "Nothing was read yet" in page(board, doing, now=tomorrow, operator=None)
    assert "NEGATIVE" in page(board, doing, now=tomorrow, operator="op-1")


def test_an_opened_record_shows_that_person_alone() -> None:
    """Until the room is left."""
    board = bench().board
    assert "NEGATIVE" in page(board, Visiting(room=Room.TODAY, person="P-001"))
    assert "NEGATIVE" not in page(board, Visiting(room=Room.TODAY, person="P-002"))


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize(
    "paper",
    [Paper.ROLES, Paper.CLEARANCE, Paper.RETIRE, Paper.RELEASE, Paper.WITHDRAW, Paper.AMEND],
)
def test_each_form_fits_and_says_what_it_is(paper: Paper, width: int, height: int) -> None:
    """With the key that saves."""
    from readbell.hand.papers import TITLES

    shown = page(bench().board, Filling(paper=paper), width, height)
    assert TITLES[paper] in shown
    assert "F2 Save" in shown


@pytest.mark.parametrize("width", [30, 60, 80, 120])
def test_the_names_of_the_rooms_stand_around_the_one_visited(width: int) -> None:
    """As many as there is room for, and that one always."""
    for room, name in ((Room.LOTS, "[Lots]"), (Room.SOUND, "[Sound]"), (Room.REVIEW, "[Review]")):
        shown = page(bench().board, Visiting(room=room), width, 24)
        (names,) = [each for each in shown.splitlines() if name in each]
        assert len(names) <= width
        if width >= 80:
            assert len(names.split()) > 3


@pytest.mark.parametrize("width", [30, 60, 80, 120])
def test_a_sign_says_that_there_are_more_rooms(width: int) -> None:
    """Whoever looks for the list of whom to tell does not take what fits for all there is."""
    ends = ((Room.LOTS, False, True), (Room.TODAY, True, True), (Room.FIGURES, True, False))
    for room, before, behind in ends:
        shown = page(bench().board, Visiting(room=room), width, 24)
        (names,) = [each for each in shown.splitlines() if "[" in each and "]" in each]
        assert (names.startswith("<"), names.rstrip().endswith(" >")) == (before, behind)


def disagreed() -> Bench:
    """A bench on which two people read C1 and saw different things, and C2 was mixed up."""
    made = Bench()
    policy = SitePolicy(second_reader=(SecondReaderRule(when=SecondReader.ALL),))
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    made.to_well("C1")
    made.to_well("C2", "P-002")
    for label in ("C1", "C2"):
        made.must(made.read_act(FAINT, label), "18:00")
        seen = NEGATIVE if label == "C1" else FAINT
        made.must(made.read_act(seen, label, by="op-2"), "19:00")
    made.must(
        WithdrawResult(
            by="op-1",
            cartridge="C2",
            reason=WithdrawReason.ANOTHER_PERSON,
            words=private("x"),
            persons=("P-001",),
        ),
        "20:00",
    )
    return made


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (200, 60)])
def test_the_room_of_review_quotes_both_readers_and_lists_who_gives_a_new_specimen(
    width: int, height: int
) -> None:
    """Whoever decides sees what each of them saw; masked, nobody sees anything."""
    board = disagreed().board
    shown = " ".join(page(board, Visiting(room=Room.REVIEW), width, height).split())
    for words in (
        "two readers saw different things on it",
        "First, op-1 at",
        "C present, T faint",
        "C present, T absent",
        "to give a new specimen: P-002, P-001",
        "F6 Amend",
    ):
        assert words in shown
    seen = present(board, Visiting(room=Room.REVIEW), now=LATER)
    masked = text(painted(replace(seen, hand=replace(seen.hand, locked=True)), width, height))
    assert "faint" not in masked
    assert "P-002" not in masked


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (200, 60)])
def test_the_room_of_review_quotes_both_stations_that_looked_at_one_strip(
    width: int, height: int
) -> None:
    """What is kept apart of it stands beside what is in the record; masked, nobody sees any."""
    board = shared_board(apart=1)
    (kept,) = board.apart.values()
    assert kept.cartridge is not None
    held = ReadingHeld(
        at=NOW, by=None, cartridge=kept.cartridge, reasons=(HoldReason.READ_ON_BOTH_SIDES,)
    )
    seen = present(fold(board, held), Visiting(room=Room.REVIEW), now=NOW)
    shown = " ".join(text(painted(seen, width, height)).split())
    for words in (
        "C04 is held: two stations that did not reach each other both looked at it",
        "In the record: C present, T clear, by op-1 at",
        "Kept apart, from station window: Done at 01:32:20 by op-1: C present, T clear.",
        "F6 Amend",
    ):
        assert words in shown
    masked = text(painted(replace(seen, hand=replace(seen.hand, locked=True)), width, height))
    assert "clear" not in masked


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (200, 60)])
def test_the_room_of_review_names_what_contradicts_the_chosen_one(width: int, height: int) -> None:
    """And what a supervisor does with the two; masked, nobody sees what either says."""
    made = Bench()
    to_well(made, "C1")
    to_well(made, "C2", 1)
    made.must(made.read_act(NEGATIVE, "C1"), clock(18))
    made.must(made.read_act(FAINT, "C2"), clock(19))
    seen = present(made.board, Visiting(room=Room.REVIEW), now=LATER)
    shown = " ".join(text(painted(seen, width, height)).split())
    for words in (
        "C1 is held: another cartridge of this person, run at the same time, says otherwise.",
        "Contradicted by C2 of the same person.",
        "take back both and repeat with a new specimen.",
    ):
        assert words in shown
    masked = text(painted(replace(seen, hand=replace(seen.hand, locked=True)), width, height))
    assert "NEGATIVE" not in masked
    assert "POSITIVE" not in masked


def test_an_amended_result_and_one_that_is_not_repeated_any_more_say_so() -> None:
    """In the list of results."""
    made = bench()
    policy = SitePolicy(repeat_limit=1)
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    for label in ("C2", "C3"):
        made.to_well(label, "P-002")
        made.must(made.read_act(NO_CONTROL, label, by="op-2"), "18:00")
    shown = page(made.board, Visiting(room=Room.TODAY))
    assert "refer" in next(each for each in shown.splitlines() if "C3" in each)
    act = AmendResult(
        by="op-1", cartridge="C3", bands=FAINT, reason=AmendReason.OTHER, words=private("x")
    )
    made.must(act, "19:00")
    shown = page(made.board, Visiting(room=Room.TODAY))
    row = next(each for each in shown.splitlines() if "C3" in each)
    assert "amended" in row
    assert "refer" not in row


def test_of_very_many_results_it_is_said_how_to_see_the_others() -> None:
    """A number that is not known is not given."""
    board = bench().board
    (one,) = board.ended.values()
    many = {
        f"id-{place}": replace(
            one, labelled=replace(one.labelled, cartridge=f"id-{place}", label=f"L{place}")
        )
        for place in range(SEEN_AT_MOST + 1)
    }
    shown = page(replace(board, ended=many, held={}), Visiting(room=Room.TODAY))
    assert "or more earlier ones: scan a person to see theirs" in shown


def test_whoever_gets_no_further_repeat_is_to_be_referred_where_repeats_are_called_for() -> None:
    """Nobody is sent to the bench to be refused there."""
    made = Bench()
    policy = SitePolicy(repeat_limit=1)
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    for label, person in (("C1", "P-001"), ("C2", "P-002"), ("C3", "P-002")):
        made.to_well(label, person)
        made.must(made.read_act(NO_CONTROL, label), "18:00")
    shown = text(painted(present(made.board, now=at("19:00")), 120, 40))
    assert "2 to repeat: P-001, P-002 (refer)" in " ".join(shown.split())
