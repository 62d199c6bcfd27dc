"""What the plays are given: people, lots, labels, and what somebody may say or see."""

from __future__ import annotations

from collections import Counter
from datetime import date
from typing import TYPE_CHECKING

from hypothesis import strategies as st

from machine.plain_cartridge import Seen
from machine.stand import ODD, ONE_LINE

if TYPE_CHECKING:
    from machine.plain_cartridge import Cartridge

OPERATORS = ["nurse-ada", "nurse-ben"]
PEOPLE = ["pat-1301", "pat-1302", "pat-1303", "pat-1304"]
PARTIES = ["car-blue-77", "car-red-88"]
WORDS = "slid-off-the-tray"
IDENTIFIERS = [*OPERATORS, *PEOPLE, *PARTIES, WORDS, "nurse-nobody", "pat-nobody"]
"""What may stand in no repr, whoever typed it into whichever field."""
LABELS = [f"C{number}" for number in range(1, 13)]
LOTS = {
    "L-100": (ONE_LINE.id, date(2026, 12, 31), None),
    "L-odd": (ODD.id, date(2026, 12, 31), None),
    "L-two": (ONE_LINE.id, date(2026, 12, 31), 2),
    "L-old": (ONE_LINE.id, date(2026, 3, 29), None),  # the day on which every bay here begins
}
TRIED: Counter[str] = Counter()
"""How often each kind of thing was done, and what came of it."""

by_whom = st.integers(0, 23).map(
    lambda n: {21: OPERATORS[1], 22: "nurse-nobody", 23: PEOPLE[0]}.get(n, OPERATORS[0])
)
which = st.sampled_from(LABELS)
nth = st.integers(0, 11)
which_or_who = st.sampled_from([*LABELS, *LABELS, PEOPLE[2]])
"""A cartridge, or somebody's identifier that the scanner read in its place."""
person = st.integers(0, 15).map(lambda n: PEOPLE[n - 12] if n >= 12 else None)
scan = st.integers(0, 15).map(lambda n: {13: "C1", 14: "C2", 15: PEOPLE[1]}.get(n))
doubt = st.sampled_from([0, 0, 1, 10_000, 60_000, 150_000, 150_001, 600_000])
strength = st.sampled_from(["absent", "absent", "faint", "clear"])
lines = st.fixed_dictionaries(dict.fromkeys(ODD.lines, strength))
faults = st.integers(0, 15).map(
    lambda n: {12: "no control", 13: "smear", 14: "smear and lines", 15: "nothing"}.get(n, "")
)


def seen_on(found: Cartridge | None, shown: dict[str, str], fault: str) -> Seen:
    """What somebody says they saw on a strip: as a rule, an answer for each line there is."""
    names = ONE_LINE.lines if found is None else found.assay.lines
    answers = {name: shown[name] for name in names}
    match fault:
        case "no control":
            return Seen(control=False, lines=answers)
        case "smear":
            return Seen(unreadable="smear")
        case "smear and lines":
            return Seen(lines=answers, unreadable="smear")
        case "nothing":
            return Seen(control=True, lines={"sars-cov-2": "absent"} if len(names) > 1 else {})
    return Seen(control=True, lines=answers)
