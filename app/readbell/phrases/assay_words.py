"""The figures of an assay in words, as they are held against the kit's instructions for use."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from readbell.core.assay.step import Limit
from readbell.core.instant import Span
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.assay.assay import Assay
    from readbell.core.assay.reading_rules import ReadingRules
    from readbell.core.assay.step import Step, Wait

IS_ADVISORY = " (advisory)"
_SENTENCES = re.compile(r"(?<=[.!?])\s+")


def say_figures(assay: Assay) -> tuple[str, ...]:
    """Return each figure that somebody has to check, a line each, in the order of the work."""
    kept = assay.temperatures
    store = f"{kept.storage_least:g} to {kept.storage_most:g} °C"
    bench = f"{kept.running_least:g} to {kept.running_most:g} °C"
    marks = (f"{each.mark} {each.name}" for each in assay.reading.lines)
    return (
        *(said for step in assay.steps for said in _of_step(step)),
        _of_reading(assay.reading),
        f"Lines: {assay.reading.control_mark} control, {', '.join(marks)}.",
        f"Kits are kept at {store} and run at {bench}.",
    )


def _of_step(step: Step) -> Iterator[str]:
    """Yield what is counted at a step: its drops, which stand in its instruction, and its wait."""
    counted = [
        each
        for each in _SENTENCES.split(step.instruction)
        if any(sign.isdecimal() for sign in each)
    ]
    if counted:
        yield f"{step.title}: {' '.join(counted)}"
    if step.wait is not None:
        yield f"{step.title}: {_of_wait(step.wait)}."


def _of_wait(wait: Wait) -> str:
    limits = [f"at least {write_span(wait.least)}"] if wait.least > Span(0) else []
    if wait.most is not None:
        advisory = IS_ADVISORY if wait.most_is is Limit.ADVISORY else ""
        limits.append(f"at most {write_span(wait.most)}{advisory}")
    return f"{wait.name} {', '.join(limits)}".strip()


def _of_reading(reading: ReadingRules) -> str:
    closes = "no stated limit" if reading.closes is None else write_span(reading.closes)
    said = f"Read {write_span(reading.opens)} to {closes} after the drops"
    if reading.early_from is None:
        return f"{said}; no early look."
    return f"{said}; early look from {write_span(reading.early_from)}."
