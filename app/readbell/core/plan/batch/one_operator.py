"""What one pair of hands needs at the least for the first two pieces of everybody.

The argument "Blocks of one operator" of docs/planning.md: whoever works alone works
in blocks, stretches in which somebody has had the first piece and not the second.
Where no first piece fits behind a second one inside a block, blocks stay short, and
each holds a pause that no work of these two kinds can fill.
"""

from __future__ import annotations


def least_first_part(
    people: int, *, first: int, second: int, least: int, most: int, gloves: int
) -> int:
    """Return the least time from the first beginning to the end of the last second piece.

    Args:
        people: how many.
        first: what the first piece takes.
        second: what the second piece takes.
        least: from the end of the first to the beginning of the second, at the least.
        most: the same, at the most.
        gloves: what a change of gloves takes between two persons; 0 where none is asked for.

    All in milliseconds, as is the answer.
    """
    longest = _longest_block(people, first, second, most, gloves)
    blocks = [0] + [
        _block(size, first, second, least, gloves) + gloves for size in range(1, longest + 1)
    ]
    best = [0]
    for so_far in range(1, people + 1):
        sizes = range(1, min(longest, so_far) + 1)
        best.append(min(best[so_far - size] + blocks[size] for size in sizes))
    return best[people] - gloves


def _longest_block(people: int, first: int, second: int, most: int, gloves: int) -> int:
    if most >= first + second + 3 * gloves:
        return people
    inside = 0
    while inside < people and (inside + 1) * (first + gloves) + gloves <= most:
        inside += 1
    return min(people, inside + 1)


def _block(size: int, first: int, second: int, least: int, gloves: int) -> int:
    """Return the least length of a block of `size` persons."""
    if size == 1:
        return first + least + second
    work = size * (first + second)
    others = (size - 1) * second + size * gloves
    if least < gloves:
        # Staying with one person may then be cheaper than a change, any number of times.
        return work + max(0, least - others)
    with_change = work + (2 * size - 1) * gloves + max(0, least - others)
    own_first = work + (2 * size - 2) * gloves + least
    return min(with_change, own_first)
