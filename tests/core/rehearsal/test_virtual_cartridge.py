"""A virtual cartridge shows each line from its time on, to the millisecond."""

from __future__ import annotations

import pytest

from builders import span
from readbell.core.reading.bands import Strength
from readbell.core.rehearsal.virtual_cartridge import Comes, Shows, bands_after

ONE = (("sars-cov-2", "T"),)
THREE = (("influenza-a", "A"), ("influenza-b", "B"), ("sars-cov-2", "T"))


def comes(line: str, start: str = "6:30", strength: Strength = Strength.FAINT) -> Comes:
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
