"""One cartridge as the oracle sees it: whatever depends on the time of day is asked anew each time.

Nothing here is taken from the product. Figures are those of the bundled assays, written out again
by hand, in seconds; instants are whole milliseconds after the start of the scenario.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from datetime import date

Doc = dict[str, Any]
"""A piece of a scenario or of an answer."""

STEPS = [
    # (key, least seconds, most seconds) of the wait that begins with the step; None: no such limit.
    ("label", None, None),
    ("buffer", None, None),
    ("collect", None, None),
    ("extract", 60, 180),  # the least is firm and refused, the most advisory and recorded
    ("withdraw", None, None),
    ("apply", None, None),  # the last step: development starts
]
NASAL: Doc = {
    "steps": STEPS,
    "early_from": 120,
    "opens": 900,
    "closes": 1200,
    "warning": 120,
    "analytes": ["sars-cov-2"],
}
# No early_from: the kit gives no leave for an early positive.
THREE: Doc = NASAL | {
    "early_from": None,
    "analytes": ["influenza-a", "influenza-b", "sars-cov-2"],
}
ASSAYS: dict[str, Doc] = {
    "respiratory-antigen-nasal": NASAL,
    "respiratory-antigen-three-lines": THREE,
}
KINDS = ["wait-over", "overdue", "early-look", "read-now", "closing", "lapsed"]


def ms(seconds: float) -> int:
    """Seconds, whole or broken, as whole milliseconds."""
    return round(seconds * 1000)


@dataclass
class Done:
    """One step done: when it is said to have been, and between which instants it was."""

    at: int
    earliest: int
    latest: int


@dataclass
class Lot:
    """A lot of kits and how many are left of it."""

    expires: date
    left: int
    assay: Doc
    held: bool = False


@dataclass
class Cartridge:
    """One cartridge, from its label on."""

    label: str
    person: str
    lot: str
    assay: Doc
    done: list[Done]  # one for each step done, in the assay's order; the first is the label
    repeat_of: str | None
    early: set[str] = field(default_factory=set)  # analytes settled positive by an early look
    early_at: int | None = None
    read_at: int | None = None
    read_by: str | None = None
    seen: dict[str, str] = field(default_factory=dict)  # outcomes of the window reading
    void: bool = False
    deviations: list[Doc] = field(default_factory=list)
    fallen: set[tuple[int, str]] = field(default_factory=set)  # alerts: (steps done, kind)

    @property
    def applied(self) -> Done | None:
        """Give the application to the well, once it was done."""
        return self.done[-1] if len(self.done) == len(self.assay["steps"]) else None

    def after(self, applied: Done) -> tuple[int, int, int]:
        """Give the instants of the window: it opens, it begins to close, it closes.

        It opens by the latest and closes by the earliest instant the drops may have fallen, and a
        window narrowed so far that its warning no longer fits closes from its opening on.
        """
        opens = applied.latest + ms(self.assay["opens"])
        closes = applied.earliest + ms(self.assay["closes"])
        return opens, max(opens, closes - ms(self.assay["warning"])), closes

    def stage(self, now: float) -> str:
        """Give the stage word at an instant; both borders of the window are inside it."""
        if self.void:
            return "void"
        if self.read_at is not None:
            return "read"
        if self.applied is None:
            if len(self.done) == 1:
                return "labelled"
            # From the step that begins a wait up to the application.
            waits = [least or most for _, least, most in self.assay["steps"][: len(self.done)]]
            return "extracting" if any(waits) else "preparing"
        opens, closing, closes = self.after(self.applied)
        if now > closes:
            return "lapsed"
        if now < opens:
            return "developing"
        return "closing" if now >= closing else "read-window"

    def analytes(self, now: float) -> dict[str, str | None]:
        """Give the outcome of each analyte at the end of the cartridge's life."""
        stage = self.stage(now)
        if stage == "read":
            return {name: self.seen[name] for name in self.assay["analytes"]}
        if stage == "lapsed":  # unread: the ones seen early are positive, the others invalid
            return {n: "positive" if n in self.early else "invalid" for n in self.assay["analytes"]}
        return dict.fromkeys(self.assay["analytes"])

    def outcome(self, now: float) -> str | None:
        """Withheld if any is, else positive if any, else invalid if any, else negative."""
        found = self.analytes(now).values()
        for word in ("withheld", "positive", "invalid", "negative"):
            if word in found:
                return word
        return None

    def deadlines(self) -> list[tuple[int, str]]:
        """List every alert this cartridge would raise if nobody touched it again."""
        if self.void or self.read_at is not None:
            return []
        if self.applied is None:
            last = self.done[-1]
            _, least, most = self.assay["steps"][len(self.done) - 1]
            found = []
            if least is not None:  # a wait that may be short is short: from the latest begin
                found.append((last.latest + ms(least), "wait-over"))
            if most is not None:  # a wait that may be long is long: from the earliest begin
                found.append((last.earliest + ms(most), "overdue"))
            return found
        opens, closing, closes = self.after(self.applied)
        found = [(opens, "read-now"), (closing, "closing"), (closes + 1, "lapsed")]
        if self.assay["early_from"] is not None:
            found.append((self.applied.latest + ms(self.assay["early_from"]), "early-look"))
        return found

    def row(self) -> Doc:
        """Write what the report says of this cartridge when everything is over."""
        end = float("inf")
        applied = self.applied
        zero = 0 if applied is None else applied.at
        return {
            "cartridge": self.label,
            "person": self.person,
            "lot": self.lot,
            "stage": self.stage(end),
            "outcome": self.outcome(end),
            "analytes": self.analytes(end),
            "applied_s": None if applied is None else applied.at / 1000,
            "read_s": None if self.read_at is None else self.read_at / 1000,
            "elapsed_s": None if self.read_at is None else (self.read_at - zero) / 1000,
            "early_positive_s": None if self.early_at is None else (self.early_at - zero) / 1000,
            "operator": self.read_by,
            "repeat_of": self.repeat_of,
            "deviations": self.deviations,
        }
