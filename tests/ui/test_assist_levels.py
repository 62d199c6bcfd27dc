"""How much the board helps is for the level to say, and an examination calls nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import at, private
from readbell.core.board.fold import fold
from readbell.core.people.events import PartyRegistered
from readbell.hand.doing import Judging, Purpose, Room, Visiting
from readbell.ui.detail import READ_IT
from readbell.ui.help_page import help_page
from readbell.ui.look import Look, new_calls
from ui.pages import LOOK, SIZES, one_strip, painted, present, text

FULL = LOOK
ALARMS = replace(LOOK, advises=False)
SILENT = replace(LOOK, advises=False, calls=False)
WAITS, OPEN = at("5:00"), at("18:00")
"""Of the one strip, whose window opens at 17:30."""
AT_EACH_SIZE = pytest.mark.parametrize(("width", "height"), SIZES)


@AT_EACH_SIZE
def test_with_alarms_alone_nothing_is_said_until_something_calls(width: int, height: int) -> None:
    """What the hands may go on with is for the trainee to see in the rows."""
    board = one_strip().board
    waits = present(board, now=WAITS)
    calls = present(board, now=OPEN)

    assert "Nothing due" in text(painted(waits, width, height, FULL))
    assert "Nothing due" not in text(painted(waits, width, height, ALARMS))
    assert text(painted(calls, width, height, ALARMS)).count("READ NOW") == 2


@AT_EACH_SIZE
@pytest.mark.parametrize("opened", [False, True])
def test_in_an_examination_nothing_that_is_due_is_shown(
    width: int, height: int, *, opened: bool
) -> None:
    """A row that said READ NOW would call, whatever kept silent; when is for the trainee to know."""
    board = one_strip().board
    (cartridge,) = board.running
    calls = present(board, now=OPEN)
    hand = replace(calls.hand, chosen=cartridge, opened=opened)
    shown = text(painted(replace(calls, hand=hand), width, height, SILENT))

    assert "develops" in shown
    assert "+15:30" in shown
    for hint in ("READ NOW", "opens", "closes", READ_IT[:20], LOOK.glyphs.window):
        assert hint not in shown


@AT_EACH_SIZE
def test_in_an_examination_no_line_of_alerts_stands_on_a_form(width: int, height: int) -> None:
    """It would call from there."""
    board = one_strip().board
    room = present(board, Visiting(room=Room.LOTS), now=OPEN)
    assert "READ NOW" in text(painted(room, width, height, FULL))
    assert "READ NOW" not in text(painted(room, width, height, SILENT))


def test_in_an_examination_no_row_flashes() -> None:
    """It would call by another way."""
    board = one_strip().board
    (cartridge,) = board.running
    found = present(board, now=OPEN, alerted={cartridge: OPEN})

    assert new_calls(found, FULL) == {cartridge}
    assert new_calls(found, SILENT) == frozenset()


@AT_EACH_SIZE
def test_who_is_begun_next_is_said_with_full_help_alone(width: int, height: int) -> None:
    """It is advice."""
    board = one_strip().board
    board = fold(
        board,
        PartyRegistered(
            at=WAITS, by=None, party=private("car 1"), persons=(board.persons["P-002"],)
        ),
    )
    found = present(board, now=WAITS)

    assert "to begin:" in text(painted(found, width, height, FULL))
    assert "to begin:" not in text(painted(found, width, height, ALARMS))


@pytest.mark.parametrize(("look", "told"), [(FULL, True), (ALARMS, False), (SILENT, False)])
def test_how_a_strip_is_looked_at_is_told_with_full_help_alone(look: Look, *, told: bool) -> None:
    """That a faint line is a line is what an examination asks."""
    board = one_strip().board
    (cartridge,) = board.running
    judging = Judging(cartridge=cartridge, purpose=Purpose.READ)
    shown = text(painted(present(board, judging, now=OPEN), 120, 40, look))

    assert ("A faint line is a line" in shown) is told


@pytest.mark.parametrize("rehearses", [True, False])
def test_the_keys_that_steer_are_told_where_they_steer(*, rehearses: bool) -> None:
    """A trainee looks for them under F1; on a board at work they would be wrong."""
    shown = "\n".join(each.text for each in help_page(80, 20, LOOK.glyphs, rehearses=rehearses))

    for words in ("In a rehearsal alone", "F7", "F10", "F11"):
        assert (words in shown) is rehearses
