"""The whole work by typed lines: each thing that may be given has a word, and no word saves by itself."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import NASAL, THREE_LINES, Bench, at
from hand.test_handle import SCENE, asks_for_outcome, hands_at_work
from readbell.core.cartridge.events import How
from readbell.core.reading.interpretation import Outcome
from readbell.hand.aloud import HELP, WORDS, in_words, said_aloud, understood
from readbell.hand.doing import Filling, Gathering, Judging, Paper, Purpose, Room, Visiting
from readbell.hand.given import Chose, Faulty, Key, PointedAt, Pressed, Scanned
from readbell.hand.handle import handle
from readbell.hand.scene import AtHand
from readbell.phrases.assay_words import say_figures

if TYPE_CHECKING:
    from hand.conftest import Hands
    from readbell.hand.hand import Hand


async def say(hands: Hands, *lines: str) -> None:
    """Type each of the lines."""
    for text in lines:
        await hands.on_purpose(understood(text, hands.hand, hands.scene))


def heard(hands: Hands) -> str:
    """What is read out now."""
    return "\n".join(said_aloud(hands.hand, hands.scene))


async def test_a_cartridge_runs_from_its_label_to_a_positive_by_typed_lines(hands: Hands) -> None:
    """Somebody who sees no board does the whole work, and hears at each line what is asked."""
    await say(hands, ".start", "P-101")
    assert "1 on the list" in heard(hands)
    await say(hands, ".start")
    assert "Turn of P-101" in heard(hands)
    await say(hands, "C07", "C07")
    assert "C07: Buffer into the tube." in heard(hands)
    assert "Say .done, or scan C07 again" in heard(hands)
    await say(hands, ".done")
    hands.wait("1:00")
    await say(hands, "C07", ".done")
    hands.wait("2:00")
    await say(hands, "C07", ".earlier", "1", ".done")
    assert hands.cartridge("C07").applied is not None, hands.words
    hands.wait("15:00")
    await say(hands, "C07")
    assert "Reading of C07." in heard(hands)
    assert "Say .control and one of: absent, present." in heard(hands)
    await say(hands, ".control present", ".T faint", "p-101")
    assert "It would be + POSITIVE. A control line, and a test line" in heard(hands)
    assert "Patient ID: scan or type it: P-101." in heard(hands)
    await say(hands, ".save")

    assert hands.cartridge("C07").outcome is Outcome.POSITIVE, hands.words


async def test_an_early_look_is_saved_by_the_same_word(hands: Hands) -> None:
    """Nobody who types must know which key it would be."""
    await hands.to_well("C01", "P-001")
    hands.wait("6:00")
    await say(hands, ".choose c01")
    assert heard(hands) == "Chosen: C01."
    await say(hands, ".look", ".ready yes", ".control present", ".t clear", "P-001", ".SAVE")

    assert hands.cartridge("C01").early_lines, hands.words


async def test_a_look_that_settles_nothing_says_so_before_it_is_saved(hands: Hands) -> None:
    """A negative means nothing yet."""
    await hands.to_well("C01", "P-001")
    hands.wait("6:00")
    await say(hands, ".choose C01", ".look", ".ready yes", ".control present", ".t absent")

    assert "Early look at C01. A negative means nothing yet." in heard(hands)
    assert "\n  No test line yet." in heard(hands)


@given(text=st.text(max_size=30), hand=hands_at_work())
def test_no_line_without_a_leading_full_stop_ever_saves_an_outcome(text: str, hand: Hand) -> None:
    """A scanner types lines, too."""
    if text.startswith("."):
        text = text.lstrip(".")
    meant = understood(text, hand, SCENE)

    assert isinstance(meant, Scanned)
    assert meant.how is How.TYPED
    assert not asks_for_outcome(handle(hand, meant, SCENE))


@given(text=st.text(max_size=30), hand=hands_at_work())
def test_any_line_with_a_leading_full_stop_is_understood_or_answered(text: str, hand: Hand) -> None:
    """And what is in hand can always be read out."""
    meant = understood(f".{text}", hand, SCENE)
    assert isinstance(meant, (Pressed, Chose, PointedAt, Faulty))
    for line in said_aloud(handle(hand, meant, SCENE).hand, SCENE):
        assert line.strip()


def test_each_key_has_a_word(hands_doing: Hand) -> None:
    """Whatever the board can do, lines can."""
    assert set(WORDS.values()) == set(Key)
    for word, key in WORDS.items():
        assert understood(f".{word}", hands_doing, SCENE) == Pressed(key, in_words=True)


@pytest.fixture
def hands_doing() -> Hand:
    """A hand that watches."""
    from readbell.hand.doing import Watching
    from readbell.hand.hand import Hand

    return Hand(doing=Watching(), operator="op-1")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (".nonsense", "is no word known here"),
        (".control present", 'Nothing called "control" is asked now.'),
        (".choose X-1", '"X-1" is no cartridge here.'),
        (".choose P-0412", '"P-0412" is no cartridge here.'),
        (".", "is no word known here"),
    ],
)
def test_what_is_not_understood_says_why(hands_doing: Hand, text: str, words: str) -> None:
    """In one line, and what to do."""
    meant = understood(text, hands_doing, SCENE)

    assert isinstance(meant, Faulty)
    assert words in meant.why


def test_a_wrong_answer_lists_the_right_ones(hands_doing: Hand) -> None:
    """By their words, in the order of the form."""
    doing = Judging(purpose=Purpose.READ, cartridge="id-C03")
    hand = hands_doing.now_doing(doing)

    meant = understood(".control maybe", hand, SCENE)
    assert meant == Faulty("Say .control and one of: absent, present.")
    meant = understood(".person P-0414", hand, SCENE)
    assert meant == Faulty("Scan or type it by itself, without .person before it.")


def test_a_list_reads_out_what_may_be_chosen(hands_doing: Hand) -> None:
    """Nobody chooses from a list they cannot hear."""
    hand = hands_doing.now_doing(Visiting(room=Room.PEOPLE))
    said = "\n".join(said_aloud(hand, SCENE))

    assert "Operators: op-1. Say .thing and one of: op-1, op-2." in said
    assert understood(".operators op-2", hand, SCENE) == Chose("thing", "op-2")


def test_the_figures_of_an_assay_are_read_out_where_it_is_adopted(hands_doing: Hand) -> None:
    """Whoever is asked whether they agree with the kit's instructions has to hear them."""
    shelf = (AtHand(id=NASAL.id, title=NASAL.title, figures=say_figures(NASAL)),)
    scene = replace(SCENE, shelf=shelf)
    form = Filling(paper=Paper.ASSAY, answers=(("assay", NASAL.id),))
    for doing in (Visiting(room=Room.ASSAYS), form):
        said = list(said_aloud(hands_doing.now_doing(doing), scene))
        for each in say_figures(NASAL):
            assert f"  {each}" in said
    assert list(said_aloud(hands_doing.now_doing(Visiting(room=Room.ASSAYS)), SCENE))


async def test_every_place_says_what_it_is_and_how_to_leave_it(hands: Hands) -> None:
    """Void, forms, rooms, leaving and help."""
    await hands.scan("P-001", "C01")
    await say(hands, ".choose C01", ".void")
    assert "Void C01. Scan it itself, say why, then .void." in heard(hands)
    await say(hands, ".back", ".rooms")
    assert "Room: lots." in heard(hands)
    await say(hands, ".start")
    assert "A new box. Answer line by line" in heard(hands)
    await say(hands, ".back", ".back", ".leave")
    assert "C01  P-001" in heard(hands)
    assert "Say .leave again to leave" in heard(hands)
    await say(hands, ".back", ".keys")
    assert HELP[0] in heard(hands)


async def test_a_window_that_closed_under_the_form_promises_no_outcome(hands: Hands) -> None:
    """Whoever only hears the form has to hear that what is saved now is no result."""
    await hands.to_window("C01", "P-001")
    await say(hands, "C01", ".control present", ".T absent", "P-001")
    assert "It would be - NEGATIVE." in heard(hands)
    hands.wait("5:00.001")

    assert "NEGATIVE" not in heard(hands)
    assert "The window has closed. Saving keeps what was seen as a late look" in heard(hands)


def test_where_two_assays_are_run_the_reading_says_which_of_them_it_is(hands_doing: Hand) -> None:
    """Whoever hears the form sees no kit on it; "test line T" is the same of both."""
    bench = Bench()
    cartridge = bench.to_well()
    hand = hands_doing.now_doing(Judging(purpose=Purpose.READ, cartridge=cartridge.id))
    bare = replace(SCENE, board=bench.board, now=at("18:00"))
    bench.adopt(THREE_LINES)
    several = replace(bare, board=bench.board)

    assert "Reading of C1. A faint" in "\n".join(said_aloud(hand, bare))
    assert f"Reading of C1. {NASAL.title}. A faint" in "\n".join(said_aloud(hand, several))


def test_what_is_gone_is_not_read_out(hands_doing: Hand) -> None:
    """Between two lines everything may change."""
    gone = Judging(purpose=Purpose.READ, cartridge="gone")
    assert "Reading of ." in "\n".join(said_aloud(hands_doing.now_doing(gone), SCENE))
    assert list(said_aloud(hands_doing.choosing("gone", How.PICKED), SCENE)) == []
    assert list(said_aloud(hands_doing, SCENE)) == []
    assert "0 on the list" in "".join(said_aloud(hands_doing.now_doing(Gathering()), SCENE))
    paper = hands_doing.now_doing(Filling(paper=Paper.OPERATOR))
    assert "not answered" in "".join(said_aloud(paper, SCENE))


def test_in_plain_lines_keys_are_called_by_their_words() -> None:
    """Nobody who listens has an F2; an ID that holds one keeps it."""
    assert (
        in_words("Press F2, or F12; Esc leaves it.") == "Press .start, or .void; .back leaves it."
    )
    assert in_words("P-F2A is nothing we know.") == "P-F2A is nothing we know."
