"""Rounds of one pair of hands: worked figures, brute force, and what makes none possible."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from core.plan.made_up import coupled, kit, piece, work
from core.plan.rounds_by_hand import Kit, can_repeat, shortest
from readbell.assays.library import Library
from readbell.core.instant import SECOND, Span
from readbell.core.plan.cyclic import Round, alone, least_work, shortest_round
from readbell.core.plan.hands_on import READING
from readbell.core.plan.work import Lag, Work, work_of

MAIN = kit(90, (60, 120), 30, (900, 1_200), 15)
EXACT = kit(90, (60, 60), 30, (900, 915), 15)

# Computed, not published: two programs that know nothing of each other (this search, and a
# constraint solver on a grid of one second) agree on each.
COMPUTED = [
    pytest.param(MAIN, 180, 135, id="main"),
    pytest.param(kit(90, (60, 60), 30, (900, 1_200), 15), 180, 180, id="exact wait in buffer"),
    pytest.param(kit(90, (60, 120), 30, (900, 915), 15), 189, 148.125, id="exact reading"),
    pytest.param(EXACT, 189, 189, id="everything exact"),
    pytest.param(kit(90, (60, 120), 30, (600, 900), 15), 180, 135, id="read at 10 to 15 minutes"),
    pytest.param(kit(90, (60, 120), 30, (900, 1_800), 15), 180, 135, id="read at 15 to 30 minutes"),
    pytest.param(kit(120, (60, 120), 40, (900, 1_200), 20), 220, 180, id="slow hands"),
    pytest.param(kit(60, (60, 120), 20, (900, 1_200), 10), 90, 90, id="fast hands"),
    pytest.param(kit(60, (300, 330), 30, (600, 900), 15), 105, 105, id="two waits of minutes"),
    pytest.param(kit(90, (60, None), 30, (900, None), 15), 135, 135, id="no upper limits"),
]


def found(of: Work, people: int) -> Round:
    """The shortest round, which there must be, proven."""
    answer = shortest_round(of, people)
    assert answer.proven
    assert answer.round is not None
    return answer.round


@pytest.mark.parametrize(("of", "single", "pair"), COMPUTED)
def test_the_computed_table_is_reproduced(of: Work, single: float, pair: float) -> None:
    """Seconds from one person to the next: one new person to a round, and two."""
    assert found(of, 1).apart == single * SECOND
    assert found(of, 2).apart == pair * SECOND


def test_pairs_reach_the_work_bound_where_no_even_stagger_does() -> None:
    """The gain is the width of the buffer window: with everything exact there is none."""
    assert found(MAIN, 2).apart == least_work(MAIN)
    assert found(EXACT, 2).apart == found(EXACT, 1).apart > least_work(EXACT)


def test_three_to_a_round_can_be_better_than_two() -> None:
    """Identical coupled tasks of 2, exactly 5, 2: four and a half each, or four and a third."""
    tasks = coupled(2, (5, 5), 2)

    apart = [found(tasks, people).apart / SECOND for people in (1, 2, 3)]

    assert apart == [Fraction(9, 2), Fraction(9, 2), Fraction(13, 3)]


def test_what_is_not_below_is_not_found_and_that_is_proven() -> None:
    """Everything was looked at: said as proven, not as given up."""
    answer = shortest_round(EXACT, 2, below=2 * found(EXACT, 1).apart)

    assert answer.round is None
    assert answer.proven


def test_gloves_are_counted_only_between_two_people() -> None:
    """Waiting beside one person saves a change; two people side by side need two each."""
    alone_first = found(kit(90, (60, 110), 30, (900, 1_200), 15, gloves=20), 1)

    assert alone_first.period == 200 * SECOND
    assert [turn.fresh_gloves for turn in alone_first.turns if turn.piece == 1] == [False]
    assert found(kit(90, (60, 170), 30, (900, 1_200), 15, gloves=20), 2).apart == 175 * SECOND


def test_the_bundled_assay_has_its_figures() -> None:
    """Computed: usual hands-on times, its advisory 3:00 counted like a firm one, then left out."""
    assay = Library().find("respiratory-antigen-nasal")

    assert found(work_of(assay), 1).period == 200 * SECOND
    assert found(work_of(assay), 2).apart == 175 * SECOND
    assert found(work_of(assay, gloves=Span(0)), 1).period == 135 * SECOND
    assert found(work_of(assay, wishes=False), 2).apart == 175 * SECOND


def small(gloves: int) -> st.SearchStrategy[Kit]:
    """Kits of two or three pieces, small enough for brute force."""

    @st.composite
    def kits(draw: st.DrawFn) -> Kit:
        count = draw(st.integers(2, 3))
        takes = tuple(draw(st.integers(1, 4)) for _ in range(count))
        touches = (*(draw(st.booleans()) for _ in range(count - 1)), False)
        gaps = []
        for _ in range(count - 1):
            least = draw(st.integers(0, 6))
            gaps.append((least, least + draw(st.integers(0, 3))))
        return takes, touches, tuple(gaps), gloves

    return kits()


def as_work(kit_: Kit) -> Work:
    """The same kit as the planner sees it."""
    takes, touches, gaps, gloves = kit_
    names = [*["a", "b"][: len(takes) - 1], READING]
    pieces = [
        piece(name, long, touches=touching)
        for name, long, touching in zip(names, takes, touches, strict=True)
    ]
    tied = tuple((place, place + 1, *gap) for place, gap in enumerate(gaps))
    return work(*pieces, gaps=tied, gloves=gloves)


def scaled(kit_: Kit, by: int) -> Kit:
    """The same kit in a smaller unit."""
    takes, touches, gaps, gloves = kit_
    return (
        tuple(by * each for each in takes),
        touches,
        tuple((by * a, by * b) for a, b in gaps),
        by * gloves,
    )


def plays(kit_: Kit, answer: Round) -> bool:
    """Whether the round can be done as it says, played out by other code."""
    scale = answer.period.denominator
    for turn in answer.turns:
        scale = scale * turn.begins.denominator
    begins: list[list[int]] = [[0] * len(kit_[0]) for _ in range(answer.people)]
    for turn in answer.turns:
        at = turn.begins + turn.rounds * answer.period
        begins[turn.person][turn.piece] = int(at * scale)
    unit = scaled(kit_, int(SECOND) * scale)
    kept = all(
        least <= line[place + 1] - line[place] - unit[0][place] <= most
        for line in begins
        for place, (least, most) in enumerate(unit[2])
    )
    return kept and can_repeat(unit, begins, int(answer.period * scale))


@settings(max_examples=80, deadline=None)
@given(kit_=st.one_of(small(0), small(2)))
def test_one_to_a_round_is_what_brute_force_finds(kit_: Kit) -> None:
    """Every whole second tried, and the answer itself played out round by round."""
    longest = sum(kit_[0]) + sum(most for _, most in kit_[2]) + 3 * kit_[3]
    answer = shortest_round(as_work(kit_), 1).round
    if answer is None:  # no time for gloves in a wait that is exact
        assert shortest(kit_, 1, longest) is None
        return
    unit = (answer.period / SECOND).denominator

    assert plays(kit_, answer)
    assert Fraction(shortest(scaled(kit_, unit), 1, unit * longest) or 0, unit) == (
        answer.period / SECOND
    )


@settings(max_examples=60, deadline=None)
@given(kit_=small(0).filter(lambda each: sum(each[0]) <= 6 and len(each[0]) == 2))
def test_two_to_a_round_are_what_brute_force_finds(kit_: Kit) -> None:
    """The same with two new people, where broken seconds really occur."""
    answer = found(as_work(kit_), 2)
    unit = (answer.period / SECOND).denominator

    assert plays(kit_, answer)
    if unit == 1:
        assert shortest(kit_, 2, 60) == answer.period / SECOND


@settings(max_examples=40, deadline=None)
@given(kit_=small(1).filter(lambda each: sum(each[0]) <= 7))
def test_two_to_a_round_with_gloves_can_be_played(kit_: Kit) -> None:
    """And it is never shorter than the work, nor longer than twice one to a round."""
    of = as_work(kit_)
    single = shortest_round(of, 1).round
    assume(single is not None)
    answer = found(of, 2)

    assert plays(kit_, answer)
    assert single is not None
    assert least_work(of) <= answer.apart <= single.apart


def test_a_kit_that_cannot_be_kept_has_no_round() -> None:
    """A window that closes before the reading can end."""
    broken = kit(90, (60, 120), 30, (900, 910), 15)

    assert alone(broken) is None
    assert shortest_round(broken, 1).round is None


def test_a_limit_inside_one_piece_that_is_too_short_leaves_no_round() -> None:
    """Work that goes past its own limit without any wait."""
    one = kit(90, (60, 120), 30, (900, 1_200), 15)
    inside = Lag(
        first=0,
        second=0,
        since="swab",
        until="swab",
        least=Span(0),
        most=Span(-1),
        most_is=one.lags[0].most_is,
        tail=one.lags[0].tail,
        lead=one.lags[0].lead,
        hands=one.pieces[0].hands,
    )
    too_short = Work(
        assay=one.assay, pieces=one.pieces, lags=one.lags, inside=(inside,), gloves=one.gloves
    )

    assert alone(too_short) is None


def test_a_search_that_was_cut_short_says_so() -> None:
    """What was found is told, and nothing is claimed of it."""
    answer = shortest_round(EXACT, 2, nodes=40)

    assert not answer.proven


def test_a_piece_may_wait_for_two_others() -> None:
    """A reading with a limit from the swab, too: what hangs on both keeps both."""
    three = (piece("a", 2), piece("b", 2), piece(READING, 1))
    gaps = ((0, 1, 2, 5), (1, 2, 3, None), (0, 2, 8, 9))

    answer = found(work(*three, gaps=gaps), 1)

    begins = {turn.piece: turn.begins + turn.rounds * answer.period for turn in answer.turns}
    assert 8 * SECOND <= begins[2] - 2 * SECOND <= 9 * SECOND
    assert begins[2] - begins[1] >= 5 * SECOND


def test_untouched_work_needs_no_gloves_at_all() -> None:
    """Nothing touches a specimen: the change of gloves is in no figure."""
    clean = work(piece("a", 3), piece(READING, 2), gaps=((0, 1, 4, 9),), gloves=50)

    assert least_work(clean) == 5 * SECOND
    assert found(clean, 1).period == 5 * SECOND


def test_an_exact_wait_before_a_touch_leaves_no_time_for_gloves() -> None:
    """Somebody else was touched before, and the second piece follows the first at once."""
    three = (piece("a", 2), piece("b", 2, touches=True), piece(READING, 1))
    gaps = ((0, 1, 0, 0), (1, 2, 3, 10))

    assert shortest_round(work(*three, gaps=gaps, gloves=5), 1).round is None
    assert found(work(*three, gaps=((0, 1, 0, 5), gaps[1]), gloves=5), 1).period == 10 * SECOND
