"""Keys into what was given: who typed so fast, where a text ends, and what no scan can press."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.core.cartridge.events import How
from readbell.hand.given import Faulty, Given, Key, Pressed, Scanned, Steer, Steered
from readbell.ui.keyboard import (
    AMID,
    BURST,
    LONGEST,
    LOST,
    LOST_SIGN,
    MIXED,
    PASTED_INTO,
    STEERING,
    TOO_LONG,
    Keyboard,
)

FAST, SLOW = 0.005, 0.4
NAMES = {
    "\r": "enter", "\n": "ctrl+j", "\t": "tab", " ": "space", "\x1d": "ctrl+right_square_bracket",
    "\x1b": "escape", "\x08": "backspace", "\x02": "ctrl+b",
}  # fmt: skip
PRESSES = {
    "f1": Key.HELP, "f2": Key.START, "f3": Key.DONE, "f4": Key.LOOK, "f5": Key.READ,
    "f6": Key.SECOND, "f8": Key.HEARD, "f9": Key.ROOMS, "f12": Key.VOID, "ctrl+q": Key.LEAVE,
    "up": Key.UP, "down": Key.DOWN, "left": Key.LEFT, "right": Key.RIGHT, "pageup": Key.PAGE_UP,
    "pagedown": Key.PAGE_DOWN, "home": Key.HOME, "escape": Key.BACK,
}  # fmt: skip


class Desk:
    """A keyboard with a clock."""

    def __init__(self, *, rehearses: bool = False) -> None:
        self.keyboard, self.now = Keyboard(STEERING if rehearses else None), 100.0
        self.given: list[Given] = []

    def type(self, text: str, gap: float = FAST) -> Desk:
        """Type `text`, each key `gap` after the one before."""
        for sign in text:
            self.key(NAMES.get(sign, sign), sign, gap)
        return self

    def key(self, name: str, character: str | None = None, gap: float = SLOW) -> Desk:
        """Press one key."""
        self.now += gap
        self.given += self.keyboard.press(name, character, self.now)
        return self

    def rest(self) -> Desk:
        """Let what waits count."""
        self.now += BURST + 0.001
        self.given += self.keyboard.settle(self.now)
        return self


def test_a_text_typed_at_a_scanner_s_pace_is_scanned() -> None:
    """Which of the two it was stands in the record, as scanning is the stronger check."""
    assert Desk().type("P-0412\r").given == [Scanned("P-0412", How.SCANNED)]


def test_a_text_with_one_slow_gap_is_typed() -> None:
    """In doubt the weaker claim."""
    assert Desk().type("P-0412", SLOW).type("\r").given == [Scanned("P-0412", How.TYPED)]
    assert Desk().type("P-0412").type("\r", SLOW).given == [Scanned("P-0412", How.TYPED)]


def test_three_letters_are_typed_however_fast() -> None:
    """A quick hand rolls as many keys."""
    assert Desk().type("C03\r").given == [Scanned("C03", How.TYPED)]


@pytest.mark.parametrize("end", ["\r", "\n", "\t", "\r\n"])
def test_each_end_that_scanners_send_ends_a_text_once(end: str) -> None:
    """A line feed was lost without a word, and a tab went elsewhere, in a field of the library."""
    desk = Desk().type(f"P-0412{end}P-0413{end}")
    assert desk.given == [Scanned("P-0412"), Scanned("P-0413")]


def test_an_end_with_nothing_before_it_does_nothing() -> None:
    """Enter ends a scan and does nothing else, anywhere."""
    assert Desk().type("\r\n\t  \r").rest().given == []


def test_fields_of_a_code_stay_apart_and_its_prefix_goes() -> None:
    """Without the separator the lot AB12 and a date after it are another lot."""
    code = "0109501101530003\x1d10AB12\x1d17260101"
    for prefix in ("]d2", "]C1", "]Q3", "]e0"):
        assert Desk().type(f"{prefix}{code}\r").given == [Scanned(code)]


def test_a_code_of_nothing_but_a_prefix_is_refused() -> None:
    """Something was scanned, so something must be said."""
    assert Desk().type("]d2\r").given == [Faulty(LOST)]


@pytest.mark.parametrize("sign", [LOST_SIGN, "\x1b", "\x08", "\x02", "\x9b", "\u202e", "\u200b"])
def test_a_text_that_lost_a_sign_is_refused(sign: str) -> None:
    """AB<ESC>CD must not become the ID ABCD, wherever the sign stood."""
    for text in (f"AB{sign}CD", f"{sign}ABCD", f"ABCD{sign}"):
        assert Desk().type(f"{text}\r").rest().given == [Faulty(LOST)]


def test_a_text_too_long_is_refused_and_not_cut() -> None:
    """What was cut would be another ID."""
    assert Desk().type("A" * LONGEST + "\r").given == [Scanned("A" * LONGEST)]
    desk = Desk().type("A" * (LONGEST + 1))
    assert len(desk.keyboard.text) == LONGEST
    assert desk.type("\r").given == [Faulty(TOO_LONG)]
    assert desk.type("B-0412\r").given[-1] == Scanned("B-0412")


def test_a_scan_behind_letters_that_stood_there_is_refused() -> None:
    """A sleeve on a key, or a scanner that sent no end, would make one ID of two texts."""
    desk = Desk().type("x")
    desk.now += SLOW
    assert desk.type("P-0412\r").given == [Faulty(MIXED)]
    desk = Desk().type("S-00001")
    desk.now += SLOW
    assert desk.type("S-00002\r").given == [Faulty(MIXED)]


def test_a_scan_that_was_held_up_in_the_middle_is_one_text_and_typed() -> None:
    """A busy computer reads late. The ID is whole; only the stronger claim is lost."""
    desk = Desk().type("P-04").key("1", "1", 0.2).type("277\r")
    assert desk.given == [Scanned("P-041277", How.TYPED)]


def test_backspace_takes_one_off_and_makes_it_typed() -> None:
    """A person mends what a person typed."""
    desk = Desk().type("P-0413").key("backspace", "\x08")
    assert desk.keyboard.text == "P-041"
    assert desk.type("2", SLOW).key("enter", "\r").given == [Scanned("P-0412", How.TYPED)]
    assert Desk().key("backspace", "\x08").rest().given == []


def test_backspace_can_take_a_lost_sign_away() -> None:
    """Else one wrong key would cost the whole text."""
    desk = Desk().type(f"AB{LOST_SIGN}", SLOW).key("backspace", "\x08").key("enter", "\r")
    assert desk.given == [Scanned("AB", How.TYPED)]


def test_escape_clears_the_text_first_and_goes_back_only_then() -> None:
    """Nobody loses a page by mending an ID."""
    desk = Desk().type("AB", SLOW).key("escape", "\x1b").rest()
    assert (desk.keyboard.text, desk.given) == ("", [])
    assert desk.key("escape", "\x1b").rest().given == [Pressed(Key.BACK)]


@pytest.mark.parametrize(("name", "key"), PRESSES.items())
def test_a_key_pressed_by_itself_counts_after_a_moment(name: str, key: Key) -> None:
    """Long enough to know that no scan began with it, too short to be felt."""
    desk = Desk().key(name)
    assert (desk.given, desk.keyboard.holds) == ([], True)
    assert desk.rest().given == [Pressed(key)]
    assert not desk.keyboard.holds


@pytest.mark.parametrize("name", ["f7", "f10", "f11", "ctrl+c", "ctrl+p", "ctrl+s", "ctrl+z"])
def test_keys_of_habit_do_nothing(name: str) -> None:
    """Terminals own them."""
    assert Desk().key(name, "\x03" if "+" in name else None).rest().given == []


@pytest.mark.parametrize(("name", "key"), PRESSES.items())
def test_no_key_means_anything_else_in_a_rehearsal(name: str, key: Key) -> None:
    """What is practised is what will be done."""
    assert name not in STEERING
    assert Desk(rehearses=True).key(name).rest().given == [Pressed(key)]


@pytest.mark.parametrize(("name", "steer"), STEERING.items())
def test_a_rehearsal_has_keys_of_its_own_and_they_take_what_was_typed(
    name: str, steer: Steer
) -> None:
    """As F3 takes the minutes; by themselves they mean what they say."""
    assert Desk(rehearses=True).key(name).rest().given == [Steered(steer)]
    desk = Desk(rehearses=True).type("20", SLOW).key(name).rest()
    assert desk.given == [Steered(steer, "20")]
    assert desk.keyboard.text == ""


@pytest.mark.parametrize("name", STEERING)
def test_a_key_of_a_rehearsal_amid_a_scan_is_not_taken_for_pressed(name: str) -> None:
    """No code steers anything."""
    desk = Desk(rehearses=True).type("P-04").key(name, gap=FAST).type("12\r").rest()
    assert desk.given == [Faulty(LOST)]


def test_letters_alone_never_act() -> None:
    """Scanners type letters and digits."""
    every = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 -_/.:"
    assert Desk().type(every, SLOW).rest().given == []


def test_a_question_mark_and_enter_ask_for_help() -> None:
    """Some terminals keep F1 for themselves."""
    assert Desk().type("?\r", SLOW).given == [Pressed(Key.HELP)]
    assert Desk().type("P?\r", SLOW).given == [Scanned("P?", How.TYPED)]


def test_a_key_behind_a_scan_in_the_same_instant_is_not_taken_for_pressed() -> None:
    """A code may hold an end and a key behind it: no scan ever saves an outcome."""
    desk = Desk().type("P-0412\r").key("f5", gap=FAST).rest()
    assert desk.given == [Scanned("P-0412"), Faulty(AMID)]


def test_heard_is_deaf_in_a_burst_without_a_word() -> None:
    """The burst may be the scan of somebody who has not even seen the alert."""
    desk = Desk().type("P-0412\r").key("f8", gap=FAST).rest()
    assert desk.given == [Scanned("P-0412")]
    assert Desk().type("P-0412\r").key("f8").rest().given[-1] == Pressed(Key.HEARD)


def test_a_burst_is_over_after_its_time() -> None:
    """Whoever asks learns the same."""
    desk = Desk().type("P")
    assert desk.keyboard.in_burst(desk.now + FAST)
    assert not desk.keyboard.in_burst(desk.now + BURST + 0.001)


def test_a_key_held_down_counts_once_but_an_arrow_goes_on() -> None:
    """A second F2 starts a person, so a finger left on it must not be one."""
    desk = Desk()
    for _ in range(10):
        desk.key("f2", gap=0.03)
    assert desk.rest().given == [Pressed(Key.START)]
    arrows = Desk()
    for _ in range(10):
        arrows.key("down", gap=0.03)
    assert len(arrows.given) >= 7
    assert arrows.rest().given == [Pressed(Key.DOWN)] * 10


def test_keys_that_only_shift_others_are_not_there() -> None:
    """Some terminals report them, amid every scan that has capitals."""
    desk = Desk()
    for letter in "P-AB":
        desk.key("left_shift", gap=FAST).key(letter, letter, FAST)
    assert desk.key("enter", "\r", FAST).given == [Scanned("P-AB")]


@pytest.mark.parametrize("text", ["P-0412", "P-0412\n", "\r\nP-0412\r\n"])
def test_one_pasted_line_is_typed_with_its_end(text: str) -> None:
    """Nobody scanned it."""
    desk = Desk()
    assert desk.keyboard.pasted(text, desk.now) == (Scanned("P-0412", How.TYPED),)


def test_several_pasted_lines_are_refused_and_counted() -> None:
    """The library kept the first and lost the rest without a word."""
    desk = Desk()
    (fault,) = desk.keyboard.pasted("A\nB\r\nC\r", desk.now)
    assert isinstance(fault, Faulty)
    assert fault.why.startswith("3 lines were pasted at once. Nothing was taken.")


@pytest.mark.parametrize(
    ("text", "why"), [("A" * 121, TOO_LONG), ("A\x1bB", LOST), ("A\tB", LOST), ("A\x9bB", LOST)]
)
def test_a_paste_that_is_no_id_is_refused(text: str, why: str) -> None:
    """By the same rule as a scan."""
    assert Keyboard().pasted(text, 1.0) == (Faulty(why),)


def test_a_paste_behind_letters_or_a_key_is_refused() -> None:
    """Two in one again."""
    desk = Desk().type("AB", SLOW)
    assert desk.keyboard.pasted("P-0412", desk.now) == (Faulty(PASTED_INTO),)
    assert desk.keyboard.text == ""
    desk = Desk().key("f5")
    assert desk.keyboard.pasted("P-0412", desk.now) == (Faulty(PASTED_INTO),)
    assert desk.rest().given == []
    assert desk.keyboard.pasted("\n", desk.now) == ()


@given(
    st.lists(
        st.one_of(
            st.sampled_from([(name, None) for name in PRESSES]),
            st.sampled_from([("enter", "\r"), ("tab", "\t"), ("backspace", "\x08"), ("f7", None)]),
            st.characters().map(lambda sign: (NAMES.get(sign, sign), sign)),
        ),
        min_size=1,
        max_size=40,
    ),
    st.sampled_from([("x", "x"), ("enter", "\r")]),
)
def test_no_scan_presses_a_key(keys: list[tuple[str, str | None]], last: tuple[str, str]) -> None:
    """Whatever a code is made of: keys in a burst with a letter or an end are no keys."""
    desk = Desk()
    for name, character in [*keys, last]:
        desk.key(name, character, 0.001)
    pressed = [each for each in desk.rest().given if isinstance(each, Pressed)]
    assert all(each == Pressed(Key.HELP) for each in pressed)


@pytest.mark.parametrize("name", ["f2", "f3", "f4", "f5", "f6", "f12"])
def test_a_key_takes_what_was_typed_with_it(name: str) -> None:
    """`2` and F3 is how somebody in a hurry says how long ago; no Enter is asked for."""
    (given,) = Desk().type("2", SLOW).key(name).rest().given

    assert isinstance(given, Pressed)
    assert given.typed == "2"


@pytest.mark.parametrize("name", ["f1", "f8", "f9", "up", "ctrl+q"])
def test_the_other_keys_leave_the_scan_line_as_it_is(name: str) -> None:
    """Stopping a sound or looking up a sign must not take half an ID with it."""
    desk = Desk().type("P-04", SLOW).key(name).rest()

    assert desk.keyboard.text == "P-04"
