"""Whether an assay makes sense as a whole, beyond each figure by itself."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.assay.assay import Assay
    from readbell.core.assay.reading_rules import ReadingRules
    from readbell.core.assay.step import Step

COLDEST, HOTTEST = -40.0, 60.0
"""Degrees Celsius beyond which a figure is taken for a slip of the keys."""
FEWEST_STEPS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong with an assay: where, what it says, and what to do."""

    key: str
    value: str
    remedy: str


def check(assay: Assay) -> tuple[Problem, ...]:
    """Return everything wrong with `assay`; nothing for a sound one."""
    return (
        *_check_reading(assay.reading),
        *_check_lines(assay.reading),
        *_check_steps(assay),
        *_check_temperatures(assay),
        *_check_basis(assay),
    )


def _check_reading(reading: ReadingRules) -> Iterator[Problem]:
    opens, closes = write_span(reading.opens), reading.closes
    if reading.opens <= 0:
        yield Problem(
            key="reading.opens",
            value=opens,
            remedy="set how long after the drops a reading counts",
        )
    if closes is not None and closes == reading.opens:
        yield Problem(
            key="reading.closes",
            value=write_span(closes),
            remedy=(
                "a reading at one single instant cannot be kept; set the last instant the site "
                'accepts, or closes = "no stated limit"'
            ),
        )
    if closes is not None and closes < reading.opens:
        yield Problem(
            key="reading.closes",
            value=write_span(closes),
            remedy=f"set it later than reading.opens, {opens}",
        )
    if closes is not None and reading.closing_warning > max(0, closes - reading.opens):
        yield Problem(
            key="reading.closing_warning",
            value=write_span(reading.closing_warning),
            remedy="set it no longer than the window itself",
        )
    if reading.early_from is not None and not 0 < reading.early_from < reading.opens:
        yield Problem(
            key="reading.early_from",
            value=write_span(reading.early_from),
            remedy=f"set it after 0:00 and before reading.opens, {opens}, or leave it out",
        )


def _check_lines(reading: ReadingRules) -> Iterator[Problem]:
    if not reading.lines:
        yield Problem(
            key="reading.line",
            value="none",
            remedy="list at least one test line, as printed",
        )
    names = [name for line in reading.lines for name in {line.key, line.mark}]
    for name in _doubles((*names, reading.control_mark)):
        yield Problem(
            key="reading.line",
            value=name,
            remedy="give each line a key and a printed letter of its own",
        )


def _check_steps(assay: Assay) -> Iterator[Problem]:
    keys = [step.key for step in assay.steps]
    if len(keys) < FEWEST_STEPS:
        yield Problem(
            key="step",
            value=str(len(keys)),
            remedy="list at least a label and an application",
        )
        return
    for key in _doubles(keys):
        yield Problem(key="step.key", value=key, remedy="give each step a key of its own")
    if sum(step.collects for step in assay.steps) != 1:
        yield Problem(
            key="step.collects",
            value=str(sum(step.collects for step in assay.steps)),
            remedy="mark exactly one step as the one that takes the specimen",
        )
    if assay.last_step.wait is not None:
        yield Problem(
            key=f"step.{assay.last_step.key}.wait",
            value=assay.last_step.wait.until,
            remedy="leave it out: after the last step the read window counts",
        )
    for place, step in enumerate(assay.steps[:-1]):
        yield from _check_wait(step, keys[place + 1 :])


def _check_wait(step: Step, later_keys: list[str]) -> Iterator[Problem]:
    wait = step.wait
    if wait is None:
        return
    if wait.until not in later_keys:
        yield Problem(
            key=f"step.{step.key}.wait.until",
            value=wait.until,
            remedy=f"name one of the steps that follow: {', '.join(later_keys)}",
        )
    if wait.most is not None and wait.most < wait.least:
        yield Problem(
            key=f"step.{step.key}.wait.most",
            value=write_span(wait.most),
            remedy=f"set it no shorter than wait.least, {write_span(wait.least)}",
        )
    if wait.most is None and wait.least == 0:
        yield Problem(key=f"step.{step.key}.wait", value="empty", remedy="set least, most or both")


def _check_temperatures(assay: Assay) -> Iterator[Problem]:
    found = assay.temperatures
    for key, least, most in (
        ("storage", found.storage_least, found.storage_most),
        ("running", found.running_least, found.running_most),
    ):
        if not COLDEST <= least < most <= HOTTEST:
            yield Problem(
                key=f"temperature.{key}",
                value=f"[{least:g}, {most:g}]",
                remedy=f"set a lower and a higher figure between {COLDEST:g} and {HOTTEST:g} C",
            )


def _check_basis(assay: Assay) -> Iterator[Problem]:
    if "all" not in dict(assay.basis):
        yield Problem(
            key="basis.all",
            value="missing",
            remedy="say where every figure comes from that has no line of its own",
        )


def _doubles(names: tuple[str, ...] | list[str]) -> list[str]:
    return [name for name, times in Counter(names).items() if times > 1]
