"""An assay that contradicts itself is refused whole, with what to do about it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from builders import NASAL, THREE_LINES, span
from readbell.core.assay.check import Problem, check
from readbell.core.assay.step import Wait

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

LABEL, BUFFER, COLLECT, EXTRACT, WITHDRAW, APPLY = NASAL.steps


def reading(**changed: Any) -> Assay:
    """The one-line assay with other reading rules."""
    return replace(NASAL, reading=replace(NASAL.reading, **changed))


def degrees(**changed: Any) -> Assay:
    """The one-line assay with other temperatures."""
    return replace(NASAL, temperatures=replace(NASAL.temperatures, **changed))


def waiting(wait: Wait) -> Assay:
    """The one-line assay with another wait after the swab went into the buffer."""
    extract = replace(EXTRACT, wait=wait)
    return replace(NASAL, steps=(LABEL, BUFFER, COLLECT, extract, WITHDRAW, APPLY))


def marked(*marks: str, keys: tuple[str, str, str] = ("a", "b", "c")) -> Assay:
    """The three-line assay with other keys and printed letters."""
    lines = tuple(
        replace(line, key=key, mark=mark)
        for line, key, mark in zip(THREE_LINES.reading.lines, keys, marks, strict=True)
    )
    return replace(THREE_LINES, reading=replace(THREE_LINES.reading, lines=lines))


@pytest.mark.parametrize(
    "assay",
    [
        pytest.param(NASAL, id="one line"),
        pytest.param(THREE_LINES, id="three lines"),
        pytest.param(reading(early_from=None), id="no early look"),
        pytest.param(reading(early_from=span("0:00.001")), id="an early look at once"),
        pytest.param(reading(early_from=span("14:59.999")), id="an early look just before"),
        pytest.param(reading(closes=span("17:00")), id="a window as long as its warning"),
        pytest.param(
            reading(closes=None, closing_warning=span("0:00")), id="no stated upper limit"
        ),
        pytest.param(reading(opens=span("0:00.001"), early_from=None), id="a window at once"),
        pytest.param(waiting(Wait(until="apply", least=span("1:00"))), id="a wait over a step"),
        pytest.param(
            waiting(Wait(until="withdraw", least=span("1:00"), most=span("1:00"))),
            id="a wait that is exact",
        ),
        pytest.param(waiting(Wait(until="withdraw", most=span("1:00"))), id="only an upper limit"),
        pytest.param(degrees(storage_least=-40, storage_most=60), id="the widest temperatures"),
        pytest.param(marked("a", "b", "c"), id="keys that are their own letters"),
        pytest.param(
            replace(NASAL, steps=(replace(LABEL, collects=True), APPLY)), id="two steps in all"
        ),
    ],
)
def test_a_sound_assay_has_no_problem(assay: Assay) -> None:
    """A site must be able to write down whatever its kit says."""
    assert check(assay) == ()


@pytest.mark.parametrize(
    ("assay", "key", "value"),
    [
        pytest.param(
            reading(opens=span("0:00"), early_from=None),
            "reading.opens",
            "0:00",
            id="opens at once",
        ),
        pytest.param(
            reading(closes=span("15:00"), closing_warning=span("0:00")),
            "reading.closes",
            "15:00",
            id="one single instant",
        ),
        pytest.param(
            reading(closes=span("14:59.999"), closing_warning=span("0:00")),
            "reading.closes",
            "14:59.999",
            id="closes before it opens",
        ),
        pytest.param(
            reading(closes=span("16:59.999")),
            "reading.closing_warning",
            "2:00",
            id="a warning longer than the window",
        ),
        pytest.param(
            reading(early_from=span("15:00")), "reading.early_from", "15:00", id="early at opening"
        ),
        pytest.param(
            reading(early_from=span("0:00")), "reading.early_from", "0:00", id="early at the drops"
        ),
        pytest.param(reading(lines=()), "reading.line", "none", id="no test line"),
        pytest.param(marked("A", "A", "T"), "reading.line", "A", id="one letter for two lines"),
        pytest.param(
            marked("A", "B", "T", keys=("x", "x", "z")), "reading.line", "x", id="one key for two"
        ),
        pytest.param(
            marked("b", "B", "T"), "reading.line", "b", id="a letter that is another line's key"
        ),
        pytest.param(
            marked("A", "C", "T"), "reading.line", "C", id="the letter of the control line"
        ),
        pytest.param(replace(NASAL, steps=(LABEL,)), "step", "1", id="one step"),
        pytest.param(replace(NASAL, steps=()), "step", "0", id="no step"),
        pytest.param(
            replace(NASAL, steps=(LABEL, BUFFER, BUFFER, COLLECT, APPLY)),
            "step.key",
            "buffer",
            id="a step twice",
        ),
        pytest.param(
            replace(NASAL, steps=(LABEL, BUFFER, APPLY)), "step.collects", "0", id="no specimen"
        ),
        pytest.param(
            replace(NASAL, steps=(LABEL, COLLECT, replace(APPLY, collects=True))),
            "step.collects",
            "2",
            id="two specimens",
        ),
        pytest.param(
            replace(NASAL, steps=(LABEL, COLLECT, replace(APPLY, wait=Wait(until="read")))),
            "step.apply.wait",
            "read",
            id="a wait after the last step",
        ),
        pytest.param(
            waiting(Wait(until="collect", least=span("1:00"))),
            "step.extract.wait.until",
            "collect",
            id="a wait until a step that went before",
        ),
        pytest.param(
            waiting(Wait(until="extract", least=span("1:00"))),
            "step.extract.wait.until",
            "extract",
            id="a wait until itself",
        ),
        pytest.param(
            waiting(Wait(until="withdraw", least=span("1:00"), most=span("0:59.999"))),
            "step.extract.wait.most",
            "0:59.999",
            id="at most less than at least",
        ),
        pytest.param(
            waiting(Wait(until="withdraw")), "step.extract.wait", "empty", id="a wait of nothing"
        ),
        pytest.param(
            degrees(storage_least=30, storage_most=30),
            "temperature.storage",
            "[30, 30]",
            id="no degrees between",
        ),
        pytest.param(
            degrees(running_most=60.1),
            "temperature.running",
            "[15, 60.1]",
            id="too hot to be meant",
        ),
        pytest.param(
            degrees(storage_least=-40.5), "temperature.storage", "[-40.5, 30]", id="too cold"
        ),
        pytest.param(
            degrees(running_least=float("nan")), "temperature.running", "[nan, 30]", id="no number"
        ),
    ],
)
def test_a_contradiction_is_named_with_its_place_and_value(
    assay: Assay, key: str, value: str
) -> None:
    """Whoever wrote the file finds the one figure to change, and nothing else is blamed."""
    assert [(found.key, found.value) for found in check(assay)] == [(key, value)]


def test_every_problem_is_told_at_once() -> None:
    """A file is mended in one go, not in one run for each slip."""
    found = check(replace(degrees(storage_most=99), steps=(LABEL,)))

    assert [each.key for each in found] == ["step", "temperature.storage"]


def test_a_remedy_quotes_the_figure_it_is_measured_by() -> None:
    """The sentence can be acted on without opening the handbook."""
    assert check(reading(early_from=span("15:00"))) == (
        Problem(
            key="reading.early_from",
            value="15:00",
            remedy="set it after 0:00 and before reading.opens, 15:00, or leave it out",
        ),
    )


def test_figures_without_any_basis_are_named() -> None:
    """A figure nobody can trace is a figure nobody should time a patient by."""
    (problem,) = check(replace(NASAL, basis=(("reading.opens", "typical"),)))

    assert (problem.key, problem.value) == ("basis.all", "missing")
