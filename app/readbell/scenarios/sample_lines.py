"""Lines about control materials; a sample of one is labelled as any cartridge is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import BeforeValidator, Field

from readbell.core.controls.material import SampleKind
from readbell.core.reading.interpretation import LineOutcome, Outcome
from readbell.scenarios.act_table import Day, Name
from readbell.scenarios.stock_lines import Days
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from collections.abc import Mapping

Kind = Annotated[SampleKind, Field(strict=False)]


def _as_expected(written: object) -> Outcome:
    """Refuse what a control sample cannot be expected to show."""
    if written not in (Outcome.POSITIVE, Outcome.NEGATIVE):
        msg = "use 'positive' or 'negative'"
        raise ValueError(msg)
    return Outcome(str(written))


Expected = Annotated[Outcome, BeforeValidator(_as_expected)]
"""What a line of a control sample has to come to."""


class ReceiveSampleLine(Table):
    """Enter a control material or a blind sample."""

    do: Literal["receive-sample"]
    by: Name
    number: Name
    kind: Kind
    assay: Name
    expires: Day
    expected: dict[str, Expected] = Field(default_factory=dict)
    """By key or printed letter; left out: as is usual for its kind."""
    good_days: Days | None = None

    def lines(self) -> tuple[LineOutcome, ...]:
        """Return what each line that is named has to come to."""
        return expected_lines(self.expected)


class OpenSampleLine(Table):
    """Open a bottle of a control material."""

    do: Literal["open-sample"]
    by: Name
    number: Name


SampleLine = ReceiveSampleLine | OpenSampleLine

SAMPLE_LINES: Mapping[str, type[SampleLine]] = {
    "receive-sample": ReceiveSampleLine,
    "open-sample": OpenSampleLine,
}
"""By what they ask for."""


def expected_lines(expected: Mapping[str, Outcome]) -> tuple[LineOutcome, ...]:
    """Return what each line that is named has to come to."""
    return tuple(LineOutcome(line=line, outcome=outcome) for line, outcome in expected.items())
