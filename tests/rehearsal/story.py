"""One small scenario, told act by act, for cases in which a single millisecond decides."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Self

from rehearsal.playing import Report, report_of
from rehearsal.scenario_text import clock, millis, table

if TYPE_CHECKING:
    from pathlib import Path

NASAL = "respiratory-antigen-nasal"
THREE_LINES = "respiratory-antigen-three-lines"

FRAME = """title = "One small story"
starts = {starts}
timezone = "{timezone}"
assay = "{assay}"
operator = [{{ id = "op-1" }}, {{ id = "op-2" }}]
lot = [{{ number = "L-100", expires = {expires}, units = 20 }}]
person = [{{ id = "P-001" }}, {{ id = "P-002" }}]
"""


class Story:
    """Two operators, two persons and a lot; bands are entered with each look and reading."""

    def __init__(
        self,
        *,
        starts: str = "2026-11-03T09:00:00+00:00",
        timezone: str = "Europe/London",
        assay: str = NASAL,
        expires: str = "2027-02-28",
    ) -> None:
        self._frame = FRAME.format(starts=starts, timezone=timezone, assay=assay, expires=expires)
        self._acts: list[dict[str, Any]] = []

    def act(self, at: str, do: str, cartridge: str = "C1", **more: Any) -> Self:
        """Add one act, by op-1 unless said otherwise."""
        act = {"at": at, "by": "op-1", "do": do, "cartridge": cartridge} | more
        self._acts.append(act)
        return self

    def label(self, at: str, cartridge: str = "C1", **more: Any) -> Self:
        """Start a cartridge, for P-001 unless said otherwise."""
        return self.act(at, "label", cartridge, **({"person": "P-001", "lot": "L-100"} | more))

    def step(self, at: str, step: str, cartridge: str = "C1", **more: Any) -> Self:
        """Do one step."""
        return self.act(at, "step", cartridge, step=step, **more)

    def in_buffer(self, cartridge: str = "C1", *, extract: str = "00:00", **more: Any) -> Self:
        """Bring a cartridge as far as the swab in its buffer."""
        self.label(extract, cartridge, **more)
        for step in ("buffer", "collect", "extract"):
            self.step(extract, step, cartridge)
        return self

    def on_the_well(self, cartridge: str = "C1", *, applied: str = "02:00", **more: Any) -> Self:
        """Bring a cartridge to the well: the drops fall at `applied`."""
        self.in_buffer(cartridge, extract=clock(millis(applied) - 120_000), **more)
        self.step(clock(millis(applied) - 30_000), "withdraw", cartridge)
        return self.step(applied, "apply", cartridge)

    def look(self, at: str, cartridge: str = "C1", **seen: Any) -> Self:
        """Look early; a faint line on a sound strip unless said otherwise."""
        return self.act(at, "look", cartridge, **({"control": True, "test": "faint"} | seen))

    def read(self, at: str, cartridge: str = "C1", **seen: Any) -> Self:
        """Read a strip; no test line on a sound strip unless said otherwise."""
        return self.act(at, "read", cartridge, **({"control": True, "test": "absent"} | seen))

    def text(self) -> str:
        """Return the scenario file, its acts in order of time."""
        lines = self._frame.splitlines()
        for act in sorted(self._acts, key=lambda each: millis(each["at"])):
            lines += ["", "[[act]]", *table(act)]
        return "\n".join([*lines, ""])

    def play(self, folder: Path, journal: Path | None = None) -> Report:
        """Write the scenario into `folder`, play it and return the report."""
        file = folder / "story.toml"
        file.write_text(self.text(), encoding="utf-8")
        return report_of(file, journal)


def last_refusal(report: Report) -> str | None:
    """Return why the last act was refused, or None if it was taken."""
    refusal: str | None = report["acts"][-1]["refusal"]
    return refusal


def cartridge(report: Report, label: str = "C1") -> dict[str, Any]:
    """Return what the report says of one cartridge."""
    return next(each for each in report["cartridges"] if each["cartridge"] == label)


def alerts(report: Report, label: str = "C1") -> list[tuple[float, str]]:
    """Return the alerts of one cartridge: seconds after the start, and kind."""
    return [(each["at_s"], each["kind"]) for each in report["alerts"] if each["cartridge"] == label]
