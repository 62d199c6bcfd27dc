"""Instants written as RFC 3339 has them are understood, or refused in a clear sentence."""

from __future__ import annotations

from calendar import timegm

import pytest

from readbell.scenarios.scenario_file import read_scenario
from readbell.toml_tables import WrongFileError

FRAME = 'title = "t"\nassay = "respiratory-antigen-nasal"\nstarts = {starts}\n'
DAY = 86_400_000


def starts(written: str) -> int:
    """Return the start of a scenario, in UTC milliseconds since 1970."""
    return read_scenario(FRAME.format(starts=written), "a scenario").starts


def utc(*parts: int, thousandths: int = 0) -> int:
    """Return an instant by the standard library's own calendar, without a time zone."""
    return timegm((*parts, 0, 0, 0)) * 1000 + thousandths


@pytest.mark.parametrize(
    ("written", "wanted"),
    [
        # RFC 3339, section 5.8. The first is verified, the others are from memory.
        pytest.param(
            "1985-04-12T23:20:50.52Z",
            utc(1985, 4, 12, 23, 20, 50, thousandths=520),
            id="a fraction of a second",
        ),
        pytest.param(
            "1996-12-19T16:39:57-08:00", utc(1996, 12, 20, 0, 39, 57), id="eight hours behind"
        ),
        pytest.param(
            "1937-01-01T12:00:27.87+00:20",
            utc(1937, 1, 1, 11, 40, 27, thousandths=870),
            id="twenty minutes ahead, before 1970",
        ),
        # Offsets in use that are no whole hours.
        pytest.param(
            "2026-06-30T23:35:00+05:45", utc(2026, 6, 30, 17, 50, 0), id="5:45 ahead of UTC"
        ),
        pytest.param(
            "2026-12-31T23:30:00-03:30", utc(2027, 1, 1, 3, 0, 0), id="3:30 behind, over new year"
        ),
    ],
)
def test_a_written_instant_is_understood(written: str, wanted: int) -> None:
    """A start read an hour wrong would put every expiry date wrong."""
    assert starts(written) == wanted


# RFC 3339, section 5.8, from memory: a leap second that did happen.
def test_a_leap_second_is_refused_in_a_sentence() -> None:
    """No clock here can hold it, so the file is refused: no crash, and no second made up."""
    with pytest.raises(WrongFileError) as refused:
        starts("1990-12-31T23:59:60Z")

    assert str(refused.value).startswith("a scenario: this is not TOML:")
    assert "line 3" in str(refused.value)


# RFC 3339, from memory: an offset is part of a date-time.
def test_an_instant_without_an_offset_is_refused() -> None:
    """Nine o'clock where? A guess would be wrong for half the year."""
    with pytest.raises(WrongFileError) as refused:
        starts("2026-03-29T00:40:00")

    assert "starts" in str(refused.value)
    assert "add its offset from UTC" in str(refused.value)


def test_an_instant_in_quotes_is_refused() -> None:
    """Text that looks like an instant is not one in TOML, and is not guessed at."""
    with pytest.raises(WrongFileError, match="starts"):
        starts('"2026-03-29T00:40:00Z"')
