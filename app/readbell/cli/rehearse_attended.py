"""A rehearsal with a person at the keys: the board on a clock that they steer."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE, FAILED
from readbell.cli.starting import make_ready, started

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from readbell.cli.voice import Voice
    from readbell.clock.paced import PacedClock
    from readbell.core.practice.assist import Assist
    from readbell.rehearsals import Attempt, Script
    from readbell.settings.site_settings import SiteSettings
    from readbell.ui.app import Shell
    from readbell.ui.crash import Crashed, Ending
    from readbell.ui.rehearsal_front import RehearsalFront
    from readbell.ui.rehearsal_screen import RehearsalScreen

NARROWEST, WIDEST = 60, 120
"""Columns of the debrief."""
SHOWN_AGAIN = "What to practise next stands first. Once more: readbell debrief JOURNAL"
NOT_KEPT = "Its journal was not kept: --journal FILE keeps one, for a debrief and a replay."


def attend(script: Script, options: argparse.Namespace) -> int:
    """Open the board of the rehearsal until the person leaves, then say how it went."""
    from readbell.cli.board import fit_for_a_board
    from readbell.core.practice.assist import Assist
    from readbell.rehearsals import Attempt, steered_clock
    from readbell.settings.site_settings import read_settings
    from readbell.ui.crash import Crashed, Left, LeftBy

    settings = read_settings()
    if not options.plain:
        fit_for_a_board()
    assist = Assist(options.assist or Assist.FULL)
    with _kept_at(options.journal) as journal:
        clock = steered_clock(script)
        attempt = Attempt(
            script,
            journal,
            clock,
            assist,
            trainee=options.trainee,
            sounds=settings.bell and not options.quiet,
        )
        ending = _rehearse(script, attempt, clock, assist, settings, options)
        if isinstance(ending, Left) and ending.by is not LeftBy.HAND:
            return DONE  # the computer asked, or the terminal is gone: nobody is there to be told
        if isinstance(ending, Crashed):
            _tell_of_crash(ending)
        _debrief(script, journal)
    print(NOT_KEPT if options.journal is None else SHOWN_AGAIN)
    return FAILED if isinstance(ending, Crashed) else DONE


@contextmanager
def _kept_at(journal: Path | None) -> Iterator[Path]:
    """Give the place of the journal: where it is to be kept, or one that goes with the rehearsal."""
    if journal is not None:
        yield journal
        return
    with tempfile.TemporaryDirectory(prefix="readbell-rehearsal-") as folder:
        yield Path(folder) / "rehearsal.journal"


def _rehearse(
    script: Script,
    attempt: Attempt,
    clock: PacedClock,
    assist: Assist,
    settings: SiteSettings,
    options: argparse.Namespace,
) -> Ending:
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.outlook import Outlook
    from readbell.bay.rehearsal_bench import RehearsalBench
    from readbell.cli.voice import Voice
    from readbell.core.instant import Instant
    from readbell.core.practice.assist import Assist
    from readbell.ui.rehearsal_front import RehearsalFront

    voice = Voice()
    thread = BayThread(lambda: attempt.bay(voice.hear))
    thread.start()
    try:
        starts = Instant(script.scenario.starts)
        front = RehearsalFront(
            thread,
            attempt.desk(),
            clock=clock,
            bench=RehearsalBench(script.scenario, starts),
            assist=assist,
            starts=starts,
        )
        if assist is Assist.FULL:
            front.foresee(Outlook(len(script.scenario.operators)))
        voice.front = front
        if options.plain:
            if assist is not Assist.SILENT:
                voice.speak_up()
            return _in_lines(script, front, voice, assist)
        return _on_screen(front, assist, settings, options)
    finally:
        thread.stop()
        voice.fall_silent()


def _in_lines(script: Script, front: RehearsalFront, voice: Voice, assist: Assist) -> Ending:
    """Take and say lines until the person leaves, or there are no more."""
    from readbell.cli.plain import serve
    from readbell.cli.rehearse_plain import PlainBench
    from readbell.core.board.events import Ending as Ended
    from readbell.ui.crash import Left, LeftBy

    print(f"REHEARSAL  {script.scenario.title}", flush=True)
    started()
    serve(front, voice, bench=PlainBench(front, assist))
    return Left(LeftBy.SIGNAL if voice.why is Ended.SIGNAL else LeftBy.HAND)


def _on_screen(
    front: RehearsalFront, assist: Assist, settings: SiteSettings, options: argparse.Namespace
) -> Ending:
    from dataclasses import replace

    from readbell.cli.board import look_of
    from readbell.core.instant import Span
    from readbell.core.practice.assist import Assist
    from readbell.ui.app import run_board
    from readbell.ui.keyboard import STEERING
    from readbell.ui.palette import Ground, depth_of
    from readbell.ui.terminal import shows_all_signs

    plain = options.ascii or settings.ascii or not shows_all_signs()
    look = replace(
        look_of(settings, plain_signs=plain),
        masks_after=Span(0),  # at twenty times the speed of life it would be half a minute
        calls=assist is not Assist.SILENT,
        advises=assist is Assist.FULL,
    )
    ground = Ground.LIGHT if options.light else Ground(settings.ground)
    depth = depth_of(os.environ, None if settings.colours == "auto" else settings.colours)

    def screen(shell: Shell) -> RehearsalScreen:
        from readbell.ui.rehearsal_screen import RehearsalScreen

        front.changed = lambda: shell.leave() if front.left.is_set() else shell.repaint_soon()
        return RehearsalScreen(front, look)

    front.start(make_ready)
    try:
        return run_board(
            screen, ground=ground, depth=depth, steering=STEERING, once_shown=front.shown
        )
    finally:
        front.changed = lambda: None
        front.stop()


def _tell_of_crash(crashed: Crashed) -> None:
    """Say where the screen failed; a value might be what somebody typed, so none is told."""
    print(
        f"The screen of the rehearsal failed ({crashed.kinds[0]}). What was done stands in its "
        "journal. Where it failed, for whoever mends it:",
        file=sys.stderr,
    )
    for place in crashed.places:
        print(f"  {place}", file=sys.stderr)


def _debrief(script: Script, journal: Path) -> None:
    """Print what the attempt came to."""
    from readbell.cli.spelt_out import spelt_out
    from readbell.core.board.fold import replay
    from readbell.core.rehearsal.score import score
    from readbell.phrases.debrief_text import debrief_lines
    from readbell.rehearsals import events_in

    events = events_in(journal)
    wide = max(NARROWEST, min(shutil.get_terminal_size().columns, WIDEST))
    found = score(script.scenario, replay(events), events)
    for each in debrief_lines(found, script.face, wide):
        print(spelt_out(each))
