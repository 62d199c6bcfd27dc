"""How each meaning looks: the only place that knows a colour.

Colour is always the third sign, after word and place, so with no colour at all
nothing is lost: whatever is filled is reversed and bold instead.
"""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING

from rich.style import Style

from readbell.core.made_later import dataclass
from readbell.ui.ink import Token

if TYPE_CHECKING:
    from collections.abc import Mapping


class Ground(StrEnum):
    """What everything stands on."""

    DARK = "dark"
    LIGHT = "light"


class Depth(StrEnum):
    """How much colour a terminal has."""

    FULL = "full"
    SIXTEEN = "16"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Colours:
    """One set of colours; an ink is the lettering on the fill it is named after."""

    ground: str
    panel: str
    sel: str
    """Under the chosen row."""
    text: str
    soft: str
    rail: str
    hair: str
    now: str
    window: str
    eyes: str
    eyes_fill: str
    eyes_ink: str
    short: str
    short_ink: str
    hands: str
    hands_ink: str
    lost: str
    lost_ink: str
    drill: str
    drill_ink: str
    paper: str
    paper_ink: str
    band: str


DARK = Colours(
    ground="#10171F",
    panel="#18222C",
    # Of 256 colours its nearest is a dark grey; a bluer one would become a teal that eats letters.
    sel="#2A3438",
    text="#E4E9ED",
    soft="#A7B2B9",
    rail="#75899A",
    hair="#34424F",
    now="#E4E9ED",
    window="#4B80CC",
    eyes="#FFD447",
    eyes_fill="#FFD447",
    eyes_ink="#14181C",
    short="#FF7A52",
    short_ink="#14100E",
    hands="#9CF4E9",
    hands_ink="#0C1716",
    lost="#EC8BE2",
    lost_ink="#1A0F17",
    drill="#B9A7FF",
    drill_ink="#151022",
    paper="#EDE8DC",
    paper_ink="#1A232B",
    band="#7A1F3D",
)

LIGHT = Colours(
    ground="#F6F3EC",
    panel="#EAE5DA",
    sel="#E3DDD0",
    text="#1A232B",
    soft="#404852",
    rail="#67727C",
    hair="#CFC8BA",
    now="#1A232B",
    window="#1F66BC",
    # Yellow letters on paper cannot be read, so here the fill is ink and the letters are yellow.
    eyes="#1A232B",
    eyes_fill="#1A232B",
    eyes_ink="#FFD447",
    short="#BA2405",
    short_ink="#FFFFFF",
    hands="#034932",
    hands_ink="#FFFFFF",
    lost="#951581",
    lost_ink="#FFFFFF",
    drill="#5B3FB5",
    drill_ink="#FFFFFF",
    paper="#FFFFFF",
    paper_ink="#1A232B",
    band="#7A1F3D",
)

SIXTEEN = Colours(
    # One set for both grounds: a terminal's own pale ground would leave bright letters unread.
    ground="black",
    panel="black",
    sel="black",
    text="bright_white",
    soft="white",
    rail="white",
    hair="bright_black",
    now="bright_white",
    window="bright_blue",
    eyes="bright_yellow",
    eyes_fill="bright_yellow",
    eyes_ink="black",
    short="bright_red",
    short_ink="black",
    hands="bright_cyan",
    hands_ink="black",
    lost="bright_magenta",
    lost_ink="black",
    drill="white",
    drill_ink="black",
    paper="white",
    paper_ink="black",
    band="red",
)

# The ink of each meaning, and its own ground where it has one.
PAINTS: dict[Token, tuple[str, str | None]] = {
    Token.TEXT: ("text", None),
    Token.SOFT: ("soft", None),
    Token.RAIL: ("rail", None),
    Token.HAIR: ("hair", None),
    Token.NOW: ("now", None),
    Token.WINDOW: ("window", None),
    Token.EYES: ("eyes", None),
    Token.EYES_FILL: ("eyes_ink", "eyes_fill"),
    Token.SHORT: ("short", None),
    Token.SHORT_FILL: ("short_ink", "short"),
    Token.HANDS: ("hands", None),
    Token.HANDS_FILL: ("hands_ink", "hands"),
    Token.LOST: ("lost", None),
    Token.LOST_FILL: ("lost_ink", "lost"),
    Token.DRILL_FILL: ("drill_ink", "drill"),
    Token.PANEL: ("text", "panel"),
    Token.PAPER: ("paper_ink", "paper"),
    Token.BAND: ("band", "paper"),
}

# What is said without colour; the rest is plain, so that these stand out.
BOLD_WITHOUT_COLOUR = frozenset(
    {
        Token.NOW,
        Token.EYES,
        Token.EYES_FILL,
        Token.SHORT,
        Token.SHORT_FILL,
        Token.HANDS,
        Token.HANDS_FILL,
        Token.LOST,
        Token.LOST_FILL,
    }
)
REVERSED_WITHOUT_COLOUR = frozenset(
    {
        Token.EYES_FILL,
        Token.SHORT_FILL,
        Token.HANDS_FILL,
        Token.LOST_FILL,
        Token.DRILL_FILL,
    }
)

# Terminals by the first word of their name: those that show no colour, and those with sixteen.
COLOURLESS_TERMINALS = ("dumb", "unknown", "vt")
SIXTEEN_COLOUR_TERMINALS = ("linux", "ansi", "cons", "pcansi")
MANY_COLOURS = ("256color", "direct", "truecolor")


def colours_of(ground: Ground, depth: Depth) -> Colours:
    """Return the colours to paint with; without colour there are none to ask for."""
    if depth is Depth.SIXTEEN:
        return SIXTEEN
    return LIGHT if ground is Ground.LIGHT else DARK


@cache
def style_of(
    token: Token, *, ground: Ground, depth: Depth, bold: bool = False, chosen: bool = False
) -> Style:
    """Return how a piece with this meaning looks, `chosen` if it stands in the chosen row."""
    if depth is Depth.NONE:
        return Style(
            bold=(bold or token in BOLD_WITHOUT_COLOUR) or None,
            reverse=token in REVERSED_WITHOUT_COLOUR or None,
        )
    colours = colours_of(ground, depth)
    ink, own_ground = PAINTS[token]
    under = own_ground or ("sel" if chosen else "ground")
    # Where bold is shown by a brighter colour, black on a fill would turn grey and red on paper
    # pale: with sixteen colours a piece on a ground of its own is never bold.
    heavy = bold and not (depth is Depth.SIXTEEN and own_ground)
    return Style(color=getattr(colours, ink), bgcolor=getattr(colours, under), bold=heavy or None)


@cache
def ground_style(*, ground: Ground, depth: Depth, chosen: bool = False) -> Style:
    """Return how an empty cell looks."""
    if depth is Depth.NONE:
        return Style()
    colours = colours_of(ground, depth)
    return Style(bgcolor=colours.sel if chosen else colours.ground)


def depth_of(environment: Mapping[str, str], colours: str | None = None) -> Depth:
    """Return how much colour to use: what was set, or else what the terminal says of itself.

    `colours` is a setting ("full", "16" or "none"). It comes first because a person
    made it for this program, while the environment speaks to all of them.
    """
    if colours is not None:
        return Depth(colours)
    if environment.get("NO_COLOR"):
        return Depth.NONE
    terminal = environment.get("TERM", "").lower()
    if not terminal:
        # Windows names no terminal, and its own ones show every colour.
        return Depth.FULL if environment.get("OS") == "Windows_NT" else Depth.NONE
    if terminal.startswith(COLOURLESS_TERMINALS) or terminal.endswith(("-m", "-mono")):
        return Depth.NONE
    if terminal.startswith(SIXTEEN_COLOUR_TERMINALS):
        return Depth.SIXTEEN
    if environment.get("COLORTERM", "").lower() in {"truecolor", "24bit"}:
        return Depth.FULL
    return Depth.FULL if terminal.endswith(MANY_COLOURS) else Depth.SIXTEEN
