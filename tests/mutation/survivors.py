"""The paper on mutants that live: read, and held against what a run found."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

PAPER = Path(__file__).parents[2] / "docs" / "mutants.md"
_ENTRY = re.compile(
    r"^### `(?P<where>[\w.]+)`\n+```diff\n(?P<diff>.*?)```\n+(?P<why>[^#]*)",
    re.MULTILINE | re.DOTALL,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """One change to the code, as the paper names it."""

    where: str
    """Module below the core and function: `cartridge.looks.as_at`."""
    was: tuple[str, ...]
    became: tuple[str, ...]

    def written(self) -> str:
        """Return it as the paper shows it, with room for a verdict."""
        lines = [*(f"- {line}" for line in self.was), *(f"+ {line}" for line in self.became)]
        return "\n".join([f"### `{self.where}`", "", "```diff", *lines, "```", ""])


def mutant_of(where: str, diff: str) -> Mutant:
    """Return the mutant that `diff` describes; only what was taken away and put there counts."""
    lines = [line for line in diff.splitlines() if not line.startswith(("---", "+++"))]
    return Mutant(
        where=where,
        was=tuple(line[1:].strip() for line in lines if line.startswith("-")),
        became=tuple(line[1:].strip() for line in lines if line.startswith("+")),
    )


def verdicts(text: str | None = None) -> dict[Mutant, str]:
    """Return every mutant that the paper says may live, with why."""
    paper = PAPER.read_text(encoding="utf-8") if text is None else text
    return {
        mutant_of(found["where"], found["diff"]): found["why"].strip()
        for found in _ENTRY.finditer(paper)
    }
