"""All the figures on the board: opened on purpose, recorded, leafed through, and left again."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from bay.conftest import place  # noqa: F401  # fixtures
from hand.conftest import hands  # noqa: F401
from readbell.bay.figures_beside import FiguresBeside, Seen
from readbell.core.figures.view import Answered, Asked, By, Counting, Sheet, Stretch
from readbell.core.keeping.events import TraceOf, TraceOpened
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import Role
from readbell.hand.doing import Figuring, Helping, Leaving, Room, Visiting, Watching
from readbell.hand.figuring import NONE_HERE, NOT_APART, READS, figure_given, figures_aloud
from readbell.hand.following import closed_for
from readbell.hand.given import Chose, Key, Pressed, Scanned
from readbell.hand.hand import Hand

if TYPE_CHECKING:
    from hand.conftest import Hands
    from readbell.hand.scene import Scene

ROOM = Visiting(room=Room.FIGURES)
NOBODY_ASKS = FiguresBeside((sys.executable, "-c", ""), lambda: None)


def answer(sheet: Sheet = Sheet.RATES, rows: int = 3) -> Answered:
    """What a program beside the board answers to what the plain lines ask."""
    asked = Asked(
        sheet=sheet, by=By.DAY, stretch=Stretch.MONTH, wide=79, picture=None, plain_signs=True
    )
    lines = tuple((f"day-{number}", f"row {number}") for number in range(rows))
    return Answered(asked=asked, as_of="10:42", head="head", rows=lines, notes=("a note",))


def showing(answered: Answered | None, state: Counting | None = None) -> FiguresBeside:
    """One that has said so already."""
    made = FiguresBeside((sys.executable, "-c", ""), lambda: None)
    made._seen = Seen(answered=answered, state=state)
    made._asked = None if answered is None else answered.asked
    return made


@pytest.fixture
def scene(hands: Hands) -> Scene:  # noqa: F811
    """A board beside which the figures are counted: three rows are seen."""
    return replace(hands.scene, figures=showing(answer()))


def pressed(doing: Figuring, scene: Scene, *keys: Key) -> Figuring:
    """What is in hand after `keys`."""
    hand = Hand(doing=doing, operator="op-1")
    for key in keys:
        assert isinstance(hand.doing, Figuring)
        turn = figure_given(hand, hand.doing, Pressed(key), scene)
        assert turn is not None
        hand = turn.hand
    assert isinstance(hand.doing, Figuring)
    return hand.doing


async def ask_for_all(hands: Hands, figures: FiguresBeside | None) -> None:  # noqa: F811
    """Press F2 in the room of this week."""
    from readbell.hand.handle import handle

    scene = replace(hands.scene, figures=figures)
    turn = handle(hands.hand, Pressed(Key.START), scene)
    hands.hand = turn.hand
    if turn.ask is not None:
        found = await hands.desk.serve(hands.work.bay, turn.ask.request)
        hands.hand = turn.ask.then(hands.hand, found, replace(hands.scene, figures=figures))


async def test_f2_opens_them_and_that_somebody_looked_is_on_record(hands: Hands) -> None:  # noqa: F811
    """Before anything is shown."""
    hands.hand = hands.hand.now_doing(ROOM)
    await ask_for_all(hands, NOBODY_ASKS)

    assert hands.in_hand() == Figuring(before=ROOM)
    (looked,) = [each for each in await hands.stored() if isinstance(each, TraceOpened)]
    assert looked.of is TraceOf.FIGURES


async def test_where_there_are_roles_it_takes_a_supervisor(hands: Hands) -> None:  # noqa: F811
    """A tester sees the week of the bay, and no colleague's figures."""
    roles = GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,))
    assert (await hands.work.bay.do(roles)).accepted
    hands.hand = replace(hands.hand.now_doing(ROOM), operator="op-2")
    await ask_for_all(hands, NOBODY_ASKS)

    assert hands.in_hand() == ROOM
    assert hands.fine is False
    assert "supervisor" in hands.words


async def test_nobody_in_particular_opens_none_and_a_rehearsal_has_none(hands: Hands) -> None:  # noqa: F811
    """Whoever looks has a name; and where nothing counts it is said where to look."""
    hands.hand = hands.hand.now_doing(ROOM)
    await ask_for_all(hands, None)
    assert hands.words == NONE_HERE
    hands.hand = replace(hands.hand, operator=None)
    await ask_for_all(hands, NOBODY_ASKS)
    assert hands.in_hand() == ROOM
    assert hands.fine is False


def test_other_keys_say_what_f2_does(scene: Scene) -> None:
    """Nobody presses into the dark."""
    from readbell.hand.figuring import pressed_in_room

    assert pressed_in_room(Hand(doing=ROOM), Key.LOOK, scene).hand.said is not None
    said = pressed_in_room(Hand(doing=ROOM), Key.LOOK, scene).hand.said
    assert said is not None
    assert said.words == READS


def test_tables_are_leafed_through_in_a_ring(scene: Scene) -> None:
    """Right and Left; each begins at its first row."""
    begun = Figuring(row=2)
    assert pressed(begun, scene, Key.RIGHT).sheet is Sheet.MARKS
    assert pressed(begun, scene, Key.RIGHT).row == 0
    assert pressed(begun, scene, Key.LEFT).sheet is Sheet.NEAR
    assert pressed(begun, scene, *[Key.RIGHT] * len(Sheet)).sheet is Sheet.RATES


def test_what_is_told_apart_and_the_days_go_round(scene: Scene) -> None:
    """F2 and F6; a table of all together says that nothing is told apart in it."""
    begun = Figuring()
    assert pressed(begun, scene, Key.START).by is By.ASSAY
    assert pressed(begun, scene, *[Key.START] * len(By)).by is By.DAY
    assert pressed(begun, scene, Key.SECOND).stretch is Stretch.QUARTER
    load = Figuring(sheet=Sheet.LOAD)
    turn = figure_given(Hand(doing=load), load, Pressed(Key.START), scene)
    assert turn is not None
    assert turn.hand.said is not None
    assert turn.hand.said.words == NOT_APART
    assert turn.hand.doing == load


def test_a_row_is_chosen_and_never_behind_the_last(scene: Scene) -> None:
    """By arrows, by pages, and by a click."""
    assert pressed(Figuring(), scene, Key.DOWN).row == 1
    assert pressed(Figuring(), scene, *[Key.DOWN] * 9).row == 2
    assert pressed(Figuring(), scene, Key.PAGE_DOWN, Key.PAGE_UP).row == 0
    assert pressed(Figuring(row=2), scene, Key.HOME).row == 0
    for picked, row in (("day-2", 2), ("gone", 1)):
        begun = Figuring(row=1)
        turn = figure_given(Hand(doing=begun), begun, Chose("row", picked), scene)
        assert turn is not None
        assert turn.hand.doing == Figuring(row=row)
    begun = Figuring()
    turn = figure_given(Hand(doing=begun), begun, Chose("sheet", "sum"), scene)
    assert turn is not None
    assert turn.hand.doing == Figuring(sheet=Sheet.SUM)
    nothing = replace(scene, figures=None)
    assert pressed(Figuring(), nothing, Key.DOWN).row == 0


def test_the_picture_alone_and_counting_anew(scene: Scene) -> None:
    """F4 and F3."""
    assert pressed(Figuring(), scene, Key.LOOK).draws
    assert not pressed(Figuring(), scene, Key.LOOK, Key.LOOK).draws
    assert pressed(Figuring(), scene, Key.DONE, Key.DONE).round == 2


async def test_they_are_left_to_the_room_the_board_or_by_a_scan(hands: Hands) -> None:  # noqa: F811
    """And nothing was done by them; no key of the board is one here."""
    for key, after in ((Key.BACK, ROOM), (Key.ROOMS, Watching())):
        hands.hand = hands.hand.now_doing(Figuring(before=ROOM))
        await hands.press(Key.VOID, Key.READ, key)
        assert hands.in_hand() == after
    hands.hand = hands.hand.now_doing(Figuring(before=ROOM))
    await hands.press(Key.HELP)
    assert isinstance(hands.in_hand(), Helping)
    await hands.press(Key.BACK, Key.LEAVE)
    assert isinstance(hands.in_hand(), Leaving)
    await hands.press(Key.BACK)
    assert isinstance(hands.in_hand(), Figuring)
    await hands.scan("P-002")
    assert not isinstance(hands.in_hand(), Figuring)


def test_another_operator_finds_them_closed() -> None:
    """It is not on record that this one looked."""
    hand = Hand(doing=Figuring(before=ROOM), operator="op-1")
    assert closed_for(hand, "op-1") == hand
    assert closed_for(hand, "op-2").doing == Watching()


def test_what_is_no_key_is_passed_on(scene: Scene) -> None:
    """A scan is never lost; a click on something else is nothing."""
    begun = Figuring()
    assert figure_given(Hand(doing=begun), begun, Scanned("P-001"), scene) is None
    turn = figure_given(Hand(doing=begun), begun, Chose("other", "thing"), scene)
    assert turn is not None
    assert turn.hand.doing == begun


def test_they_are_read_aloud_row_by_row_or_how_far_they_are(scene: Scene) -> None:
    """In plain lines nobody sees a page."""
    assert list(figures_aloud(Figuring(), scene)) == [
        "Rates by day, last 28 days, as of 10:42",
        "  head",
        "  row 0",
        "  row 1",
        "  row 2",
        "a note",
    ]
    counting = showing(None, Counting(what="counting cartridges", done=1, of=4))
    counting._asked = answer().asked
    title, state = figures_aloud(Figuring(), replace(scene, figures=counting))
    assert title == "Rates by day, last 28 days"
    assert state.startswith("Being counted: counting cartridges, 1 of 4 (25 %).")
    assert list(figures_aloud(Figuring(), replace(scene, figures=None))) == []
    empty = replace(scene, figures=showing(replace(answer(rows=0), head="", notes=("nothing",))))
    assert list(figures_aloud(Figuring(), empty))[1:] == ["nothing"]
