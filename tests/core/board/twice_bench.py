"""One person on two cartridges: each is worked on and read at so many minutes of its own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import CLEAR, NEGATIVE, at
from core.board.telling_bench import TellingBench
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import SlipReason
from readbell.core.instant import later
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from builders import Bench
    from readbell.core.reading.bands import Bands

ANOTHER = HoldReason.CONTRADICTS_ANOTHER
HELD = (ANOTHER,)
HERE = TellingBench
"""One bench; that two stations begin one person is only how it mostly comes about."""


def clock(minutes: int, seconds: str = "00") -> str:
    """Return so many minutes after the start of the bench, as text."""
    return f"{minutes // 60}:{minutes % 60:02}:{seconds}"


def to_well(
    made: Bench, label: str = "C2", begun: int = 0, person: str = "P-001", lot: str = "L-100"
) -> None:
    """Begin a cartridge, with its drops two minutes later: read from then on for 15 to 20."""
    made.must(made.label_act(label, person, lot=lot), clock(begun))
    for step in ("buffer", "collect", "extract"):
        made.must(made.step_act(step, label), clock(begun))
    made.must(made.step_act("withdraw", label), clock(begun + 1))
    made.must(made.step_act("apply", label), clock(begun + 2))


def both(first: Bands = NEGATIVE, second: Bands = CLEAR) -> TellingBench:
    """A bench on which P-001 was run on C1 and C2 at the same time; C1 was read first."""
    made = HERE()
    to_well(made, "C1")
    to_well(made, "C2", 1)
    made.must(made.read_act(first, "C1"), clock(18))
    made.must(made.read_act(second, "C2"), clock(19))
    return made


def run(made: Bench, label: str, seen: Bands, begun: int = 0, person: str = "P-001") -> None:
    """Begin a cartridge and read it eighteen minutes later."""
    to_well(made, label, begun, person)
    made.must(made.read_act(seen, label), clock(begun + 18))


def correct(made: Bench, seen: Bands, label: str, by: str = "op-1") -> CorrectReading:
    """Return that whoever read it had pressed the wrong key."""
    slip = SlipReason.PRESSED_WRONG_KEY
    return CorrectReading(aim=made.aim(label, by=by), bands=seen, reason=slip)


def repeats(made: Bench, label: str, earlier: str, begun: int) -> None:
    """Enter the label of a cartridge that repeats an earlier one, whatever came of that by then."""
    event, *_ = TellingBench().must(made.label_act(label), "0:00")
    linked = replace(event, at=later(at("0:00"), begun * 60_000), repeat_of=f"id-{earlier}")  # type: ignore[arg-type]
    made.board = fold(made.board, linked)


def held(made: Bench, *labels: str) -> list[bool]:
    """Say of each whether it is held for what another one says."""
    return [ANOTHER in made.cartridge(each).held for each in labels or ("C1", "C2")]
