"""A start: what it makes stays, so nobody need look for rubbish in it; what it can do without comes later."""

from __future__ import annotations

import gc

SELDOM = 400_000
"""So many values more, and rubbish is looked for: more than stand when a board of a thousand does."""
USUALLY = 5_000
"""As many from then on: more than two hundred alarms at once make, which are not to wait for that."""


def starting() -> None:
    """Look for rubbish but seldom until `started`; a tenth of a start went into that."""
    gc.set_threshold(SELDOM)


def started() -> None:
    """Look again often from now on, yet not through what stands already: alarms would wait for it."""
    gc.freeze()
    gc.set_threshold(USUALLY)


def make_ready() -> None:
    """Import what a board's first picture does without, so that no key waits for it; then it is up."""
    try:
        import readbell.bay.at_the_desk
        import readbell.core.board.decide
        import readbell.hand.handle
        import readbell.journal.counting
        import readbell.phrases.next_start_words
        import readbell.phrases.of_bay
        import readbell.settings.own_facts
        import readbell.ui.detail
        import readbell.ui.page_body
        import readbell.ui.task_panel  # noqa: F401
    finally:
        started()
