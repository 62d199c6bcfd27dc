"""An assay as a planner sees it. The figures are those of the bundled assay file."""

from __future__ import annotations

from dataclasses import replace

from builders import NASAL, span
from core.plan.kits import reading_in, within
from readbell.core.assay.step import Limit, Wait
from readbell.core.instant import Span
from readbell.core.plan.hands_on import READING, HandsOn, about, exactly, total
from readbell.core.plan.work import Gap, work_of


def seconds(least: float, usual: float, most: float) -> HandsOn:
    """Return a time in seconds."""
    return HandsOn(
        least=Span(round(least * 1000)),
        usual=Span(round(usual * 1000)),
        most=Span(round(most * 1000)),
    )


def test_steps_with_no_wait_between_them_are_one_piece() -> None:
    """Nobody leaves a person half swabbed; only the buffer gives the hands free."""
    pieces = work_of(NASAL).pieces

    assert [[part.key for part in piece.parts] for piece in pieces] == [
        ["label", "buffer", "collect", "extract"],
        ["withdraw", "apply"],
        [READING],
    ]
    assert [piece.touches for piece in pieces] == [True, True, False]


def test_usual_times_are_those_of_the_assay_and_bounds_lie_a_third_away() -> None:
    """90, 30 and 15 seconds, as the assay file has them; the bounds are our own assumption."""
    work = work_of(NASAL)

    assert [piece.hands.usual for piece in work.pieces] == [90_000, 30_000, 15_000]
    assert about(span("0:30")) == seconds(20, 30, 40)
    assert work.reading.hands == seconds(10, 15, 20)
    assert work.hands.usual == 135_000


def test_a_site_s_own_times_go_before_those_of_the_assay() -> None:
    """Only where it has them."""
    work = work_of(NASAL, times={"apply": seconds(5, 6, 7)})

    assert work.pieces[1].parts[1].hands == seconds(5, 6, 7)
    assert work.pieces[1].parts[0].hands == about(span("0:10"))


def test_a_limit_counts_to_the_end_of_the_step_that_ends_it() -> None:
    """For the end is what is on record: of three minutes the withdrawal takes its own time."""
    wait, window = work_of(NASAL).lags

    assert (wait.since, wait.until) == ("extract", "withdraw")
    assert wait.usual_gap() == Gap(least=span("1:00"), most=span("2:50"))
    assert wait.sure_gap() == Gap(least=span("1:00"), most=Span(180_000 - 13_333))
    assert window.sure_gap() == Gap(least=span("15:00"), most=span("19:40"))
    assert work_of(NASAL).read_lag is not None


def test_a_window_with_no_stated_close_is_no_limit() -> None:
    """Such a strip may be read at any time after its opening."""
    gap = work_of(reading_in("15:00", None)).read_lag.sure_gap()

    assert gap == Gap(least=span("15:00"), most=None)
    assert not gap.is_empty


def test_a_gap_whose_end_lies_before_its_beginning_is_empty() -> None:
    """No length keeps it."""
    assert work_of(within("1:05")).lags[0].sure_gap().is_empty
    assert not work_of(within("1:15")).lags[0].sure_gap().is_empty


def test_a_soft_limit_is_kept_as_a_wish_or_left_out() -> None:
    """Passing it is a deviation on record; a firm one stays whatever is wished."""
    assert work_of(NASAL, wishes=False).lags[0].most is None
    assert work_of(NASAL).lags[0].most_is is Limit.ADVISORY
    assert work_of(within("2:00"), wishes=False).lags[0].most == span("2:00")


def test_a_limit_with_a_most_alone_asks_for_no_pause() -> None:
    """How long a pouch may stand open runs beside the work, from the label to the drops."""
    pouch = Wait(until="apply", most=span("10:00"))
    steps = (replace(NASAL.steps[0], wait=pouch), *NASAL.steps[1:])
    work = work_of(replace(NASAL, steps=steps))

    assert len(work.pieces) == 3
    (lag,) = [each for each in work.lags if each.since == "label"]
    assert (lag.first, lag.second) == (0, 1)
    assert lag.tail == total(part.hands for part in work.pieces[0].parts[1:])
    assert lag.lead == work.pieces[1].parts[0].hands
    # The pouch limit less what is done before and after, at its longest.
    most = span("10:00") - lag.tail.most - lag.lead.most - lag.hands.most
    assert lag.sure_gap() == Gap(least=Span(0), most=Span(most))


def test_a_limit_within_one_piece_lies_inside_it() -> None:
    """From the swab to the buffer, say: nothing can come between the two."""
    age = Wait(until="extract", most=span("2:00"))
    steps = tuple(
        replace(step, wait=age) if step.key == "collect" else step for step in NASAL.steps
    )
    work = work_of(replace(NASAL, steps=steps))

    assert [(lag.since, lag.until) for lag in work.inside] == [("collect", "extract")]
    assert all(lag.first != lag.second for lag in work.lags)


def test_gloves_take_what_the_assay_says_or_the_site() -> None:
    """Twenty seconds are typical."""
    assert work_of(NASAL).gloves == span("0:20")
    assert work_of(NASAL, gloves=span("0:35")).gloves == span("0:35")


def test_hands_that_never_vary_have_one_time() -> None:
    """As a batch plan takes them."""
    assert exactly(span("0:30")) == seconds(30, 30, 30)
