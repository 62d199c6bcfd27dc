"""Bands are what the eye sees; a strip is answered for whole or not at all."""

from __future__ import annotations

import pytest

from builders import bands
from readbell.core.reading.bands import Bands, LineSeen, Strength, Unreadable, are_whole

A_AND_B = ("a", "b")


@pytest.mark.parametrize(
    ("strength", "shown"),
    [
        pytest.param("absent", False, id="absent"),
        pytest.param("faint", True, id="faint"),
        pytest.param("clear", True, id="clear"),
    ],
)
def test_a_faint_line_is_a_line(strength: str, shown: bool) -> None:
    """Common practice: any line in its place counts, however weak."""
    assert bands(a=strength).shows("a") is shown


def test_a_line_nobody_answered_for_is_not_shown() -> None:
    """Another line's answer must not be taken for this one's."""
    assert not bands(b="clear").shows("a")


@pytest.mark.parametrize(
    "seen",
    [
        pytest.param(bands(a="absent", b="faint"), id="control line there"),
        pytest.param(bands(control=False, a="absent", b="clear"), id="control line absent"),
        pytest.param(bands(b="clear", a="absent"), id="in another order"),
        pytest.param(Bands(unreadable=Unreadable.FLOODED), id="unreadable, with its reason alone"),
    ],
)
def test_a_strip_answered_for_whole_is_whole(seen: Bands) -> None:
    """Each line has its answer, or a reason says why none can be given."""
    assert are_whole(seen, A_AND_B)


@pytest.mark.parametrize(
    "seen",
    [
        pytest.param(Bands(), id="nothing answered"),
        pytest.param(bands(control=None, a="clear", b="clear"), id="control line not answered"),
        pytest.param(bands(a="absent"), id="one line left out"),
        pytest.param(bands(a="absent", b="absent", c="absent"), id="a line the device has not"),
        pytest.param(bands(a="absent", c="absent"), id="one line for another"),
        pytest.param(
            Bands(
                control=True,
                lines=(
                    LineSeen(line="a", strength=Strength.ABSENT),
                    LineSeen(line="a", strength=Strength.CLEAR),
                    LineSeen(line="b", strength=Strength.CLEAR),
                ),
            ),
            id="one line answered twice",
        ),
        pytest.param(
            Bands(unreadable=Unreadable.SMEAR, control=True), id="a smear and a control line"
        ),
        pytest.param(
            Bands(unreadable=Unreadable.SMEAR, control=False), id="a smear and no control line"
        ),
        pytest.param(bands(None, Unreadable.SMEAR, a="faint"), id="a smear and a test line"),
    ],
)
def test_a_strip_answered_for_in_part_is_not_whole(seen: Bands) -> None:
    """What was left out may be the line that matters; it is asked for, never filled in."""
    assert not are_whole(seen, A_AND_B)
