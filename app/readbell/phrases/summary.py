"""What a day came to, one line a cartridge."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.stage import Stage
from readbell.core.controls.verdict import Verdict
from readbell.core.instant import between
from readbell.core.reading.interpretation import Outcome
from readbell.core.span_text import write_elapsed
from readbell.phrases.of_cartridges import OUTCOMES, say_deviation
from readbell.phrases.sample_words import VERDICTS
from readbell.phrases.whose import say_short

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

CAUTIONS = (
    "The kit's own instructions for use come first. Wear gloves; treat swabs, tubes and",
    "cartridges as infectious. A negative does not exclude infection. Follow local rules.",
)


def sum_up(board: Board, ends: Instant) -> Iterator[str]:
    """Yield a table of cartridges, a line of totals, and the usual cautions."""
    yield ""
    yield f"{'cart.':6}{'patient':10}{'lot':10}{'stage':12}{'outcome':13}{'read after drops'}"
    for cartridge in board.in_order():
        yield _row(cartridge, board, ends).rstrip()
    yield ""
    yield _totals(board)
    yield from CAUTIONS


def _row(cartridge: Cartridge, board: Board, ends: Instant) -> str:
    person = say_short(cartridge, board) or board.name(cartridge.labelled.subject) or "erased"
    outcome = "" if cartridge.outcome is None else OUTCOMES[cartridge.outcome]
    applied, reading = cartridge.applied, cartridge.reading
    after = (
        ""
        if applied is None or reading is None
        else write_elapsed(between(applied.said, reading.at))
    )
    stated = " (stated, not timed)" if applied is not None and applied.stated else ""
    strayed = "".join(f"  {say_deviation(each, cartridge)}" for each in cartridge.deviations)
    return (
        f"{cartridge.label:6}{person:10}{cartridge.labelled.lot:10}{stage_at(cartridge, ends):12}"
        f"{outcome:13}{after}{stated}{strayed}"
    )


def _totals(board: Board) -> str:
    cartridges = [each for each in board.in_order() if is_patients(each)]
    outcomes = Counter(each.outcome for each in cartridges)
    lapsed = sum(each.stage is Stage.LAPSED for each in cartridges)
    counted = ", ".join(f"{outcomes[each]} {each}" for each in Outcome)
    noun = "cartridge" if len(cartridges) == 1 else "cartridges"
    return f"{len(cartridges)} {noun}: {counted}; {lapsed} of them lapsed.{_of_samples(board)}"


def _of_samples(board: Board) -> str:
    """Return what came of control samples; none of it is a patient's."""
    if not board.samples.materials:
        return ""
    verdicts = Counter(each.verdict for each in board.samples.judged.values())
    told = ", ".join(f"{verdicts[each]} {VERDICTS[each]}" for each in Verdict if verdicts[each])
    return f" Control samples: {told or 'none read'}."
