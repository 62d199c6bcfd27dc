"""The board for a second screen: read only, large, with nobody's name and no result on it."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, FAILED
from readbell.cli.starting import started

if TYPE_CHECKING:
    import argparse

    from readbell.bay.lookout_thread import LookoutThread
    from readbell.ui.app import Shell
    from readbell.ui.wall_screen import WallScreen


def show(options: argparse.Namespace) -> int:
    """Show the bays until somebody leaves.

    Raises:
        JournalError: one of them cannot be looked at; the text says why.
    """
    from readbell.assembly import lookouts
    from readbell.cli.board import fit_for_a_board, signs_and_colours
    from readbell.clock.system import SystemClock
    from readbell.settings.places import default_journal
    from readbell.settings.site_settings import read_settings
    from readbell.ui.app import run_board
    from readbell.ui.crash import Crashed
    from readbell.ui.glyphs import ASCII, UNICODE
    from readbell.ui.wall_screen import WallScreen

    settings = read_settings()
    fit_for_a_board()
    clock = SystemClock()
    threads: tuple[LookoutThread, ...] = lookouts(options.journal or [default_journal()])
    is_plain, ground, depth = signs_and_colours(settings, options)

    def screen(shell: Shell) -> WallScreen:
        for each in threads:
            each.changed = shell.repaint_soon
        return WallScreen(
            shell,
            lambda: [each.seen for each in threads],
            clock,
            ASCII if is_plain else UNICODE,
        )

    for each in threads:
        each.start()
    started()
    try:
        ending = run_board(screen, ground=ground, depth=depth, mouse=False)
    finally:
        for each in threads:
            each.stop()
    if isinstance(ending, Crashed):
        print(
            f"The wall failed ({ending.kinds[0]}). No bay depends on it: start it again. "
            "Where it failed, for whoever mends it:",
            file=sys.stderr,
        )
        for place in ending.places:
            print(f"  {place}", file=sys.stderr)
        return FAILED
    return DONE
