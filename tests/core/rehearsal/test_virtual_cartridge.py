"""A virtual cartridge shows each line from its time on, to the millisecond."""

from __future__ import annotations

import pytest

from builders import span
from readbell.core.reading.bands import Bands, Strength, Unreadable
from readbell.core.rehearsal.virtual_cartridge import (
    Comes,
    Shade,
    Shows,
    Spoilt,
    bands_after,
    drawn_after,
)

ONE = (("sars-cov-2", "T"),)
THREE = (("influenza-a", "A"), ("influenza-b", "B"), ("sars-cov-2", "T"))


def comes(line: str, start: str = "6:30", strength: Shade = Shade.FAINT) -> Comes:
    """Return a line that comes at `start`."""
    return Comes(line=line, start=span(start), strength=strength)


@pytest.mark.parametrize(
    ("elapsed", "control"),
    [
        pytest.param("2:59.999", False, id="just before"),
        pytest.param("3:00", True, id="as it comes"),
    ],
)
def test_the_control_line_comes_after_three_minutes_if_nothing_is_said(
    elapsed: str, *, control: bool
) -> None:
    """A scenario that says nothing of bands is a sound negative."""
    seen = bands_after(Shows(), ONE, span(elapsed))

    assert seen.control is control
    assert not seen.shows("sars-cov-2")


def test_a_control_line_may_never_come() -> None:
    """That is what an invalid cartridge looks like."""
    assert bands_after(Shows(control_from=None), ONE, span("20:00")).control is False


@pytest.mark.parametrize(
    ("elapsed", "strength"),
    [
        pytest.param("6:29.999", Strength.ABSENT, id="just before"),
        pytest.param("6:30", Strength.FAINT, id="as it comes"),
        pytest.param("20:00", Strength.FAINT, id="ever after"),
    ],
)
def test_a_test_line_is_there_from_its_time_on(elapsed: str, strength: Strength) -> None:
    """A look a millisecond sooner sees nothing, and the line does not go again."""
    seen = bands_after(Shows(tests=(comes(""),)), ONE, span(elapsed))

    assert [line.strength for line in seen.lines] == [strength]


@pytest.mark.parametrize(
    "name",
    [
        pytest.param("influenza-b", id="by its key"),
        pytest.param("B", id="by its printed letter"),
    ],
)
def test_a_line_is_meant_by_key_or_printed_letter(name: str) -> None:
    """Both stand on the papers of a kit."""
    seen = bands_after(Shows(tests=(comes(name),)), THREE, span("15:00"))

    assert [line.strength for line in seen.lines] == [
        Strength.ABSENT,
        Strength.FAINT,
        Strength.ABSENT,
    ]


def test_a_line_without_a_name_is_none_of_several() -> None:
    """On a device with several lines nobody could say which one was meant."""
    seen = bands_after(Shows(tests=(comes(""),)), THREE, span("15:00"))

    assert not any(seen.shows(key) for key, _ in THREE)


def test_every_line_of_the_device_is_answered_in_its_order() -> None:
    """What a look enters must be whole, whichever lines come."""
    seen = bands_after(Shows(tests=(comes("T"),)), THREE, span("15:00"))

    assert [line.line for line in seen.lines] == [key for key, _ in THREE]


def test_a_very_faint_line_is_drawn_as_such_and_read_as_faint() -> None:
    """The eye has four shades before it, and the hand three words."""
    shows = Shows(tests=(comes("", strength=Shade.VERY_FAINT),))

    assert drawn_after(shows, ONE, span("10:00")).lines == (("sars-cov-2", Shade.VERY_FAINT),)
    assert bands_after(shows, ONE, span("10:00")).lines[0].strength is Strength.FAINT


@pytest.mark.parametrize(
    ("elapsed", "spoilt"),
    [
        pytest.param("1:59.999", None, id="just before"),
        pytest.param("2:00", Unreadable.SMEAR, id="as it comes"),
        pytest.param("20:00", Unreadable.SMEAR, id="ever after"),
    ],
)
def test_a_strip_is_spoilt_from_its_time_on(elapsed: str, spoilt: Unreadable | None) -> None:
    """Until then it looks like any other."""
    shows = Shows(spoilt=Spoilt(start=span("2:00"), reason=Unreadable.SMEAR))

    assert drawn_after(shows, ONE, span(elapsed)).spoilt is spoilt
    assert bands_after(shows, ONE, span(elapsed)).unreadable is spoilt


def test_nothing_is_vouched_for_under_a_smear_and_everything_is_drawn() -> None:
    """A right reader enters the reason alone; a hasty one sees lines."""
    shows = Shows(
        tests=(comes("", "1:00", Shade.CLEAR),),
        spoilt=Spoilt(start=span("0:00"), reason=Unreadable.FLOODED),
    )
    drawn = drawn_after(shows, ONE, span("15:00"))

    assert bands_after(shows, ONE, span("15:00")) == Bands(unreadable=Unreadable.FLOODED)
    assert (drawn.control, drawn.lines) == (True, (("sars-cov-2", Shade.CLEAR),))


@pytest.mark.parametrize(
    ("elapsed", "front"),
    [
        pytest.param("0:00", None, id="as the drops fall"),
        pytest.param("0:15", 500, id="half the way"),
        pytest.param("0:29.999", 999, id="just before the end"),
        pytest.param("0:30", None, id="wet"),
    ],
)
def test_the_fluid_runs_along_the_strip_for_half_a_minute(elapsed: str, front: int | None) -> None:
    """Then nothing moves any more until the lines come."""
    assert drawn_after(Shows(), ONE, span(elapsed)).front == front
