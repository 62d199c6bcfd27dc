"""An assay answers what comes when, and in which order its lines stand."""

from __future__ import annotations

import pytest

from builders import NASAL, THREE_LINES


def test_steps_follow_one_another_in_the_listed_order() -> None:
    """Walking from step to step meets every one of them once and then ends."""
    walked = [NASAL.first_step.key]
    while (following := NASAL.step_after(walked[-1])) is not None:
        walked.append(following.key)

    assert walked == ["label", "buffer", "collect", "extract", "withdraw", "apply"]
    assert walked[-1] == NASAL.last_step.key


def test_a_step_is_found_by_its_key() -> None:
    """Acts and records name steps by key; one the assay lacks is not made up."""
    found = NASAL.step("extract")

    assert found is not None
    assert found.extracts
    assert NASAL.step("incubate") is None


def test_lines_stand_in_the_order_of_the_device() -> None:
    """A reader goes along the strip; another order would swap two results."""
    assert THREE_LINES.line_keys == ("influenza-a", "influenza-b", "sars-cov-2")


@pytest.mark.parametrize(
    ("name", "key"),
    [
        pytest.param("influenza-b", "influenza-b", id="by key"),
        pytest.param("B", "influenza-b", id="by printed letter"),
        pytest.param("b", None, id="by another letter"),
    ],
)
def test_a_line_is_called_by_key_or_printed_letter(name: str, key: str | None) -> None:
    """The eye reads the letter on the plastic, the record holds the key."""
    line = THREE_LINES.line(name)

    assert (None if line is None else line.key) == key
