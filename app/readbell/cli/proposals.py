"""What is proposed of lots out of the ordinary, as lines of text and for a program."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from readbell.cli.figures_asked import Shown
    from readbell.core.board.board import Board
    from readbell.core.figures.watched import Proposal

WIDE = 79


def proposal_lines(shown: Shown) -> Iterator[str]:
    """Yield what is proposed, broken into lines of a terminal."""
    from readbell.cli.spelt_out import spelt_out
    from readbell.phrases.quality_words import say_proposals

    for each in say_proposals(shown.watched, lot_states(shown.board)):
        yield from textwrap.wrap(
            spelt_out(each), WIDE, break_long_words=False, break_on_hyphens=False
        )


def lot_states(board: Board) -> Callable[[str], str]:
    """Return what says how a lot stands now, by its number."""

    from readbell.phrases.quality_words import say_state

    def state(number: str) -> str:
        lot = board.lots.get(number)
        if lot is None:
            return ""
        return say_state(on_hold=lot.on_hold, used_up=lot.is_used_up)

    return state


def proposal_fields(proposal: Proposal) -> dict[str, Any]:
    """Return one proposal: what speaks against the lot, and what might be done; nothing was."""
    flag, point = proposal.flag, proposal.point
    return {
        "assay": proposal.assay,
        "lot": proposal.lot,
        "last_used": proposal.last,
        "running_sum": None
        if flag is None
        else {"day": flag.day, "after": flag.after, "invalid": flag.invalid},
        "chart": None
        if point is None
        else {
            "tests": point.tests,
            "invalid": point.hits,
            "usual_most": point.usual.most,
            "flagged": point.is_high,
        },
        "proposed": ["run-control-samples", "think-of-holding"],
    }
