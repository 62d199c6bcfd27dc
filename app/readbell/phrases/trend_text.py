"""How one trainee's attempts went, one line each, the oldest first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Span
from readbell.core.practice.assist import Assist
from readbell.core.span_text import write_elapsed
from readbell.phrases.counted import counted

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.rehearsal.attempt import AttemptFigures

TITLE = 20
HELP = {Assist.FULL: "full", Assist.ALARMS: "alarms", Assist.SILENT: "exam"}
COLUMNS = (
    "  through: mistakes of people and safety that nothing stopped",
    "  refused: those that the program stopped",
)
LEFT = " *"
LEFT_MEANS = "  * left before its end: it counts for no pass rule"
MOST = 200
"""So many attempts are shown, the latest."""


def trend_lines(attempts: Sequence[AttemptFigures]) -> Iterator[str]:
    """Yield the table, and what changed since the first of them that is shown."""
    shown = attempts[-MOST:]
    who = f" of {attempts[-1].trainee}" if attempts and attempts[-1].trainee else ""
    yield f"Trend of {counted(len(attempts), 'attempt')}{who}, the oldest first"
    yield (
        f"  {'scenario':{TITLE}}{'help':>8}{'windows':>8}{'waits':>8}{'lines':>8}{'faint':>8}"
        f"{'through':>8}{'refused':>8}"
    )
    for each in shown:
        yield (
            f"  {each.title[: TITLE - 1]:{TITLE}}{_help(each):>8}{_of(each.windows):>8}"
            f"{_of(each.waits):>8}"
            f"{_of(each.lines):>8}{_of(each.faint):>8}{each.went_through:>8}{each.refused:>8}"
            f"{LEFT if each.left_early else ''}"
        )
    yield from COLUMNS
    if any(each.left_early for each in shown):
        yield LEFT_MEANS
    if len(shown) > 1:
        first, last = shown[0], shown[-1]
        yield "  From the first of these to the last:"
        yield f"    lines read rightly {_percent(first.lines)} to {_percent(last.lines)}"
        yield f"    faint lines seen {_percent(first.faint)} to {_percent(last.faint)}"
        yield f"    windows kept {_percent(first.windows)} to {_percent(last.windows)}"
        yield (
            f"    mistakes of people and safety that went through {first.went_through} to "
            f"{last.went_through}"
        )
        if first.best is not None and last.best is not None:
            yield f"    beside the best plan {_longer(first)} to {_longer(last)} longer"


def _help(attempt: AttemptFigures) -> str:
    return HELP[Assist(attempt.assist)] if attempt.assist else "-"


def _of(found: tuple[int, int]) -> str:
    return f"{found[0]}/{found[1]}" if found[1] else "-"


def _percent(found: tuple[int, int]) -> str:
    return f"{100 * found[0] / found[1]:.0f} %" if found[1] else "-"


def _longer(attempt: AttemptFigures) -> str:
    over = max(0.0, attempt.took - (attempt.best or 0.0))
    return write_elapsed(Span(round(over * SECOND)))
