"""What a report on quality holds for a program, beside the figures themselves."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from readbell.cli.proposals import proposal_fields
from readbell.core.figures.pairs import pairs_of
from readbell.core.figures.readers import SAID, readers_of
from readbell.core.figures.view import By

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from readbell.core.figures.readers import Readers, Twice
    from readbell.core.figures.watched import Charted, Watched
    from readbell.core.statistics.proportion import Share

    Name = Callable[[By, str], str]


def quality_fields(
    watched: Watched, twice: Mapping[str, Mapping[Twice, int]], name: Name
) -> dict[str, Any]:
    """Return what is proposed, what watching came to and how readers agree; shares from 0 to 1.

    Args:
        watched: what watching came to.
        twice: by assay, the strips that two people read.
        name: what somebody is called.
    """
    promise = watched.promise
    return {
        "proposals": [proposal_fields(each) for each in watched.proposals],
        "acted": False,
        "watched_since": watched.since,
        "watched_until": watched.until,
        "running_sum": {
            "usual_invalid": promise.usual,
            "worse_invalid": promise.worse,
            "strips_between_false_alarms": promise.between_false_alarms,
            "strips_until_found": promise.until_found,
        },
        "charts": [_chart(each, name) for each in watched.charts],
        "readers": readers_fields(twice, name),
    }


def readers_fields(twice: Mapping[str, Mapping[Twice, int]], name: Name) -> list[dict[str, Any]]:
    """Return how two readers of one strip agree, for each assay and for each pair of them."""
    return [
        {"assay": assay}
        | _readers(found)
        | {
            "pairs": [
                {
                    "one": name(By.READER, each.one),
                    "other": name(By.READER, each.other),
                    "few": each.is_few,
                }
                | _readers(each.found)
                for each in pairs_of(counts, partial(name, By.READER))
            ]
        }
        for assay, counts in twice.items()
        if (found := readers_of(counts)) is not None
    ]


def _chart(charted: Charted, name: Name) -> dict[str, Any]:
    chart = charted.chart
    return {
        "assay": charted.assay,
        "by": str(charted.by),
        "sign": str(chart.sign),
        "share": chart.middle,
        "points_flagged_by_chance": chart.false_flags,
        "points": [
            {
                str(charted.by): name(charted.by, each.key),
                "of": each.tests,
                "count": each.hits,
                "usual_least": each.usual.least,
                "usual_most": each.usual.most,
                "flagged": each.is_flagged,
            }
            for each in chart.points
        ],
    }


def _readers(found: Readers) -> dict[str, Any]:
    kappa = found.kappa
    return {
        "strips": found.count,
        "said": [str(each) for each in SAID],
        "table": [list(row) for row in found.table],
        "agreed": _share(found.agreed),
        "kappa": None
        if kappa is None
        else {"value": kappa.kappa, "low": kappa.low, "high": kappa.high},
        "positive_agreement": _share(found.positive),
        "negative_agreement": _share(found.negative),
        "faint": found.faint,
        "faint_agreed": _share(found.faint_agreed if found.faint else None),
        "others_agreed": _share(found.clear_agreed if found.count > found.faint else None),
    }


def _share(share: Share | None) -> dict[str, float] | None:
    if share is None:
        return None
    return {"value": share.value, "low": share.low, "high": share.high}
