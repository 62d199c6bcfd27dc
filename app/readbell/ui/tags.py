"""The tags of the list in few cells: of a long one so much that it is told from all others."""

from __future__ import annotations

from collections import defaultdict
from functools import lru_cache
from typing import TYPE_CHECKING

from rich.cells import cell_len, set_cell_size

from readbell.ui.ink import clean

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

CUT = "~"
"""Stands where a part of a long name was left out."""
STEPS = (3, 6, 8)
"""Cells of the tags; a list takes the first that suffices, so that it changes in few steps."""


def cells_for(labels: Sequence[str]) -> int:
    """Return how many cells the tags of a list want: by its longest, in steps."""
    longest = max((cell_len(clean(each)) for each in labels), default=0)
    return next((step for step in STEPS if longest <= step), STEPS[-1])


def kept_to(text: str, width: int) -> str:
    """Return `text` in at most `width` cells; of a long one the end, which tells it apart."""
    shown = clean(text)
    if cell_len(shown) <= width:
        return shown
    end = ""
    for sign in reversed(shown):
        if cell_len(end) + cell_len(sign) > width - 1:
            break
        end = sign + end
    return CUT + end


@lru_cache(maxsize=4)
def tags(labels: tuple[str, ...], cells: int) -> Mapping[str, str]:
    """Return each label as it is shown in `cells` cells, no two of them alike if that can be.

    The end is kept; where two ends are alike, the same other part of both.
    """
    shown = {each: kept_to(each, cells) for each in labels}
    alike: dict[str, list[str]] = defaultdict(list)
    for label, short in shown.items():
        alike[short].append(label)
    for group in [each for each in alike.values() if len(each) > 1]:
        others = set(shown.values()) - {shown[group[0]]}
        longest = max(len(clean(each)) for each in group)
        for parts in _parts(cells, longest):
            found = {each: _cut(clean(each), parts, cells) for each in group}
            apart = set(found.values())
            if len(apart) == len(group) and not apart & others:
                shown.update(found)
                break
    return shown


def _parts(cells: int, longest: int) -> Iterator[tuple[slice, slice]]:
    """Yield what may be kept: a beginning and the end, then a part out of the middle."""
    for begin in range(1, cells - 1):
        yield slice(begin), slice(begin + 1 - cells, None)
    yield slice(cells - 1), slice(0)
    for at in range(1, longest - 1):
        yield slice(0), slice(at, at + cells - 2)


def _cut(label: str, parts: tuple[slice, slice], cells: int) -> str:
    front, rest = (label[part] for part in parts)
    end = "" if front or label.endswith(rest) else CUT
    return set_cell_size(f"{front}{CUT}{rest}{end}", cells).rstrip()
