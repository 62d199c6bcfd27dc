"""The whole work in plain lines: what is scanned or typed goes to the same hand as on the board."""

from __future__ import annotations

import io
import sys
import threading
from typing import TYPE_CHECKING

from readbell.cli.echo import show_typing
from readbell.cli.ending import OutputBlockedError, give_up_output, listen_for_signals
from readbell.core.board.events import Ending
from readbell.hand.aloud import HELP, in_words, plan_aloud, said_aloud, understood
from readbell.hand.doing import ChoosingPin, Proving
from readbell.hand.stations_room import aloud as stations_aloud
from readbell.phrases.around_words import NOT_SHARED
from readbell.phrases.standing import where_all_stand

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.cli.rehearse_plain import PlainBench
    from readbell.cli.voice import Voice
    from readbell.ui.front import Front, Present


BEAT_EACH = 1.0
"""Seconds; what stands where a board stood says as often as that one did that it lives."""
LOOK_EACH = 0.25
"""Seconds; so soon somebody who comes to the bench of a rehearsal is told of."""


def serve(
    front: Front, voice: Voice, *, after_board: bool = False, bench: PlainBench | None = None
) -> None:
    """Take lines until there are no more, somebody leaves, or the computer asks to end.

    Args:
        front: what takes them.
        voice: what says them.
        after_board: whether a board stood here: then it is told first how all stand, and the alarm
            learns that somebody is told what happens.
        bench: that of a rehearsal; what is newly to be seen on it is told as it comes.
    """
    ended = threading.Event()
    front.left.clear()

    def end() -> None:
        voice.why = Ending.SIGNAL
        ended.set()

    def read() -> None:
        try:
            for text in sys.stdin:
                if text.strip():
                    _take(front, voice, text.strip(), bench)
                if front.left.is_set():
                    return
            voice.why = Ending.END_OF_INPUT
        finally:
            show_typing(sys.stdin, shown=True)
            ended.set()

    if isinstance(sys.stdin, io.TextIOWrapper):
        # A byte that is no text must not end the bay, nor pass for another one.
        sys.stdin.reconfigure(encoding="utf-8", errors="surrogateescape")
    listen_for_signals(end)
    if after_board:
        voice.say(lambda: list(_standing(front.present())))
    if bench is not None:
        voice.say(lambda: list(bench.first()))
    voice.say(lambda: [*_first(front.present()), "Ready. .help lists the words."])
    threading.Thread(target=read, name="readbell-input", daemon=True).start()
    try:
        while not ended.wait(_each(after_board=after_board, bench=bench)):
            if bench is not None:
                voice.say(lambda: list(bench.newly()))
                continue
            # Behind all that is still to be said: where nobody can read it, nothing lives.
            voice.say(lambda: _beat(front))
    except OutputBlockedError:
        give_up_output()


def _each(*, after_board: bool, bench: PlainBench | None) -> float | None:
    """Return after how many seconds something is to be done though nobody typed; None: never."""
    if bench is not None:
        return LOOK_EACH
    return BEAT_EACH if after_board else None


def _take(front: Front, voice: Voice, text: str, bench: PlainBench | None = None) -> None:
    if text in (".help", "?"):
        voice.say(lambda: HELP if bench is None else (*HELP, *bench.help))
        return
    present = front.present()
    steered = None if bench is None else bench.steered(text)
    if isinstance(steered, tuple):
        voice.say(lambda: steered)
        return
    if text == ".board":
        standing = _standing if bench is None else bench.standing
        voice.say(lambda: list(standing(present)))
        return
    if text == ".stations":
        locked = present.hand.locked
        voice.say(lambda: [*stations_aloud(present.scene, masked=locked)] or [NOT_SHARED])
        return
    if text == ".plan":
        voice.say(lambda: list(plan_aloud(present.scene)))
        return
    try:
        front.process(steered or understood(text, present.hand, present.scene))
    except Exception as error:  # noqa: BLE001  # one bad line must never make a bay deaf
        words = f"no  That could not be done ({type(error).__name__}). Nothing was saved by it."
        voice.say(lambda: [words])
        return
    after = front.present()
    is_pin = isinstance(after.hand.doing, (Proving, ChoosingPin))
    show_typing(sys.stdin, shown=not is_pin)
    if not front.left.is_set():
        voice.say(lambda: list(_answer(after, bench)))


def _beat(front: Front) -> Iterator[str]:
    front.beat()
    yield from ()


def _first(present: Present) -> Iterator[str]:
    said = present.hand.said
    if said is not None:
        yield in_words(said.words)
    yield from said_aloud(present.hand, present.scene)


def _answer(present: Present, bench: PlainBench | None) -> Iterator[str]:
    said = present.hand.said
    if said is not None:
        sign = {True: "ok  ", False: "no  ", None: ""}[said.fine]
        yield f"{sign}{(in_words if bench is None else bench.spoken)(said.words)}"
    if bench is None:
        yield from said_aloud(present.hand, present.scene)
        return
    yield from said_aloud(present.hand, present.scene, advises=bench.advises, calls=bench.calls)
    yield from bench.newly()


def _standing(present: Present) -> Iterator[str]:
    scene, locked = present.scene, present.hand.locked
    yield from where_all_stand(scene.board, scene.now, scene.face, masked=locked)
