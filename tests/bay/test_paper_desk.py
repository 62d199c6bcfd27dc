"""Clock times on paper become instants of the bay, and the run is in the journal."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from bay.conftest import place  # noqa: F401  # so too
from hand.conftest import hands  # noqa: F401  # a fixture, used by its name
from readbell.core.instant import Instant, between
from readbell.core.paper.events import PaperRunEntered
from readbell.core.refusal import RefusalCode
from readbell.scenarios.line import read_line
from readbell.scenarios.paper_lines import PaperRunLine
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from hand.conftest import Hands
    from readbell.bay.news import Answer

STEPS = {
    "apply": "2026-03-29T00:58",
    "label": "2026-03-29T00:50",
    "buffer": "2026-03-29T00:51",
    "collect": "2026-03-29T00:52",
    "extract": "2026-03-29T00:53",
    "withdraw": "2026-03-29T00:56",
}


def line(**more: object) -> PaperRunLine:
    """The line of a run."""
    said: dict[str, object] = {
        "do": "enter-paper",
        "by": "op-1",
        "operator": "op-1",
        "witness": "op-2",
        "cartridge": "C31",
        "person": "P-001",
        "lot": "L-100",
        "steps": STEPS,
        "read": "2026-03-29T02:15+01:00",
        "control": True,
        "test": "faint",
        **more,
    }
    found = read_line(json.dumps(said))
    assert isinstance(found, PaperRunLine)
    return found


async def serve(hands: Hands, asked: PaperRunLine) -> Answer:  # noqa: F811
    """What the bay makes of it, two hours later."""
    hands.wait("2:00:00")
    return await hands.desk.serve(hands.work.bay, asked)


async def test_clock_times_of_the_site_become_instants(hands: Hands) -> None:  # noqa: F811
    """Steps in the assay's order however they were written; an offset goes before the site's zone."""
    answer = await serve(hands, line())
    (event,) = answer.events
    assert isinstance(event, PaperRunEntered)
    assert [each.step for each in event.steps] == [
        "label",
        "buffer",
        "collect",
        "extract",
        "withdraw",
        "apply",
    ]
    assert between(event.steps[0].said, event.steps[-1].said) == 8 * 60_000
    assert between(event.steps[-1].said, event.read) == 17 * 60_000
    assert event.read == Instant(1_774_746_900_000)  # 2026-03-29T01:15:00Z
    assert event.outcome == "positive"


async def test_a_line_is_named_by_its_letter_or_its_key(hands: Hands) -> None:  # noqa: F811
    """And a smear has no lines."""
    answer = await serve(hands, line(test={"T": "absent"}))
    assert answer.events[0].outcome == "negative"  # type: ignore[union-attr]
    smear = line(cartridge="C32", test=None, control=None, unreadable="smear")
    answer = await serve(hands, smear)
    assert answer.events[0].outcome == "invalid"  # type: ignore[union-attr]


async def test_what_nobody_knows_is_refused_by_the_bay(hands: Hands) -> None:  # noqa: F811
    """A lot that was never received has no assay and no order of steps."""
    answer = await serve(hands, line(lot="L-9", test={"T": "absent"}))
    assert answer.refusal is not None
    assert answer.refusal.code is RefusalCode.UNKNOWN_LOT
    answer = await serve(hands, line(lot="L-9"))
    assert answer.refusal is not None
    more = line(steps={**STEPS, "wash": "2026-03-29T00:59"})
    answer = await serve(hands, more)
    assert answer.refusal is not None
    assert answer.refusal.code is RefusalCode.OUT_OF_ORDER


@pytest.mark.parametrize("said", ["00:50", "29.03.2026 00:50", 7, "2026-02-30T00:50"])
def test_a_time_that_is_none_is_said(said: object) -> None:
    """With the way to write it."""
    with pytest.raises(WrongFileError, match="write day and clock time"):
        line(read=said)
