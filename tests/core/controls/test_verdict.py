"""A control sample has passed if every line came out as it had to, and the strip ran."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import THREE_LINES
from readbell.core.cartridge.events import SubjectKind
from readbell.core.controls.material import Material, SampleKind, expected_of, key_of
from readbell.core.controls.verdict import Verdict, judge_sample
from readbell.core.reading.interpretation import LineOutcome, Outcome

LINES = THREE_LINES.line_keys
P, N, X, W = Outcome.POSITIVE, Outcome.NEGATIVE, Outcome.INVALID, Outcome.WITHHELD


def material(kind: SampleKind, expected: tuple[LineOutcome, ...] | None = None) -> Material:
    """A material for the device with three lines."""
    return Material(
        number="PC-1",
        kind=kind,
        assay=THREE_LINES.id,
        expires=date(2026, 12, 31),
        expected=expected_of(kind, LINES) if expected is None else expected,
    )


def lines(*outcomes: Outcome) -> tuple[LineOutcome, ...]:
    """An outcome for each line, in the device's order."""
    return tuple(LineOutcome(line=k, outcome=o) for k, o in zip(LINES, outcomes, strict=True))


# Common practice: what a control sample must show is stated line by line, and no line may stray.
@pytest.mark.parametrize(
    ("kind", "outcomes", "verdict"),
    [
        pytest.param(SampleKind.POSITIVE, (P, P, P), Verdict.PASSED, id="all that had to show"),
        pytest.param(SampleKind.POSITIVE, (P, N, P), Verdict.FAILED, id="one line stayed away"),
        pytest.param(SampleKind.POSITIVE, (X, X, X), Verdict.FAILED, id="the strip did not run"),
        pytest.param(SampleKind.POSITIVE, (W, P, P), Verdict.FAILED, id="two looks disagree"),
        pytest.param(SampleKind.NEGATIVE, (N, N, N), Verdict.PASSED, id="nothing showed"),
        pytest.param(SampleKind.NEGATIVE, (N, N, P), Verdict.FAILED, id="a line that must not"),
        pytest.param(SampleKind.NEGATIVE, (X, X, X), Verdict.FAILED, id="invalid is no negative"),
        pytest.param(SampleKind.BLIND, (P, N, X), Verdict.NOTED, id="nobody knows"),
    ],
)
def test_every_line_is_held_against_what_it_had_to_show(
    kind: SampleKind, outcomes: tuple[Outcome, ...], verdict: Verdict
) -> None:
    """One line out of place is enough."""
    assert judge_sample(material(kind), lines(*outcomes)) is verdict


def test_a_positive_material_may_be_positive_for_some_lines_alone() -> None:
    """A swab with one analyte on it shows one line."""
    one = material(SampleKind.POSITIVE, lines(P, N, N))

    assert judge_sample(one, lines(P, N, N)) is Verdict.PASSED
    assert judge_sample(one, lines(P, P, N)) is Verdict.FAILED


def test_a_line_that_was_not_judged_has_not_passed() -> None:
    """Silence is no result."""
    assert judge_sample(material(SampleKind.NEGATIVE), lines(N, N, N)[:2]) is Verdict.FAILED


@given(st.lists(st.sampled_from(list(Outcome)), min_size=3, max_size=3))
def test_only_one_reading_of_all_passes(outcomes: list[Outcome]) -> None:
    """Whatever is read: a known material passes on exactly what it has to show."""
    for kind in (SampleKind.POSITIVE, SampleKind.NEGATIVE):
        found = judge_sample(material(kind), lines(*outcomes))
        wanted = [each.outcome for each in material(kind).expected]
        assert found is (Verdict.PASSED if outcomes == wanted else Verdict.FAILED)


def test_which_subject_a_sample_is_follows_from_its_kind() -> None:
    """A blind sample is sent in to judge the bench, and is told apart from the bench's own."""
    assert material(SampleKind.POSITIVE).subject_kind is SubjectKind.CONTROL_SAMPLE
    assert material(SampleKind.NEGATIVE).subject_kind is SubjectKind.CONTROL_SAMPLE
    assert material(SampleKind.BLIND).subject_kind is SubjectKind.QUALITY_SAMPLE
    assert material(SampleKind.BLIND).key == key_of("PC-1")
