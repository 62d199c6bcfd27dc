"""The demo scenarios, played, and what their reports come to."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from rehearsal.playing import Report, report_of

DEMOS = Path(__file__).parents[2] / "demo_scenarios"
OPENS, CLOSES = 900, 1200


def demo(name: str) -> Report:
    """Play the demo scenario `name`."""
    return report_of(DEMOS / f"{name}.toml")


def outcomes(report: Report) -> dict[str, tuple[str, str | None]]:
    """Return stage and outcome of each cartridge."""
    return {each["cartridge"]: (each["stage"], each["outcome"]) for each in report["cartridges"]}


def refusals(report: Report) -> list[tuple[float, str]]:
    """Return when an act was refused, and why."""
    return [(act["at_s"], act["refusal"]) for act in report["acts"] if not act["accepted"]]


def kinds(report: Report) -> Counter[str]:
    """Count the alerts of a run by kind."""
    return Counter(alert["kind"] for alert in report["alerts"])
