"""The way out found before is told again for the bench as it is now."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import START
from core.plan.kits import WIDE, bench, idle, in_buffer, new, on_the_well
from readbell.core.plan.bench import Bench, Hand
from readbell.core.plan.carrying import carried_over
from readbell.core.plan.next_start import Start, next_start

if TYPE_CHECKING:
    from readbell.core.plan.way_out import Keys

NEW = new(WIDE, "")
KEYS = [task.key for task in NEW]


def carried(before: Bench, start: Start, now: Bench) -> tuple[Keys, ...]:
    """Return what is carried from the answer `start`."""
    return carried_over(before, start, KEYS, now)


def test_what_was_found_is_named_as_it_was() -> None:
    """Both the way without anybody new, and the one with them."""
    found = bench(on_the_well(WIDE, "C7", "-19:00"))
    start = next_start(found, NEW, START)

    assert carried(found, start, found) == (
        ((("C7", 2),),),
        ((("", 1), ("", 2)),),
    )


def test_whoever_was_begun_since_goes_by_their_own_label() -> None:
    """They had none when the way out was found."""
    before = bench()
    start = next_start(before, NEW, START)
    now = bench(in_buffer(WIDE, "C1", "0:00"))

    assert carried(before, start, now)[1] == ((("C1", 1), ("C1", 2)),)


def test_of_several_begun_at_once_nobody_is_taken_for_the_one_foretold() -> None:
    """It was found for one."""
    before = bench()
    start = next_start(before, NEW, START)
    now = bench(in_buffer(WIDE, "C1", "0:00"), in_buffer(WIDE, "C2", "0:00"))

    assert carried(before, start, now)[1] == ((("", 1), ("", 2)),)


def test_hands_keep_their_orders_wherever_they_stand() -> None:
    """Named hands by their names; who had none then takes what is left."""
    before = bench(
        on_the_well(WIDE, "C7", "-15:00"),
        on_the_well(WIDE, "C8", "-15:00"),
        hands=(idle(name="a"), idle(name="")),
    )
    start = next_start(before, NEW, START)
    assert start.present is not None
    first, second = (tuple(task.key for task in order) for order in start.present.orders)
    turned = replace(before, hands=(idle(name="b"), idle(name="a")))

    assert carried(before, start, turned)[0] == (second, first)


def test_with_more_or_fewer_hands_nothing_is_carried() -> None:
    """Nor without an answer."""
    before = bench()
    start = next_start(before, NEW, START)

    assert carried(before, start, replace(before, hands=(idle(), idle(name="x")))) == ()
    assert carried(before, Start(at=None), before) == ()
    assert carried_over(before, start, [], before)[0] == ((),)


def test_a_piece_in_hand_is_known() -> None:
    """What follows from it is nobody new."""
    chain = new(WIDE, "C1")
    busy = Hand(name="a", free=START, free_most=START, on=chain[0].key)
    before = bench(chain[1:], hands=(busy,))
    start = next_start(before, NEW, START)
    after = bench(chain[1:], hands=(idle(name="a"),))

    (present, _) = carried(before, start, after)
    assert present == ((("C1", 1), ("C1", 2)),)
