"""Waits for a search, and says how far it has come once it takes longer than a second."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

from readbell.cli.progress import Progress
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from readbell.core.plan.batch.job import Batch
    from readbell.core.plan.batch.plan import Plan
    from readbell.solver.prove import Standing

AGAIN = 0.25
"""Seconds between two looks; the solver itself may be silent for long."""


class Searching:
    """A search in a thread of its own, so that Ctrl+C reaches this one."""

    def __init__(self, batch: Batch, found: Plan, seconds: float) -> None:
        """Prepare it.

        Raises:
            ImportError: the extra `plan` is not installed.
        """
        from readbell.solver.prove import Search

        self._ends, self._bound = found.ends, found.bound
        self._seconds = seconds
        self._search = Search(batch, found, seconds=seconds, told=self._hear)
        self._found: Plan | None = None
        self._failed: Exception | None = None
        self._over = threading.Event()

    def run(self) -> Plan:
        """Return what was found; Ctrl+C ends the search and keeps the best so far."""
        threading.Thread(target=self._look, name="readbell-search", daemon=True).start()
        with Progress() as progress:
            looked = 0.0
            while not self._over.is_set():
                try:
                    self._over.wait(AGAIN)
                except KeyboardInterrupt:
                    self._search.stop()
                looked = min(looked + AGAIN, self._seconds)
                progress.tell(self._words(), int(looked), int(self._seconds))
        if self._found is None:
            raise self._failed or AssertionError
        return self._found

    def _look(self) -> None:
        try:
            self._found = self._search.run()
        except Exception as error:  # noqa: BLE001  # raised again by the thread that waits
            self._failed = error
        finally:
            self._over.set()

    def _hear(self, standing: Standing) -> None:
        self._ends, self._bound = standing.ends, standing.bound

    def _words(self) -> str:
        return (
            f"best {write_span(self._ends)}, none below {write_span(self._bound)}; "
            "Ctrl+C keeps the best; seconds"
        )
