"""What comes from a person: a scan, typed words, a key that no scanner sends."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum

from readbell.core.cartridge.events import How
from readbell.core.made_later import dataclass


class Key(StrEnum):
    """Keys by what they do. No letter and no digit is among them: scanners type those."""

    START = "start"
    DONE = "done"
    LOOK = "look"
    READ = "read"
    SECOND = "second"
    """The page's own second thing."""
    HEARD = "heard"
    ROOMS = "rooms"
    VOID = "void"
    HELP = "help"
    LEAVE = "leave"
    UP = "up"
    DOWN = "down"
    LEFT = "left"
    RIGHT = "right"
    PAGE_UP = "page-up"
    PAGE_DOWN = "page-down"
    HOME = "home"
    BACK = "back"


@dataclass(frozen=True, slots=True)
class Scanned:
    """A text that ended with Enter, and whether a scanner or a person typed it."""

    text: str = field(repr=False)
    how: How = How.SCANNED


@dataclass(frozen=True, slots=True)
class Pressed:
    """A key was pressed on purpose; what stood in the scan line then was typed for it."""

    key: Key
    typed: str = field(default="", repr=False)
    in_words: bool = False
    """Whether it was written out, in plain lines: no glove strikes a word twice."""


class Steer(StrEnum):
    """What the keys do that only a rehearsal has; none of them is a key of the live board."""

    SPEED = "speed"
    """The clock stands still, or goes on; with a number, so many times as fast."""
    ANSWER = "answer"
    """What was typed goes to whoever broke into the work."""
    ONWARD = "onward"
    """The clock leaps to the next thing that happens."""


@dataclass(frozen=True, slots=True)
class Steered:
    """A key of a rehearsal was pressed; no hand ever sees it."""

    steer: Steer
    typed: str = field(default="", repr=False)
    """What stood in the scan line."""


@dataclass(frozen=True, slots=True)
class Chose:
    """One of the answers on the screen was picked straight: with the mouse, or in plain lines."""

    question: str
    answer: str


@dataclass(frozen=True, slots=True)
class PointedAt:
    """A row of the board was clicked: that chooses its cartridge, and does nothing more."""

    cartridge: str
    """The opaque id."""


@dataclass(frozen=True, slots=True)
class Faulty:
    """Something came in that is no ID: several at once, or signs that were lost."""

    why: str
    """A whole sentence: what is so, what to do."""


@dataclass(frozen=True, slots=True)
class Idle:
    """Nobody has given anything for as long as the site allows; the program gives it itself."""


Given = Scanned | Pressed | Chose | PointedAt | Faulty | Idle | Steered
