"""Open the board of a live bay on this terminal; --plain for a screen reader or a log."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.ending import ENDING_SIGNALS
from readbell.cli.exit_codes import DONE, WRONG_INPUT
from readbell.cli.starting import make_ready, started
from readbell.core.board.events import Ending
from readbell.core.errors import ReadbellError

if TYPE_CHECKING:
    import argparse
    from types import FrameType

    from readbell.cli.voice import Voice
    from readbell.settings.site_settings import SiteSettings
    from readbell.ui.app import Shell
    from readbell.ui.board_screen import BoardScreen
    from readbell.ui.crash import Crashed
    from readbell.ui.front import Front
    from readbell.ui.look import Look
    from readbell.ui.palette import Depth, Ground

SCREENS = 2
"""A board that failed is started again once; after that the bay goes on in plain lines."""


class NoBoardError(ReadbellError):
    """The board cannot be shown here; the text says why, and what to do."""

    exit_status = WRONG_INPUT


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("board", help=__doc__, description=__doc__)
    parser.add_argument(
        "--journal",
        type=Path,
        metavar="FILE",
        action="extend",
        nargs="+",
        help="default: this computer's own; several with --wall",
    )
    parser.add_argument(
        "--wall", action="store_true", help="for a second screen: large, read only, nobody's result"
    )
    parser.add_argument("--plain", action="store_true", help="lines in and out, no screen")
    parser.add_argument("--quiet", action="store_true", help="make no sound; the board still shows")
    parser.add_argument("--ascii", action="store_true", help="draw with plain signs alone")
    parser.add_argument("--light", action="store_true", help="dark letters on a light ground")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Open the bay and show its board until the person leaves."""
    if options.wall:
        return _on_the_wall(options)
    journal = _one_journal(options)
    from readbell.assembly import desk, live_bay, shelf
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.outlook import outlook_of
    from readbell.cli.figures_command import figures_program
    from readbell.cli.first_start import RehearseFirst, founding_for
    from readbell.cli.opening_up import settle_in, show_household
    from readbell.cli.private_memory import keep_memory_private
    from readbell.cli.voice import Voice
    from readbell.settings.places import default_journal
    from readbell.settings.site_settings import read_settings

    keep_memory_private()
    settings = read_settings()
    if not options.plain:
        fit_for_a_board()
    path = journal or default_journal()
    _warn(path)
    try:
        founding, first = founding_for(path, shelf(), settings.policy.sign_in)
    except RehearseFirst:
        return show_household()
    voice = Voice()
    quiet = options.quiet
    thread = BayThread(
        lambda: live_bay(path, founding, voice.hear, lambda: voice.why, settings, quiet=quiet)
    )
    _end_on_signals(voice)
    try:
        found = thread.start()
        front = settle_in(
            thread,
            desk(path),
            shelf(),
            first,
            found,
            tests_alarm=not quiet,
            in_lines=options.plain,
        )
        front.foresee(outlook_of(settings), once_shown=not options.plain)
        if settings.figures is not None:
            front.watch_lots(settings.figures.to_watch)
        front.count_beside(*figures_program(path))
        voice.front = front
        if options.plain:
            voice.speak_up(found, thread.present())
            _in_plain_lines(front, voice)
        else:
            _on_screen(front, voice, settings, options)
    except AskedToEndError:
        pass  # between two screens: the bay is laid down as if one had stood there
    finally:
        thread.stop()
        voice.fall_silent()
    return DONE


def _on_the_wall(options: argparse.Namespace) -> int:
    """Show bays on a second screen.

    Raises:
        NoBoardError: more was asked of it than a wall does.
    """
    from readbell.cli.private_memory import keep_memory_private
    from readbell.cli.wall import show

    if options.plain:
        msg = "--wall is drawn and --plain is not: take one; 'readbell watch' looks on in lines."
        raise NoBoardError(msg)
    keep_memory_private()
    return show(options)


def _one_journal(options: argparse.Namespace) -> Path | None:
    """Return the journal that was named, None where none was.

    Raises:
        NoBoardError: several were named.
    """
    named: list[Path] = options.journal or []
    if len(named) > 1:
        msg = "A board has one bay: name one --journal, or look on at several with --wall."
        raise NoBoardError(msg)
    return next(iter(named), None)


class AskedToEndError(BaseException):
    """The computer asked to end while no board stood that could take it.

    Not an Exception, so that nothing on the way takes it for a fault.
    """


def _end_on_signals(voice: Voice) -> None:
    def end(_number: int, _frame: FrameType | None) -> None:
        voice.why = Ending.SIGNAL
        raise AskedToEndError

    for name in ENDING_SIGNALS:
        if hasattr(signal, name):  # Windows has not all of them
            signal.signal(getattr(signal, name), end)


def fit_for_a_board() -> None:
    """Say what this terminal lacks.

    Raises:
        NoBoardError: no board can be shown on it.
    """
    from readbell.ui.terminal import warnings, why_not

    why = why_not(os.environ)
    if why is not None:
        raise NoBoardError(why)
    for each in warnings():
        print(each, file=sys.stderr)


def _warn(journal: Path) -> None:
    """Say in a line each what this computer is not to be trusted with."""
    from readbell.clock.system import counts_sleep, describe
    from readbell.journal.disk import doubt_about

    for warning in (doubt_about(journal), None if counts_sleep() else describe()):
        if warning is not None:
            print(warning, file=sys.stderr)


def _on_screen(
    front: Front, voice: Voice, settings: SiteSettings, options: argparse.Namespace
) -> None:
    """Show the board; if it fails, show it once more; if it fails again, go on in plain lines."""
    from readbell.ui.app import run_board
    from readbell.ui.crash import Crashed

    plain, ground, depth = signs_and_colours(settings, options)
    look = look_of(settings, plain_signs=plain)

    def screen(shell: Shell) -> BoardScreen:
        from readbell.ui.board_screen import BoardScreen

        front.changed = lambda: shell.leave() if front.left.is_set() else shell.repaint_soon()
        return BoardScreen(front, look)

    front.start(make_ready)
    try:
        for _ in range(SCREENS):
            voice.hush()
            ending = run_board(screen, ground=ground, depth=depth, once_shown=front.shown)
            _end_on_signals(voice)  # a board that ends takes its own handlers with it
            front.changed = lambda: None
            if not isinstance(ending, Crashed):
                voice.why = _ENDINGS.get(str(ending.by), Ending.LEFT)
                return
            voice.speak_up()
            _tell_of_crash(ending)
    finally:
        front.stop()
    print("The board failed twice. The bay goes on, here, in plain lines: .help lists the words.")
    _in_plain_lines(front, voice, after_board=True)


_ENDINGS = {"signal": Ending.SIGNAL, "input-ended": Ending.END_OF_INPUT}


def signs_and_colours(
    settings: SiteSettings, options: argparse.Namespace
) -> tuple[bool, Ground, Depth]:
    """Return whether signs are to be plain ones, the ground, and how many colours there are."""
    from readbell.ui.palette import Ground, depth_of
    from readbell.ui.terminal import shows_all_signs

    plain = options.ascii or settings.ascii or not shows_all_signs()
    ground = Ground.LIGHT if options.light else Ground(settings.ground)
    depth = depth_of(os.environ, None if settings.colours == "auto" else settings.colours)
    return plain, ground, depth


def look_of(settings: SiteSettings, *, plain_signs: bool) -> Look:
    """Return how the site wants its board to look."""
    from readbell.core.instant import MINUTE, Span
    from readbell.ui.glyphs import ASCII, UNICODE
    from readbell.ui.look import Look

    return Look(
        glyphs=ASCII if plain_signs else UNICODE,
        masks=settings.mask_identifiers,
        masks_after=Span(settings.mask_after_minutes * MINUTE),
        flashes=not settings.never_flash,
        readers_can=settings.read_limit,
    )


def _tell_of_crash(crashed: Crashed) -> None:
    """Say where the board failed; a value might be somebody's identifier, so none is told."""
    print(
        f"The board failed ({crashed.kinds[0]}). The bay goes on: alarms ring, and nothing "
        "acknowledged is lost. Where it failed, for whoever mends it:",
        file=sys.stderr,
    )
    for place in crashed.places:
        print(f"  {place}", file=sys.stderr)


def _in_plain_lines(front: Front, voice: Voice, *, after_board: bool = False) -> None:
    from readbell.cli.plain import serve

    started()
    serve(front, voice, after_board=after_board)
