"""What a site's pass rule asks, and what an attempt lacks of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import START
from readbell.core.board.board import Board
from readbell.core.practice.assist import Assist
from readbell.core.reading.interpretation import Outcome
from readbell.core.rehearsal.attempt import figures_of
from readbell.core.rehearsal.passing import Lacks, PassRule, lacking
from readbell.core.rehearsal.scenario import Scenario
from readbell.core.rehearsal.score import score
from readbell.core.rehearsal.score_marks import Area, Judged, Mistake, Slip
from readbell.core.rehearsal.score_reading import Readings
from readbell.core.rehearsal.unfinished import Unfinished
from readbell.core.rehearsal.virtual_cartridge import Shade
from readbell.phrases.debrief_words import say_lacking
from readbell.phrases.trend_text import trend_lines

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.rehearsal.score import Score

EMPTY = score(
    Scenario(
        title="A title",
        starts=0,
        timezone="UTC",
        assay="respiratory-antigen-nasal",
        operators=(),
        lots=(),
        persons=(),
    ),
    Board(),
    (),
)
WHOLE = Unfinished()
EASIEST = PassRule(
    windows_lost=999,
    went_through=999,
    refused=999,
    readings_right=0,
    faint_seen=0,
    least_strips=0,
    most_help=Assist.FULL,
)
"""Nothing that a site may ask is asked."""
COUNT = st.integers(0, 3)


def judged(said: Outcome, truth: Outcome, shade: Shade) -> Judged:
    """Return one line that was read."""
    return Judged(
        cartridge="C1",
        line="sars-cov-2",
        at=START,
        by=None,
        truth=truth,
        said=said,
        shade=shade,
        spoilt=None,
    )


def attempt(
    *,
    strips: int = 24,
    wrong: int = 0,
    unseen: int = 0,
    mistakes: Sequence[Mistake] = (),
    assist: Assist | None = Assist.SILENT,
    unfinished: Unfinished = WHOLE,
) -> Score:
    """Return an attempt: half of its strips faint positives, `unseen` of them missed."""
    faint = strips // 2
    lines = [
        judged(Outcome.NEGATIVE if n < unseen else Outcome.POSITIVE, Outcome.POSITIVE, Shade.FAINT)
        for n in range(faint)
    ]
    lines += [
        judged(Outcome.POSITIVE if n < wrong else Outcome.NEGATIVE, Outcome.NEGATIVE, Shade.ABSENT)
        for n in range(strips - faint)
    ]
    return replace(
        EMPTY,
        readings=Readings(judged=tuple(lines), strips=strips),
        mistakes=tuple(mistakes),
        assist=assist,
        unfinished=unfinished,
    )


def mistake(area: Area, code: str = Slip.SWAP_READ, *, refused: bool = False) -> Mistake:
    """Return a mistake."""
    return Mistake(at=START, area=area, code=code, refused=refused)


def test_a_right_attempt_of_enough_strips_passes() -> None:
    """Nothing is lacking."""
    assert lacking([attempt()], PassRule()) == ()


@pytest.mark.parametrize(
    ("scores", "rule", "lacks"),
    [
        pytest.param([attempt()], PassRule(attempts=2), [Lacks.ATTEMPTS], id="too few attempts"),
        pytest.param([attempt(strips=18)], PassRule(), [Lacks.STRIPS], id="too few strips"),
        pytest.param(
            [attempt(mistakes=[mistake(Area.TIMING, Slip.WINDOW_LOST)])],
            PassRule(),
            [Lacks.WINDOWS_LOST],
            id="a window lost",
        ),
        pytest.param(
            [attempt(mistakes=[mistake(Area.IDENTITY)])],
            PassRule(),
            [Lacks.WENT_THROUGH],
            id="a mistake that went through",
        ),
        pytest.param(
            [attempt(mistakes=[mistake(Area.SAFETY, refused=True)] * 4)],
            PassRule(),
            [Lacks.REFUSED],
            id="too many that were stopped",
        ),
        pytest.param(
            [attempt(wrong=2)], PassRule(), [Lacks.READINGS], id="too few lines read rightly"
        ),
        pytest.param(
            [attempt(strips=40, unseen=3)],
            PassRule(readings_right=90),
            [Lacks.FAINT],
            id="faint lines missed",
        ),
        pytest.param([attempt(wrong=1)], PassRule(kappa=0.95), [Lacks.KAPPA], id="kappa too small"),
        pytest.param(
            [attempt(assist=Assist.ALARMS)], PassRule(), [Lacks.HELP], id="with too much help"
        ),
        pytest.param([attempt(assist=None)], PassRule(), [Lacks.HELP], id="with nobody knows what"),
        pytest.param(
            [attempt(strips=10), attempt(strips=10)],
            PassRule(attempts=2, kappa=0.9),
            [],
            id="strips of two attempts together",
        ),
        pytest.param(
            [attempt(wrong=12), attempt()], PassRule(), [], id="an old attempt that was worse"
        ),
        pytest.param(
            [attempt(mistakes=[mistake(Area.TIMING)] * 9)],
            PassRule(),
            [],
            id="mistakes that are about neither people nor safety",
        ),
    ],
)
def test_what_is_lacking_is_named(
    scores: Sequence[Score], rule: PassRule, lacks: list[Lacks]
) -> None:
    """Each part of the rule by itself."""
    assert [each.what for each in lacking(scores, rule)] == lacks


def test_what_is_lacking_says_in_which_attempt_and_how_much() -> None:
    """Counted as the attempts were given."""
    found = lacking([attempt(), attempt(), attempt(wrong=6)], PassRule(attempts=2))

    assert [(each.what, each.attempt, each.asked) for each in found] == [(Lacks.READINGS, 3, 95)]
    assert found[0].found == pytest.approx(75)


def test_an_attempt_in_figures_names_nobody_but_the_trainee() -> None:
    """It is kept for years, and shown on a wall perhaps."""
    found = figures_of(
        attempt(unseen=1, mistakes=[mistake(Area.IDENTITY), mistake(Area.SAFETY, refused=True)]),
        trainee="Nemo",
        scenario="ab",
        head="cd",
    )

    assert "Nemo" not in repr(found)
    assert (found.lines, found.faint, found.strips) == ((23, 24), (11, 12), 24)
    assert (found.went_through, found.refused, found.assist) == (1, 1, "silent")
    assert found.kappa is not None
    assert found.best is None
    assert figures_of(attempt(assist=None), trainee="", scenario="", head="").assist == ""


@settings(deadline=None)
@given(
    left=st.builds(
        Unfinished, to_come=COUNT, untested=COUNT, running=COUNT, repeats=COUNT, breaks=COUNT
    )
)
def test_an_attempt_that_was_left_early_never_passes_whatever_a_site_allows(
    left: Unfinished,
) -> None:
    """Who was never come to was never done wrong by; that is no reason to clear anybody."""
    found = lacking([attempt(unfinished=left)], EASIEST)

    if left == WHOLE:
        assert found == ()
    else:
        assert [each.what for each in found] == [Lacks.LEFT_EARLY]
        assert "attempt 1 was left before its end" in say_lacking(found[0])


def test_of_several_attempts_the_one_that_was_left_early_is_named() -> None:
    """An older one that no rule looks at stands in nobody's way."""
    left = attempt(unfinished=Unfinished(to_come=1))
    found = lacking([left, attempt(), left], PassRule(attempts=2))

    assert [(each.what, each.attempt) for each in found] == [(Lacks.LEFT_EARLY, 3)]
    assert lacking([left, attempt()], PassRule()) == ()


def test_a_trend_keeps_that_an_attempt_was_left_early() -> None:
    """Its one window of one would else pass for the best that was ever done."""
    left = attempt(unfinished=Unfinished(running=1))
    figures = [
        figures_of(each, trainee="Nemo", scenario="ab", head=head)
        for each, head in ((attempt(), "1"), (left, "2"))
    ]

    assert [each.left_early for each in figures] == [False, True]
    lines = list(trend_lines(figures))
    assert [each.endswith(" *") for each in lines[2:4]] == [False, True]
    assert "  * left before its end: it counts for no pass rule" in lines
    assert not any("*" in each for each in trend_lines(figures[:1] * 2))
    assert all(len(each) <= 80 for each in lines)
