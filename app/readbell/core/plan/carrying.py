"""The way out found before, told again for the bench as it is now.

It was sure, and stays sure as long as nobody leaves it; so it is tried beside
what would be thought of anew. Since then somebody may have been begun, who had no
label yet, and hands that nobody knew may have got a name.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.plan.way_out import keys_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.plan.bench import Bench, Key
    from readbell.core.plan.next_start import Start
    from readbell.core.plan.way_out import Keys, WayOut


def carried_over(before: Bench, start: Start, chain: Sequence[Key], now: Bench) -> tuple[Keys, ...]:
    """Return the ways out that `start` told for the bench `before`, as keys for the bench `now`.

    Args:
        before: what the start was worked out from.
        start: the answer given then.
        chain: the keys of whoever was to be begun.
        now: the bench as it is.
    """
    known = {each.key[0] for each in before.tasks} | {key[0] for key, _ in before.under_way()}
    fresh = {each.key[0] for each in now.tasks if each.key[0] not in known}
    new = chain[0][0] if chain else None
    # Only one can have been begun as foretold.
    named = {new: next(iter(fresh))} if len(fresh) == 1 else {}

    def told(way: WayOut) -> Keys:
        orders = [
            tuple((named.get(cartridge, cartridge), place) for cartridge, place in order)
            for order in keys_of(way)
        ]
        return tuple(orders[place] for place in _places(before, now))

    if len(before.hands) != len(now.hands):
        return ()
    return tuple(told(way) for way in (start.present, start.way) if way is not None)


def _places(before: Bench, now: Bench) -> list[int]:
    """Return which hand of before each hand is: the one of its name, or one that had none."""
    left = list(range(len(before.hands)))
    found: dict[int, int] = {}
    for place, hand in enumerate(now.hands):
        same = [each for each in left if before.hands[each].name == hand.name]
        if hand.name and same:
            found[place] = same[0]
            left.remove(same[0])
    for place in range(len(now.hands)):
        if place not in found:
            found[place] = left.pop(0)
    return [found[place] for place in range(len(now.hands))]
