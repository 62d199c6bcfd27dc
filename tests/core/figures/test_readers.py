"""How two people who read the same strips agree."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, Bench, at
from core.figures.cases import tally_of
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import SlipReason
from readbell.core.figures.case import case_of
from readbell.core.figures.pairs import pairs_of
from readbell.core.figures.readers import (
    SAID,
    Twice,
    readers_by_assay,
    readers_of,
    twice_read,
)
from readbell.core.figures.tally import Tally
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.reading.interpretation import Outcome

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands

POSITIVE, NEGATIVES, INVALID = Outcome.POSITIVE, Outcome.NEGATIVE, Outcome.INVALID


def read_by_two(first: Bands, second: Bands | None) -> Bench:
    """A strip that op-1 read, and op-2 after them."""
    made = Bench()
    rule = SecondReaderRule(when=SecondReader.ALL)
    policy = SitePolicy(second_reader=(rule,))
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    made.to_well()
    made.must(made.read_act(first), "18:00")
    if second is not None:
        made.must(made.read_act(second, by="op-2"), "19:00")
    return made


@pytest.mark.parametrize(
    ("first", "second", "found"),
    [
        (CLEAR, CLEAR, Twice(POSITIVE, POSITIVE, faint=False)),
        (FAINT, FAINT, Twice(POSITIVE, POSITIVE, faint=True)),
        (FAINT, NEGATIVE, Twice(POSITIVE, NEGATIVES, faint=True)),
        (NEGATIVE, FAINT, Twice(NEGATIVES, POSITIVE, faint=True)),
        (CLEAR, FAINT, Twice(POSITIVE, POSITIVE, faint=False)),
        (NEGATIVE, NO_CONTROL, Twice(NEGATIVES, INVALID, faint=False)),
    ],
)
def test_each_reading_counts_as_it_was_by_itself(first: Bands, second: Bands, found: Twice) -> None:
    """What was withheld for it in the end is no answer of either reader."""
    made = read_by_two(first, second)
    cartridge, keys = made.cartridge(), made.board.operators
    found = found._replace(first_by=keys["op-1"], second_by=keys["op-2"])

    assert twice_read(cartridge) == found
    assert case_of(cartridge, ()).twice == found
    assert tally_of(case_of(cartridge, ())).twice == {found: 1}


def test_a_strip_that_one_person_read_says_nothing_of_two() -> None:
    """Nor does one that waits for the second."""
    alone = Bench()
    alone.to_well()
    assert twice_read(alone.cartridge()) is None
    alone.must(alone.read_act(CLEAR), "18:00")

    assert twice_read(alone.cartridge()) is None
    assert twice_read(read_by_two(CLEAR, None).cartridge()) is None


def test_the_first_reading_is_taken_as_its_reader_corrected_it() -> None:
    """A slip of the keys is no difference between two pairs of eyes."""
    made = read_by_two(CLEAR, None)
    aim = made.read_act(NEGATIVE).aim
    made.must(CorrectReading(aim=aim, bands=NEGATIVE, reason=SlipReason.PRESSED_WRONG_KEY), "18:10")
    made.must(made.read_act(NEGATIVE, by="op-2"), "19:00")

    found = twice_read(made.cartridge())
    assert found is not None
    assert found[:3] == (NEGATIVES, NEGATIVES, False)


def test_agreement_on_positives_on_negatives_and_beyond_chance() -> None:
    """A made-up table of fifty: 2 * 20 of 55, 2 * 15 of 45, kappa 0.40."""
    found = readers_of(
        {
            Twice(POSITIVE, POSITIVE, faint=False): 20,
            Twice(POSITIVE, NEGATIVES, faint=False): 5,
            Twice(NEGATIVES, POSITIVE, faint=False): 10,
            Twice(NEGATIVES, NEGATIVES, faint=False): 15,
        }
    )
    assert found is not None
    assert found.positive is not None
    assert found.negative is not None
    assert found.kappa is not None

    assert found.count == 50
    assert found.positive.value == pytest.approx(40 / 55)
    assert found.negative.value == pytest.approx(30 / 45)
    assert found.kappa.kappa == pytest.approx(0.4)
    assert (found.faint, found.agreed.value) == (0, 0.7)


def test_faint_lines_stand_apart() -> None:
    """Where all plain strips agree, readers may still part on half of the faint ones."""
    found = readers_of(
        {
            Twice(NEGATIVES, NEGATIVES, faint=False): 90,
            Twice(POSITIVE, POSITIVE, faint=True): 5,
            Twice(POSITIVE, NEGATIVES, faint=True): 5,
        }
    )
    assert found is not None

    assert (found.faint, found.faint_agreed.value, found.clear_agreed.value) == (10, 0.5, 1.0)
    assert found.agreed.value == 0.95


def test_of_few_strips_no_kappa_is_given() -> None:
    """Nineteen are not enough, twenty are."""
    same = {Twice(POSITIVE, POSITIVE, faint=False): 9}
    few = readers_of(same | {Twice(NEGATIVES, NEGATIVES, faint=False): 10})
    enough = readers_of(same | {Twice(NEGATIVES, NEGATIVES, faint=False): 11})
    assert few is not None
    assert enough is not None

    assert few.kappa is None
    assert enough.kappa is not None


def test_of_no_strips_there_is_nothing_to_say() -> None:
    """What was counted and taken off again is nothing."""
    assert readers_of({}) is None
    assert readers_of({Twice(POSITIVE, POSITIVE, faint=False): 0}) is None


def test_assays_whose_strips_nobody_read_twice_are_left_out() -> None:
    """Those that are left stand in their order, each by itself."""
    some = {Twice(POSITIVE, POSITIVE, faint=False): 2}
    more = {Twice(NEGATIVES, NEGATIVES, faint=False): 3}
    found = readers_by_assay({"nasal": some, "none": {}, "panel": more})

    assert [*found] == ["nasal", "panel"]
    assert [each.count for each in found.values()] == [2, 3]


def of_pair(one: str, other: str, *, same: int, apart: int) -> dict[Twice, int]:
    """Strips that `one` read first and `other` second."""
    return {
        Twice(POSITIVE, POSITIVE, False, one, other): same,
        Twice(POSITIVE, NEGATIVES, True, one, other): apart,
    }


def test_each_pair_of_readers_stands_by_itself_whoever_was_first() -> None:
    """What the one said is held against what the other did; the busiest pair goes first."""
    strips = (
        of_pair("key-1", "key-2", same=9, apart=2)
        | of_pair("key-2", "key-1", same=10, apart=3)
        | of_pair("key-1", "key-3", same=30, apart=0)
        | {Twice(NEGATIVES, NEGATIVES, False, "key-3", "key-2"): 0}
    )
    busiest, other = pairs_of(strips)

    assert (busiest.one, busiest.other, busiest.found.count) == ("key-1", "key-3", 30)
    assert (other.one, other.other, other.found.count) == ("key-1", "key-2", 24)
    # Two that only the one called positive, and three that only the other did.
    assert other.found.table == ((19, 2, 0), (3, 0, 0), (0, 0, 0))
    assert (other.found.faint, other.found.faint_agreed.value) == (5, 0.0)
    assert not other.is_few


def test_the_two_of_a_pair_stand_in_the_order_of_their_names() -> None:
    """Keys are made by chance, and a table is to read alike each time."""
    called = {"key-1": "zoe", "key-2": "ada"}.__getitem__
    (pair,) = pairs_of(of_pair("key-1", "key-2", same=3, apart=1), called)

    assert (pair.one, pair.other) == ("key-2", "key-1")
    assert pair.found.table[1][0] == 1


def test_a_pair_with_few_strips_is_said_to_be_one() -> None:
    """Nineteen say little, twenty a little more; all pairs together are all strips."""
    (few,) = pairs_of(of_pair("key-1", "key-2", same=19, apart=0))
    (enough,) = pairs_of(of_pair("key-1", "key-2", same=19, apart=1))

    assert (few.is_few, enough.is_few) == (True, False)
    assert few.found.kappa is None


KEYS = st.sampled_from(("key-1", "key-2", "key-3"))
TWICE = st.builds(Twice, st.sampled_from(SAID), st.sampled_from(SAID), st.booleans(), KEYS, KEYS)


@given(st.lists(TWICE))
def test_pairs_add_up_to_all_strips(strips: list[Twice]) -> None:
    """None is lost, and none is counted twice."""
    pairs, whole = pairs_of(Counter(strips)), readers_of(Counter(strips))

    assert sum(each.found.count for each in pairs) == len(strips)
    if whole is not None:
        same = sum(each.found.table[place][place] for each in pairs for place in range(len(SAID)))
        assert same == sum(whole.table[place][place] for place in range(len(SAID)))


@given(st.lists(TWICE, min_size=1))
def test_it_does_not_matter_who_was_first(strips: list[Twice]) -> None:
    """Both ways round they agree alike."""
    one = readers_of(Counter(strips))
    other = readers_of(Counter(Twice(b, a, faint) for a, b, faint, *_ in strips))
    assert one is not None
    assert other is not None

    assert one.count == len(strips)
    assert (one.positive, one.negative, one.agreed) == (
        other.positive,
        other.negative,
        other.agreed,
    )
    assert (one.faint, one.faint_agreed) == (other.faint, other.faint_agreed)


@given(st.lists(TWICE), st.lists(TWICE))
def test_what_was_counted_apart_can_be_joined_and_taken_off(
    some: list[Twice], more: list[Twice]
) -> None:
    """As every other count of a tally."""
    tally, other = Tally(twice=Counter(some)), Tally(twice=Counter(more))
    tally.join(other)
    assert tally.twice == Counter(some) + Counter(more)
    tally.join(other, -1)

    assert +tally.twice == Counter(some)
