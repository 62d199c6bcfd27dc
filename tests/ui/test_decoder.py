"""Bytes into keys: no byte ends the reading, and no sign is lost without a mark."""

from __future__ import annotations

import re
import time

import pytest
import textual
from hypothesis import given
from hypothesis import strategies as st
from textual import events

from readbell.ui.decoder import WANTED, Decoder
from readbell.ui.keyboard import LOST_KEY


def names(decoder: Decoder, data: bytes) -> list[str]:
    """Return the keys that `data` makes, time for an Escape included."""
    found = list(decoder.feed(data))
    while decoder.expects_more and not decoder.in_paste:
        time.sleep(0.01)  # the library's own patience with an Escape
        found += decoder.tick()
    return [each.key if isinstance(each, events.Key) else type(each).__name__ for each in found]


def test_the_library_is_the_one_this_was_tried_on() -> None:
    """Private spots of it are relied on: read them again, run all of this, then change it here."""
    assert re.match(r"8\.2\.", textual.__version__)


@pytest.mark.parametrize("byte", range(0x80, 0x100))
def test_a_byte_that_is_no_letter_is_a_lost_sign(byte: int) -> None:
    """An umlaut of the old kind ended the program."""
    decoder = Decoder()
    (sign,) = [
        each
        for each in decoder.feed(bytes([byte]) + b"\r")
        if isinstance(each, events.Key) and each.key != "enter"
    ]
    assert sign.character == "\ufffd"
    assert names(decoder, b"A\r") == ["A", "enter"]


@pytest.mark.parametrize(
    "data",
    [b"AB\x1bCD", b"AB\x1b-D", b"AB\x1bOpD", b"AB\x1b[99;5X", b"AB\x1bC\x1bD", b"\x1b" + b"A" * 40],
)
def test_an_escape_inside_a_text_leaves_a_mark(data: bytes) -> None:
    """The library drops it, or makes it a sign that stands in IDs as well."""
    assert LOST_KEY in names(Decoder(), data)


@pytest.mark.parametrize("data", [b"\x1b[97;1:3u", b"\x1b[99999999999;1u", b"\x1b[97;;9999999999u"])
def test_a_malformed_key_is_a_lost_sign(data: bytes) -> None:
    """The library's reading ended at these, for good."""
    decoder = Decoder()
    assert set(names(decoder, data)) == {LOST_KEY}
    assert names(decoder, b"A\r") == ["A", "enter"]


@pytest.mark.parametrize(
    "data",
    [
        b"\x1b[48;5;10;100;100t",
        b"\x1b[I",
        b"\x1b[O",
        b"\x1b[?2048;1$y",
        b"\x1b[3;4R",
        b"\x1b[<35;1;1M",
    ],
)
def test_no_code_sets_the_size_of_the_screen_or_its_focus(data: bytes) -> None:
    """A terminal says these, and so can a label from outside."""
    assert names(Decoder(), data) == []


def test_a_paste_without_an_end_is_ended() -> None:
    """Its beginning in a code would have swallowed every key from then on."""
    decoder = Decoder()
    assert names(decoder, b"\x1b[200~P-04") == []
    assert decoder.in_paste
    assert [type(each) for each in decoder.end_paste()][:1] == [events.Paste]
    assert names(decoder, b"A\r")[-2:] == ["A", "enter"]


def test_a_plain_escape_is_a_key() -> None:
    """It comes as the first half of every other key."""
    assert names(Decoder(), b"\x1b") == ["escape"]
    assert names(Decoder(), b"\x1b[27u") == ["escape"]


def test_terminals_that_name_every_key_are_understood() -> None:
    """Letters, the separator and the end of a scan come as sequences there."""
    data = b"\x1b[97;;97u\x1b[93;5u\x1b[57441u\x1b[97;2;65u\x1b[13u"
    assert names(Decoder(), data) == ["a", "ctrl+right_square_bracket", "left_shift", "A", "enter"]


@given(
    st.lists(
        st.binary(max_size=12) | st.sampled_from([b"\x1b[", b"\x1b[<", b"\x1b[200~", b"\x1bO"])
    )
)
def test_nothing_ends_the_reading(chunks: list[bytes]) -> None:
    """Whatever comes, the next scan is read."""
    decoder = Decoder()
    for chunk in chunks:
        assert all(isinstance(each, WANTED) for each in decoder.feed(chunk))
    list(decoder.end_paste())
    keys = [each.key for each in decoder.feed(b"zyx\r") if isinstance(each, events.Key)]
    assert keys[-1:] == ["enter"] or decoder.expects_more
