"""The fingerprint of an assay: whatever differs is another assay, and nothing else is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import NASAL, THREE_LINES
from readbell.assays.content_hash import content_hash
from readbell.assays.library import read_assay
from readbell.core.instant import Span

if TYPE_CHECKING:
    from assays.conftest import Writing
    from readbell.core.assay.assay import Assay


@pytest.mark.parametrize(
    "changed",
    [
        pytest.param(replace(NASAL, id="another"), id="the id"),
        pytest.param(replace(NASAL, title="Another"), id="the title"),
        pytest.param(replace(NASAL, steps=NASAL.steps[:-1]), id="a step taken out"),
        pytest.param(
            replace(NASAL, steps=(*NASAL.steps[1:], NASAL.steps[0])), id="the order of steps"
        ),
        pytest.param(
            replace(NASAL, reading=replace(NASAL.reading, closes=Span(1_200_001))),
            id="the close, by a millisecond",
        ),
        pytest.param(
            replace(NASAL, reading=replace(NASAL.reading, closes=None)), id="no stated close"
        ),
        pytest.param(
            replace(NASAL, temperatures=replace(NASAL.temperatures, running_most=30.5)),
            id="a temperature, by half a degree",
        ),
        pytest.param(replace(NASAL, basis=(("all", "somebody said so"),)), id="its basis"),
        pytest.param(THREE_LINES, id="another assay altogether"),
    ],
)
def test_any_difference_changes_the_fingerprint(changed: Assay) -> None:
    """A site that adopts one must not run on the other unawares."""
    assert content_hash(changed) != content_hash(NASAL)


def test_comments_and_spacing_change_nothing(write_assay: Writing) -> None:
    """A note in the margin must not void an adoption."""
    path = write_assay(("format = 1", "# checked on a Tuesday\n\n\nformat   =   1"))

    assert content_hash(read_assay(path)) == content_hash(NASAL)


def test_the_order_of_keys_in_the_file_changes_nothing(write_assay: Writing) -> None:
    """A table reads the same whichever of its lines comes first."""
    path = write_assay(('opens = "15:00"\ncloses = "20:00"', 'closes = "20:00"\nopens = "15:00"'))

    assert content_hash(read_assay(path)) == content_hash(NASAL)


def test_a_fingerprint_is_written_as_sixty_four_hex_digits() -> None:
    """It is printed, compared by eye and typed into settings."""
    assert len(content_hash(NASAL)) == 64
    assert set(content_hash(NASAL)) <= set("0123456789abcdef")


@settings(max_examples=40, deadline=None)
@given(opens=st.integers(1, 10**7), length=st.none() | st.integers(1, 10**7))
def test_equal_windows_have_equal_fingerprints_and_others_do_not(
    opens: int, length: int | None
) -> None:
    """The fingerprint follows the content, whatever its figures are."""
    closes = None if length is None else Span(opens + length)
    reading = replace(NASAL.reading, opens=Span(opens), closes=closes)
    one, same = replace(NASAL, reading=reading), replace(NASAL, reading=replace(reading))

    assert content_hash(one) == content_hash(same)
    assert (content_hash(one) == content_hash(NASAL)) == (one == NASAL)
