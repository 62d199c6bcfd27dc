"""The figures of a record for a program: one object of counts, shares and quantiles."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readbell.core.figures.case import Came
from readbell.core.figures.figures import FEW
from readbell.core.figures.near_misses import Of
from readbell.core.figures.view import By
from readbell.phrases.figures_words import quantiles_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from readbell.core.figures.figures import Figures
    from readbell.core.figures.tally import Tally
    from readbell.core.statistics.proportion import Share
    from readbell.core.statistics.spread import Spread

SHARES = (0.05, 0.25, 0.5, 0.75, 0.95)


def figures_fields(
    figures: Figures, by: Iterable[By], name: Callable[[By, str], str]
) -> dict[str, Any]:
    """Return all of `figures`; lengths in seconds, turnaround in minutes, shares from 0 to 1.

    A quantile of fewer than `few` is null.
    """
    near = figures.near_misses
    return {
        "few": FEW,
        "days": len(figures.table.groups(By.DAY)),
        "whole": tally_fields(figures.table.whole),
        "by": {
            str(each): [
                {str(each): name(each, key), **tally_fields(tally)}
                for key, tally in figures.table.groups(each).items()
            ]
            for each in by
        },
        "control_samples": [
            {
                "day": each.day,
                "time": each.time,
                "material": each.material,
                "kind": None if each.kind is None else str(each.kind),
                "assay": each.assay,
                "lot": each.lot,
                "verdict": str(each.verdict),
                "by": name(By.READER, each.by),
            }
            for each in figures.samples
        ],
        "near_misses": {
            "total": near.total,
            **{
                f"by_{of}": {
                    name(By.OPERATOR, key) if of is Of.OPERATOR else key: count
                    for key, count in near.most(of)
                }
                for of in Of
            },
        },
        "on_paper": figures.on_paper,
    }


def tally_fields(tally: Tally) -> dict[str, Any]:
    """Return one group: what it came to, its rates with their intervals, its lengths."""
    came = tally.came
    return {
        "tests": tally.tests,
        "came": {str(each): came[each] for each in Came},
        "positive": _share(tally.positivity, came[Came.POSITIVE], tally.valid),
        "invalid": _share(tally.invalid, came[Came.INVALID], tally.in_window),
        "lapsed": _share(tally.lapsed, came[Came.LAPSED], tally.tests),
        "faint": _share(tally.faint_share, tally.faint, came[Came.POSITIVE]),
        "early": _share(tally.early_share, tally.early, tally.could_be_early),
        "repeats": _share(tally.repeat_share, tally.repeats, tally.total),
        "picked": _share(tally.picked_share, tally.picked, tally.total),
        "stated": _share(tally.stated_share, tally.stated, tally.total),
        "early_after_s": _spread(tally.early_at),
        "read_after_s": _spread(tally.read_at),
        "window_used_percent": _spread(tally.window_used),
        "told_after_min": _spread(tally.told_after),
        "begun_by_hour": [tally.hours[hour] for hour in range(24)],
        "waits": [
            {
                "assay": assay,
                "step": step,
                "kept": _share(wait.kept_share, wait.kept, wait.took.count),
                "took_s": _spread(wait.took),
                "idle_s": wait.idle,
            }
            for (assay, step), wait in sorted(tally.waits.items())
            if wait.took.count
        ],
    }


def _share(share: Share, hits: int, of: int) -> dict[str, Any]:
    return {
        "count": hits,
        "of": of,
        "share": share.value if of else None,
        "low": share.low,
        "high": share.high,
    }


def _spread(spread: Spread) -> dict[str, Any]:
    found = quantiles_of(spread, SHARES)
    names = [f"q{round(100 * share):02}" for share in SHARES]
    quantiles: dict[str, float | None] = dict.fromkeys(names)
    if found is not None:
        quantiles = dict(zip(names, found, strict=True))
    return {"count": spread.count} | quantiles
