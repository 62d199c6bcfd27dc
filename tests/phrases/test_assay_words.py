"""The figures of an assay in words: whoever adopts it checks every one, so every one is there."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, THREE_LINES, span
from readbell.assays.library import Library
from readbell.core.assay.step import Limit, Wait
from readbell.core.span_text import write_span
from readbell.phrases.assay_words import say_figures

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

EVERY = tuple(Library(folders=()).every())


def test_the_figures_stand_in_the_order_of_the_work() -> None:
    """As they do on the leaflet that they are held against."""
    assert say_figures(NASAL) == (
        "Buffer into the tube: Let 8 drops of buffer fall into the tube without touching its rim.",
        "Swab into the buffer: in buffer at least 1:00, at most 3:00 (advisory).",
        "Drops onto the well: Let 3 to 5 drops fall onto the well.",
        "Read 15:00 to 20:00 after the drops; early look from 2:00.",
        "Lines: C control, T SARS-CoV-2 antigen.",
        "Kits are kept at 2 to 30 °C and run at 15 to 30 °C.",
    )


def test_a_kit_that_gives_no_leave_for_an_early_look_says_so() -> None:
    """What is left out would be looked for."""
    assert "Read 15:00 to 20:00 after the drops; no early look." in say_figures(THREE_LINES)


@pytest.mark.parametrize(
    ("wait", "said"),
    [
        (Wait(until="withdraw", most=span("2:00"), most_is=Limit.FIRM), "at most 2:00."),
        (Wait(until="withdraw", least=span("1:00"), name="in buffer"), "in buffer at least 1:00."),
    ],
    ids=["only a most, and firm", "only a least"],
)
def test_a_wait_says_the_limits_that_it_has(wait: Wait, said: str) -> None:
    """And no other."""
    steps = tuple(
        replace(each, wait=wait if each.key == "extract" else None) for each in NASAL.steps
    )
    assert f"Swab into the buffer: {said}" in say_figures(replace(NASAL, steps=steps))


@pytest.mark.parametrize("assay", EVERY, ids=[each.id for each in EVERY])
def test_every_limit_of_an_assay_at_hand_is_among_its_figures(assay: Assay) -> None:
    """One that is not shown is checked by nobody."""
    said = " ".join(say_figures(assay))
    spans = [assay.reading.opens, assay.reading.closes, assay.reading.early_from]
    for step in assay.steps:
        if step.wait is not None:
            spans += [step.wait.least or None, step.wait.most]

    for each in spans:
        assert each is None or write_span(each) in said
