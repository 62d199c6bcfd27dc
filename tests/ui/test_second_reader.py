"""Whoever reads second sees nothing of what the first one saw: not on any page of the board."""

from __future__ import annotations

import pytest

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, SMEAR, Bench, at
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.fold import fold
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.hand.doing import Doing, Judging, Purpose, Room, Visiting, Watching
from ui.pages import SIZES, painted, present, text

NOW = at("18:30")


def read_once(seen: object, *, early: object = None) -> Bench:
    """A bench on which C1 was read once by op-1, and op-2 acts."""
    made = Bench()
    rule = SecondReaderRule(when=SecondReader.ALL)
    policy = SitePolicy(second_reader=(rule,))
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    made.to_well()
    if early is not None:
        made.must(made.look_act(early), "6:00")  # type: ignore[arg-type]
    made.must(made.read_act(seen), "18:00")  # type: ignore[arg-type]
    raised = AlertRaised(
        at=at("18:00"), cartridge="id-C1", alert=AlertKind.READ_NOW, due=at("18:00"), step=""
    )
    made.board = fold(made.board, raised)
    assert made.cartridge().awaits_second
    return made


PLACES: list[tuple[str, Doing, bool]] = [
    ("the board", Watching(), False),
    ("the row opened", Watching(), True),
    ("the form of the reading", Judging(purpose=Purpose.READ, cartridge="id-C1"), True),
    ("the form of a correction", Judging(purpose=Purpose.CORRECT, cartridge="id-C1"), True),
    *((f"the room of {room}", Visiting(room=room), False) for room in Room),
    ("the record of the person", Visiting(room=Room.TODAY, person="P-001"), False),
]


def shown(made: Bench, doing: Doing, size: tuple[int, int], *, opened: bool) -> str:
    """A page as it is read without colour."""
    seen = present(made.board, doing, now=NOW, chosen="id-C1", opened=opened, operator="op-2")
    return text(painted(seen, *size))


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize(
    ("doing", "opened"), [each[1:] for each in PLACES], ids=[each[0] for each in PLACES]
)
def test_nothing_on_any_page_depends_on_what_the_first_reader_saw(
    doing: Doing, opened: bool, size: tuple[int, int]
) -> None:
    """Line by line the same, whatever it was."""
    pages = {
        shown(read_once(seen), doing, size, opened=opened)
        for seen in (CLEAR, FAINT, NEGATIVE, NO_CONTROL, SMEAR)
    }
    (page,) = pages
    for word in ("POSITIVE", "NEGATIVE", "INVALID"):
        assert word not in page.replace("A negative", "")


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("opened", [False, True])
def test_what_was_seen_early_is_shown_no_more_either(opened: bool, size: tuple[int, int]) -> None:
    """It would say what to look for."""
    without = shown(read_once(FAINT), Watching(), size, opened=opened)
    early = shown(read_once(FAINT, early=CLEAR), Watching(), size, opened=opened)
    assert early == without
    assert "e+" not in early


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_the_board_calls_for_a_second_reader_by_its_own_word(size: tuple[int, int]) -> None:
    """In the place of READ NOW, with the time that is left."""
    made = read_once(FAINT)
    page = shown(made, Watching(), size, opened=False)
    assert "2ND READER" in page
    opened = shown(made, Watching(), size, opened=True)
    assert "second reader" in " ".join(opened.split())
