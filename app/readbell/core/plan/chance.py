"""How much a count is worth whose tries fall together.

Cartridges of one run share a queue and so miss together; what they are worth is therefore
counted as so many that do not. The variance between runs says how many, and where nothing
was missed to tell it from, each run counts as one. The interval is Wilson's.
"""

from __future__ import annotations

from readbell.core.statistics.proportion import Share, wilson


def of_clusters(hits: int, squares: int, clusters: int, size: int) -> Share:
    """Return the share of `hits` among `clusters` times `size` that fall together.

    Args:
        hits: the sum of the hits of every cluster.
        squares: the sum of their squares.
        clusters: how many clusters, each of `size`.
        size: tries in a cluster.
    """
    tries = clusters * size
    if tries == 0:
        return wilson(0, 0)
    share = hits / tries
    if hits in (0, tries) or clusters == 1:
        return wilson(share * clusters, clusters)
    between = (squares / clusters - (hits / clusters) ** 2) / (size * size * (clusters - 1))
    alike = share * (1 - share) / tries
    worth = tries * min(1.0, alike / between) if between > 0 else tries
    return wilson(share * worth, worth)
