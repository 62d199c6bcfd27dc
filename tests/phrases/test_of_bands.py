"""Each strength, each reason and each slip has its words."""

from __future__ import annotations

import pytest

from builders import bands
from readbell.core.cartridge.events import SlipReason
from readbell.core.reading.bands import Bands, Strength, Unreadable
from readbell.core.reading.interpretation import Outcome
from readbell.phrases.of_bands import (
    FAINT_COUNTS,
    FAINT_SHORT,
    SLIPS,
    STRENGTHS,
    UNREADABLE,
    say_bands,
)
from readbell.phrases.why_so import why


def test_nothing_is_without_words_and_no_two_share_them() -> None:
    """Picked by its words, each must be another."""
    for table, kind in ((STRENGTHS, Strength), (UNREADABLE, Unreadable), (SLIPS, SlipReason)):
        assert set(table) == set(kind)
        assert len(set(table.values())) == len(table)


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        (bands(sars_cov_2="faint"), "C present, T faint"),
        (bands(control=False), "C absent"),
        (Bands(), "C not answered"),
        (Bands(unreadable=Unreadable.SMEAR), "cannot be read, smear"),
    ],
)
def test_what_was_seen_is_said_line_by_line(seen: Bands, words: str) -> None:
    """What nobody answered is not said to be absent."""
    assert say_bands(seen, "C", {"sars-cov-2": "T"}) == words


def test_the_short_guidance_says_the_same() -> None:
    """Whichever fits."""
    assert FAINT_SHORT.rstrip(".") in FAINT_COUNTS


@pytest.mark.parametrize("outcome", Outcome)
def test_every_outcome_has_its_reason(outcome: Outcome) -> None:
    """No outcome is shown without the rule it came by."""
    assert why(bands(sars_cov_2="clear"), outcome, is_look=False).endswith(".")


def test_an_invalid_says_which_of_the_two_it_was() -> None:
    """No control line, or nothing to be read at all."""
    assert "No control line" in why(bands(control=False), Outcome.INVALID, is_look=False)
    smear = Bands(unreadable=Unreadable.SMEAR)
    assert "cannot be read: smear" in why(smear, Outcome.INVALID, is_look=False)


def test_an_early_positive_is_preliminary() -> None:
    """It is read in its window too."""
    assert "preliminary" in why(bands(sars_cov_2="faint"), Outcome.POSITIVE, is_look=True)


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        (Bands(unreadable=Unreadable.SMEAR), "Nothing can be seen yet"),
        (bands(control=False, sars_cov_2="clear"), "No control line yet"),
        (bands(sars_cov_2="absent"), "A negative counts only in the window"),
        (bands(sars_cov_2="clear"), ""),
        (bands(control=None), ""),
        (bands(), ""),
    ],
    ids=["smear", "no control line", "no test line", "open", "nothing", "control line alone"],
)
def test_an_early_look_that_settles_nothing_says_what_to_wait_for(seen: Bands, words: str) -> None:
    """It is never called a negative."""
    said = why(seen, None, is_look=True)

    assert words in said
    assert bool(words) is bool(said)


def test_an_open_reading_has_no_reason_yet() -> None:
    """Something is still to be answered."""
    assert why(bands(control=None), None, is_look=False) == ""
