"""Codes of LOINC and SNOMED CT for outcomes. Of an assay's own, its file alone names codes.

Where they were seen: LOINC 95209-3 answers with list LL2021-5 (loinc.org), whose Positive is
10828004 and whose Negative is 260385009 of SNOMED CT, and whose LA15841-2 is Invalid;
455371000124106, Invalid result, is of the US edition of SNOMED CT (value sets of lab test
results in a public repository of the World Health Organization).
"""

from __future__ import annotations

from readbell.core.made_later import dataclass
from readbell.core.reading.interpretation import Outcome

LOINC = "http://loinc.org"
SNOMED = "http://snomed.info/sct"


@dataclass(frozen=True, slots=True)
class Code:
    """One concept of one code system."""

    system: str
    code: str
    display: str


OUTCOMES: dict[Outcome, tuple[Code, ...]] = {
    Outcome.POSITIVE: (Code(SNOMED, "10828004", "Positive"),),
    Outcome.NEGATIVE: (Code(SNOMED, "260385009", "Negative"),),
    Outcome.INVALID: (
        Code(LOINC, "LA15841-2", "Invalid"),
        Code(SNOMED, "455371000124106", "Invalid result"),
    ),
}
"""For an assay whose file names a LOINC code; of the others the words alone leave."""
