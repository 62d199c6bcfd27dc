"""A rehearsal in plain lines: what any board takes and says so, and the bench beside it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from readbell.core.practice.assist import Assist
from readbell.hand.aloud import in_words
from readbell.hand.given import Steer, Steered
from readbell.phrases.bench_words import LONGEST_SPEED, say_began, say_leapt
from readbell.phrases.board_words import uncalled
from readbell.phrases.standing import NOTHING_RUNS, where_all_stand
from readbell.phrases.whose import say_subject
from readbell.ui.bench_aloud import (
    NOTHING_CHOSEN,
    Heard,
    began_aloud,
    bench_aloud,
    newly_aloud,
    strip_aloud,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.hand.given import Given
    from readbell.ui.front import Present
    from readbell.ui.rehearsal_front import RehearsalFront

HELP = (
    "In a rehearsal alone:",
    ".go  the clock goes, .go 20 so many times as fast     .stop  it stands still",
    ".leap  to the next thing that happens     .answer WORDS  to whoever broke in     .noted",
    ".bench  what is to be seen and heard     .strip  how the strip of the chosen cartridge looks",
)
NOT_ADVISED = "Nothing is advised at this level of help."
SAY_A_SPEED = f"Say .go and a speed from 1 to {LONGEST_SPEED}."
_SPOKEN = (
    ("Type the answer, then F10.", "Say .answer and the answer."),
    ("type it, then F10.", "say .answer and the answer."),
    ("F10: noted.", "Say .noted."),
    ("type a speed, then F7.", "say .go 20, or another speed."),
    ("F7 lets time pass", ".go 20 lets time pass"),
)
"""Sentences of which a key is not the whole: first."""
_KEYS = {"F7": ".go", "F10": ".answer", "F11": ".leap", "Ctrl+Q": ".leave"}
_KEY = re.compile(r"\bF7\b|\bF10\b|\bF11\b|Ctrl\+Q")


def spoken(text: str) -> str:
    """Return a sentence with each key called by the word that does the same in these lines."""
    for shown, said in _SPOKEN:
        text = text.replace(shown, said)
    return in_words(_KEY.sub(lambda found: _KEYS[found[0]], text))


class PlainBench:
    """What lines tell and take of the bench of one rehearsal."""

    def __init__(self, front: RehearsalFront, assist: Assist) -> None:
        self._front = front
        self._assist = assist
        self._told = Heard()

    @property
    def advises(self) -> bool:
        """Whether anything is advised."""
        return self._assist is Assist.FULL

    @property
    def calls(self) -> bool:
        """Whether it is told what is due; an examination never speaks first."""
        return self._assist is not Assist.SILENT

    @property
    def help(self) -> tuple[str, ...]:
        """The words that only a rehearsal has."""
        return HELP

    def spoken(self, text: str) -> str:
        """Return a sentence in the words of these lines."""
        return spoken(text)

    def first(self) -> Iterator[str]:
        """Yield what is told before anything is done."""
        stand, _ = self._front.on_bench(self._front.present())
        yield from (spoken(each) for each in began_aloud(stand))
        yield from self.newly()

    def newly(self) -> Iterator[str]:
        """Yield what is newly to be seen and heard; asked for by one thread alone."""
        present = self._front.present()
        stand, bench = self._front.on_bench(present)
        self._told, lines = newly_aloud(self._told, bench, stand, present.hand.doing)
        yield from (spoken(each) for each in lines)

    def steered(self, text: str) -> Given | tuple[str, ...] | None:
        """Return what a word of a rehearsal gives, or says; None: it is no such word."""
        word, _, more = text.partition(" ")
        typed, speed = more.strip(), self._front.speed
        match word.lower():
            case ".go" if typed and not (typed.isascii() and typed.isdigit()):
                return (f"no  {SAY_A_SPEED}",)
            case ".go" if speed and not typed:
                return Steered(Steer.SPEED, str(speed))
            case ".go":
                return Steered(Steer.SPEED, typed)
            case ".stop":
                return Steered(Steer.SPEED, "0")
            case ".leap":
                return Steered(Steer.ONWARD)
            case ".answer" | ".noted":
                return Steered(Steer.ANSWER, typed)
            case ".bench" | ".strip":
                return tuple(self._seen(whole=word.lower() == ".bench"))
            case ".plan" if not self.advises:
                return (NOT_ADVISED,)
            case _:
                return None

    def standing(self, present: Present) -> Iterator[str]:
        """Yield where all stand; in an examination what was done last, and how long ago."""
        scene = present.scene
        if self.calls:
            yield from where_all_stand(scene.board, scene.now, scene.face)
            return
        if not scene.board.running:
            yield NOTHING_RUNS
        for cartridge in scene.board.running.values():
            stands = uncalled(cartridge, scene.now)
            whose = say_subject(cartridge, scene.board)
            yield f"{cartridge.label}  {whose}  {stands.word} {stands.figure(scene.now)}".rstrip()

    def _seen(self, *, whole: bool) -> Iterator[str]:
        present = self._front.present()
        stand, bench = self._front.on_bench(present)
        if whole:
            scene = present.scene
            yield f"{say_leapt(scene.face.time(scene.now))} {spoken(say_began(stand.speed))}"
            yield from (spoken(each) for each in bench_aloud(bench, stand))
        elif bench.device is None:
            yield NOTHING_CHOSEN
        else:
            yield strip_aloud(bench.device, stand)
