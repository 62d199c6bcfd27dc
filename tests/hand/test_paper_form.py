"""A run from paper by keys and scans: as it stands there, checked as it is typed, entered as one act."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from builders import LAST_DAY
from readbell.core.paper.events import PaperFault, PaperRunEntered
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import SignInBy
from readbell.core.reading.interpretation import Outcome
from readbell.hand.aloud import said_aloud
from readbell.hand.doing import Filling, Paper, Room, Visiting
from readbell.hand.given import Key
from readbell.scenarios.line import OperatorLine
from readbell.scenarios.stock_lines import ReceiveBoxLine

if TYPE_CHECKING:
    from bay.conftest import Place
    from hand.conftest import Hands

RESULTS = Visiting(room=Room.TODAY)
TIMES = ("00:30", "00:31", "00:32:00", "00:33:00", "00:35:00", "00:36:00")
"""Label to drops; the bay begins at one o'clock at night, and it is two when they are entered."""
READ = "00:52:30"


async def begun(hands: Hands) -> None:
    """The form is open, an hour after the bay was."""
    hands.wait("60:00")
    hands.hand = hands.hand.now_doing(RESULTS)
    await hands.press(Key.START)


async def head_of_paper(hands: Hands, *, doubt: str = "5") -> None:
    """All that stands on it before the first time."""
    await begun(hands)
    await hands.scan("L-100")
    await hands.type("C31", "P-001")
    await hands.scan("op-2", "op-1")
    await hands.choose("day", "2026-03-29")
    await hands.choose("doubt", doubt)
    await hands.press(Key.RIGHT)


async def whole_paper(hands: Hands, *, line: str = "absent", doubt: str = "5") -> None:
    """All of it."""
    await head_of_paper(hands, doubt=doubt)
    await hands.type(*TIMES, READ)
    await hands.choose("seen", "readable")
    await hands.choose("control", "present")
    await hands.choose("line-sars-cov-2", line)


def in_form(hands: Hands) -> dict[str, str]:
    """What was answered so far."""
    doing = hands.in_hand()
    assert isinstance(doing, Filling)
    return dict(doing.answers)


async def entered(hands: Hands) -> PaperRunEntered:
    """Save it; what the record then says."""
    await hands.press(Key.START)
    event = (await hands.stored())[-1]
    assert isinstance(event, PaperRunEntered), hands.words
    return event


async def test_a_run_is_entered_line_by_line_and_stands_among_the_results(hands: Hands) -> None:
    """Who ran it, who vouches, every time in the site's own, and the strip in its own lines."""
    await whole_paper(hands, line="faint")
    event = await entered(hands)
    board = hands.work.bay.board

    assert (event.label, board.name(event.person), event.lot) == ("C31", "P-001", "L-100")
    assert (board.name(event.operator), board.name(event.witness)) == ("op-2", "op-1")
    assert (event.outcome, event.fault) == (Outcome.POSITIVE, None)
    assert event.give_or_take == 5_000
    face = hands.scene.face
    assert [face.time(each.said) for each in event.steps] == [
        "00:30:00", "00:31:00", "00:32:00", "00:33:00", "00:35:00", "00:36:00",
    ]  # fmt: skip
    assert face.time(event.read) == READ
    assert hands.in_hand() == RESULTS
    assert "C31  run on paper entered" in hands.words


async def test_times_to_the_minute_cannot_show_that_a_minute_was_kept(hands: Hands) -> None:
    """The form says so beforehand, and the rule holds."""
    await whole_paper(hands, doubt="60")
    event = await entered(hands)
    assert event.fault is PaperFault.WAIT_NOT_KEPT
    assert "Nothing of it counts" in hands.words


@pytest.mark.parametrize("reason", ["smear", "flooded"])
async def test_a_strip_that_could_not_be_read_needs_its_reason_alone(
    hands: Hands, reason: str
) -> None:
    """No line is asked for then; what was answered before is not taken along."""
    await whole_paper(hands)
    await hands.choose("seen", reason)
    event = await entered(hands)
    assert event.bands.unreadable == reason
    assert (event.bands.control, event.bands.lines) == (None, ())
    assert event.outcome is Outcome.INVALID


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("quarter past", "is no time of the day"),
        ("24:00", "is no time of the day"),
        ("00:29:59", "is before 00:30:00"),
        ("02:01", "is still to come"),
    ],
)
async def test_a_time_that_cannot_be_is_said_at_once(hands: Hands, typed: str, words: str) -> None:
    """While the paper is still in the hand; nothing is entered for it."""
    await head_of_paper(hands)
    await hands.type(TIMES[0], typed)
    assert words in hands.words
    assert hands.fine is False
    assert "at-buffer" not in in_form(hands)


async def test_past_midnight_it_is_the_next_day(hands: Hands) -> None:
    """A night shift writes 23:50 and then 00:05."""
    await head_of_paper(hands)
    await hands.choose("day", "2026-03-28")
    await hands.press(Key.RIGHT, Key.RIGHT)
    await hands.type("23:50:00", "23:51:00", "23:58:00", "23:59:00", "00:01:00", "00:02:00")
    await hands.type("00:18:00")
    await hands.choose("seen", "readable")
    await hands.choose("control", "present")
    await hands.choose("line-sars-cov-2", "absent")
    event = await entered(hands)

    days = [hands.scene.face.local(each.said).day for each in event.steps]
    assert days == [28, 28, 28, 28, 29, 29]
    assert event.fault is None


@pytest.mark.parametrize(
    ("text", "words"),
    [("P-001", "is a known person"), ("L-100C31L", "two labels at once")],
)
async def test_what_is_no_label_is_refused_as_it_is_scanned(
    hands: Hands, text: str, words: str
) -> None:
    """A person's ID on a cartridge's line is the slip that matters most."""
    await begun(hands)
    await hands.scan("L-100", text)
    assert words in hands.words
    assert "label" not in in_form(hands)


async def test_somebody_unknown_is_entered_first(hands: Hands) -> None:
    """The board knows people by being told of them."""
    await begun(hands)
    await hands.scan("L-100", "C31", "P-404")
    assert "is nobody who is known here. F2 on the board" in hands.words


async def test_a_badge_answers_where_a_badge_is_asked_for_and_nobody_takes_over(
    hands: Hands,
) -> None:
    """Elsewhere in the form it says who acts, as everywhere."""
    await begun(hands)
    await hands.scan("op-2")
    assert hands.hand.operator == "op-2"
    await hands.scan("L-100", "C31", "P-001", "op-2")
    assert in_form(hands)["ran"] == "op-2"
    await hands.scan("op-2")
    assert "witness" not in in_form(hands)
    await hands.scan("op-1")
    assert in_form(hands)["witness"] == "op-1"
    assert hands.hand.operator == "op-2"


async def test_what_is_open_is_named_and_what_the_bay_refuses_stays_in_the_form(
    hands: Hands,
) -> None:
    """Nothing typed is lost over it."""
    await whole_paper(hands)
    await entered(hands)
    await whole_paper(hands)  # with that very label once more
    await hands.press(Key.START)
    assert hands.fine is False
    assert len(in_form(hands)) > 10
    hands.hand = hands.hand.now_doing(Filling(paper=Paper.PAPER_RUN))
    await hands.press(Key.START)
    assert "Still open: Lot; Label of the cartridge" in hands.words


async def test_without_a_second_operator_or_a_box_it_is_said_what_is_missing(hands: Hands) -> None:
    """Somebody else has to vouch for what stands on paper."""
    hands.hand = replace(hands.hand.now_doing(RESULTS), operator=None)
    await hands.press(Key.START)
    assert "Nobody is signed on" in hands.words


async def test_it_is_read_out_and_answered_in_plain_lines(hands: Hands) -> None:
    """Each question by a word of its own."""
    await whole_paper(hands)
    told = "\n".join(said_aloud(hands.hand, hands.scene))
    assert "A run that was done on paper." in told
    assert "Drops onto the well" in told or "at:" in told
    assert ".line-sars-cov-2" in told


async def test_another_lot_asks_for_the_steps_and_lines_of_its_own_assay(hands: Hands) -> None:
    """What was answered for a device that it is not goes nowhere."""
    await hands.desk.serve(
        hands.work.bay, OperatorLine(do="register-operator", id="op-3", by="op-1")
    )
    await hands.desk.serve(
        hands.work.bay,
        ReceiveBoxLine(
            do="receive-box",
            by="op-1",
            number="L-300",
            assay="respiratory-antigen-nasal",
            expires=LAST_DAY,
            units=3,
        ),
    )
    await whole_paper(hands)
    await hands.choose("lot", "L-300")
    event = await entered(hands)
    assert event.lot == "L-300"


async def test_where_people_sign_in_a_badge_answers_the_form_and_signs_nobody_in(
    hands: Hands,
    place: Place,  # noqa: F811  # the fixture
) -> None:
    """Who ran it may be at home by now."""
    await hands.work.die()
    policy = SitePolicy(sign_in=SignInBy.BADGE)
    hands.work = await place.take_up(hands.work.clock, policy=policy)
    await hands.scan("op-1")
    await begun(hands)
    await hands.scan("L-100", "C31", "P-001", "op-2")
    assert in_form(hands)["ran"] == "op-2"
    assert hands.hand.operator == "op-1"
    await hands.work.die()
