"""What a bay can carry, as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import seconds
from readbell.core.plan.capacity import QUANTILES

if TYPE_CHECKING:
    from readbell.core.plan.capacity import Capacity, Forecast
    from readbell.core.plan.sustained import Sustained
    from readbell.core.statistics.proportion import Share


def as_json(found: Capacity) -> dict[str, object]:
    """Return it as values of JSON; times in seconds, shares from 0 to 1."""
    premise = found.premise
    return {
        "assay": found.work.assay,
        "gloves_s": seconds(found.work.gloves),
        "pace": _pace(found.pace),
        "assumptions": None
        if premise is None
        else {
            "rule": premise.rule,
            "arrivals_per_hour": premise.per_hour,
            "arrivals": "poisson",
            "people_in_a_run": premise.people,
            "durations": "lognormal, mean as usual" if premise.spread else "as usual",
            "spread": premise.spread,
            "seed": premise.seed,
            "advisory_limits": "counted" if premise.wishes else "left out",
            "cartridges": "stay with their operator",
        },
        "target": None
        if found.target is None
        else {"wait_p99_s": seconds(found.target.wait), "missed_below": found.target.miss},
        "crews": [_crew(each, found) for each in found.tried],
        "answer": found.answer,
    }


def _pace(pace: Sustained) -> dict[str, object]:
    return {
        "operators": pace.operators,
        "apart_s": round(float(pace.apart) / 1_000, 3),
        "per_hour": round(pace.per_hour, 2),
        "way": pace.way,
        "bound_s": round(float(pace.bound) / 1_000, 3),
        "proven": pace.is_proven,
        "people_in_a_round": pace.best_round.people,
        "rounds_searched_up_to": pace.searched,
        "even_stagger_s": round(float(pace.even.interval) / 1_000, 3),
        "even_stagger_rule": pace.even.rule,
        "even_stagger_proven": pace.even.proven,
    }


def _crew(forecast: Forecast, found: Capacity) -> dict[str, object]:
    tally, premise = forecast.tally, found.premise
    windows = () if premise is None else premise.windows
    waits = {f"p{round(100 * each)}": seconds(tally.wait_of(each)) for each in QUANTILES}
    return {
        "operators": tally.operators,
        "runs": tally.runs,
        "runs_asked": forecast.asked,
        "stopped": forecast.stopped,
        "wait_s": {"mean": round(tally.mean_wait / 1_000, 3), **waits},
        "utilisation": round(tally.utilisation, 4),
        "missed": _share(tally.missed_share),
        "run_with_a_miss": _share(tally.any_missed),
        "missed_by_window": dict(zip(windows, tally.late, strict=False)),
        "keeps_target": None if found.target is None else found.target.kept(tally),
    }


def _share(share: Share) -> dict[str, float]:
    return {"share": share.value, "low": share.low, "high": share.high}
