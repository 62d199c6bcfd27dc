"""The palette can be read: held to WCAG 2.2, and to what colour-blind eyes are said to see.

Everything is worked out here, from the colours that are really painted, by formulas
that are first held to published figures.

Relative luminance: W3C, WCAG 2.2, "MathML version of the relative luminance definition", read
as a stored copy of the W3C's own page. Contrast ratio and the thresholds (text 4.5, parts that
are no text 3): WCAG 2.x as restated in the documentation of several libraries.
"""

from __future__ import annotations

from itertools import combinations
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt

import pytest
from rich.color import Color, ColorSystem

from readbell.ui.ink import Token
from readbell.ui.palette import Colours, Depth, Ground, colours_of, ground_style, style_of

Triple = tuple[float, float, float]

TEXT_NEEDS = 4.5
OTHER_PARTS_NEED = 3.0

# What the sixteen names mean on the video adapter that gave them to us (from memory); a
# terminal may have others of its own.
ADAPTER = dict(
    zip(
        [
            *("black", "red", "green", "yellow", "blue", "magenta", "cyan", "white"),
            *("bright_black", "bright_red", "bright_green", "bright_yellow"),
            *("bright_blue", "bright_magenta", "bright_cyan", "bright_white"),
        ],
        [
            *("#000000", "#AA0000", "#00AA00", "#AA5500"),
            *("#0000AA", "#AA00AA", "#00AAAA", "#AAAAAA"),
            *("#555555", "#FF5555", "#55FF55", "#FFFF55"),
            *("#5555FF", "#FF55FF", "#55FFFF", "#FFFFFF"),
        ],
        strict=True,
    )
)
PALETTES = [
    pytest.param(Ground.DARK, Depth.FULL, id="dark"),
    pytest.param(Ground.LIGHT, Depth.FULL, id="light"),
    pytest.param(Ground.DARK, Depth.SIXTEEN, id="sixteen, dark"),
    pytest.param(Ground.LIGHT, Depth.SIXTEEN, id="sixteen, light"),
]
NO_WORDS = {Token.RAIL, Token.NOW, Token.WINDOW, Token.BAND}
SAYS_NOTHING = {Token.HAIR}


def palettes() -> tuple[Colours, Colours, Colours]:
    """The three sets of colours there are."""
    return (
        colours_of(Ground.DARK, Depth.FULL),
        colours_of(Ground.LIGHT, Depth.FULL),
        colours_of(Ground.DARK, Depth.SIXTEEN),
    )


def rgb(colour: str) -> Triple:
    """The red, green and blue of a colour by name or by figures, from 0 to 1."""
    figures = ADAPTER.get(colour, colour).removeprefix("#")
    red, green, blue = (int(figures[at : at + 2], 16) / 255 for at in (0, 2, 4))
    return red, green, blue


def linear(colour: Triple, border: float = 0.04045) -> Triple:
    """A colour as amounts of light."""
    red, green, blue = (
        part / 12.92 if part <= border else ((part + 0.055) / 1.055) ** 2.4 for part in colour
    )
    return red, green, blue


def luminance(colour: str) -> float:
    """How bright a colour is, from 0 to 1."""
    red, green, blue = linear(rgb(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours, from 1 to 21."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def painted(token: Token, ground: Ground, depth: Depth, *, chosen: bool) -> tuple[str, str]:
    """The ink and the ground that a token is really painted with."""
    style = style_of(token, ground=ground, depth=depth, chosen=chosen)
    assert style.color is not None
    assert style.bgcolor is not None
    return style.color.name, style.bgcolor.name


@pytest.mark.parametrize(
    ("one", "other", "published"),
    [
        # The range of the ratio, as WCAG 2.x gives it.
        pytest.param("#000000", "#FFFFFF", 21.0, id="black on white"),
        pytest.param("#123456", "#123456", 1.0, id="a colour on itself"),
        # Documentation of a contrast library; the second in two sources.
        pytest.param("#777777", "#FFFFFF", 4.48, id="a grey that just fails"),
        pytest.param("#767676", "#FFFFFF", 4.54, id="a grey that just passes"),
        # Wiki of a library, and the live book of a technical publisher.
        pytest.param("#FFFF00", "#FFFFFF", 1.07, id="yellow on white"),
        pytest.param("#0000FF", "#FFFFFF", 8.59, id="blue on white"),
        pytest.param("#0000FF", "#FF0000", 2.15, id="blue on red"),
    ],
)
def test_the_ratio_agrees_with_published_ones(one: str, other: str, published: float) -> None:
    """A wrong formula would let an unreadable pair pass."""
    assert round(contrast(one, other), 2) == published
    assert contrast(one, other) == contrast(other, one)


def test_the_older_border_of_the_formula_gives_the_same_ratios() -> None:
    """WCAG says that the change from 0.03928 to 0.04045 has no practical effect."""
    for level in range(256):
        part = level / 255
        assert linear((part,) * 3, 0.03928) == linear((part,) * 3, 0.04045)


@pytest.mark.parametrize(("ground", "depth"), PALETTES)
@pytest.mark.parametrize("chosen", [False, True], ids=["", "chosen"])
@pytest.mark.parametrize("token", [token for token in Token if token not in SAYS_NOTHING])
def test_what_is_painted_can_be_read(
    token: Token, chosen: bool, ground: Ground, depth: Depth
) -> None:
    """Tired eyes, a bench lamp on the glass, and a window behind the screen."""
    ink, under = painted(token, ground, depth, chosen=chosen)

    needed = OTHER_PARTS_NEED if token in NO_WORDS else TEXT_NEEDS
    assert contrast(ink, under) >= needed


@pytest.mark.parametrize(("ground", "depth"), PALETTES)
def test_what_is_filled_stands_out_from_the_ground(ground: Ground, depth: Depth) -> None:
    """A fill is a sign by itself, seen before its words are read."""
    under = ground_style(ground=ground, depth=depth).bgcolor
    assert under is not None

    for token in Token:
        if token.endswith("-fill"):
            fill = painted(token, ground, depth, chosen=False)[1]
            assert contrast(fill, under.name) >= OTHER_PARTS_NEED, token


# The table of the design, worked out by its own script: dark, light, sixteen colours.
@pytest.mark.parametrize(
    ("ink", "under", "ratios"),
    [
        pytest.param("text", "ground", (14.8, 14.4, 21.0), id="text on ground"),
        pytest.param("text", "panel", (13.2, 12.7, 21.0), id="text on panel"),
        pytest.param("text", "sel", (10.4, 11.8, 21.0), id="text on sel"),
        pytest.param("soft", "ground", (8.3, 8.4, 9.0), id="soft on ground"),
        pytest.param("soft", "panel", (7.4, 7.4, 9.0), id="soft on panel"),
        pytest.param("soft", "sel", (5.9, 6.8, 9.0), id="soft on sel"),
        pytest.param("eyes", "ground", (12.7, 14.4, 19.7), id="eyes on ground"),
        pytest.param("eyes_ink", "eyes_fill", (12.5, 11.2, 19.7), id="ink on eyes"),
        pytest.param("short", "ground", (7.0, 5.7, 6.7), id="short on ground"),
        pytest.param("short", "sel", (5.0, 4.6, 6.7), id="short on sel"),
        pytest.param("short_ink", "short", (7.3, 6.3, 6.7), id="ink on short"),
        pytest.param("hands", "ground", (14.2, 9.5, 17.1), id="hands on ground"),
        pytest.param("hands", "sel", (10.0, 7.7, 17.1), id="hands on sel"),
        pytest.param("hands_ink", "hands", (14.4, 10.5, 17.1), id="ink on hands"),
        pytest.param("lost", "ground", (8.0, 7.0, 8.0), id="lost on ground"),
        pytest.param("lost", "sel", (5.7, 5.7, 8.0), id="lost on sel"),
        pytest.param("lost_ink", "lost", (8.3, 7.8, 8.0), id="ink on lost"),
        pytest.param("drill_ink", "drill", (8.9, 7.4, 9.0), id="ink on drill"),
        pytest.param("paper_ink", "paper", (13.0, 15.9, 9.0), id="ink on paper"),
    ],
)
def test_every_pair_of_words_is_as_designed(
    ink: str, under: str, ratios: tuple[float, float, float]
) -> None:
    """A colour changed in passing is a colour nobody looked at."""
    for colours, designed in zip(palettes(), ratios, strict=True):
        found = contrast(getattr(colours, ink), getattr(colours, under))
        assert round(found, 1) == designed
        assert found >= TEXT_NEEDS


@pytest.mark.parametrize(
    ("ink", "under", "ratios"),
    [
        pytest.param("now", "ground", (14.8, 14.4, 21.0), id="now"),
        pytest.param("rail", "ground", (5.0, 4.4, 9.0), id="rail on ground"),
        pytest.param("rail", "sel", (3.5, 3.6, 9.0), id="rail on sel"),
        pytest.param("window", "ground", (4.5, 5.1, 4.1), id="window on ground"),
        pytest.param("window", "sel", (3.2, 4.2, 4.1), id="window on sel"),
        pytest.param("band", "paper", (8.2, 10.0, 3.3), id="band on paper"),
        pytest.param("drill", "ground", (8.6, 6.7, 9.0), id="drill on ground"),
    ],
)
def test_every_other_pair_is_as_designed(
    ink: str, under: str, ratios: tuple[float, float, float]
) -> None:
    """Bars and bands are no words, and must be seen all the same."""
    for colours, designed in zip(palettes(), ratios, strict=True):
        found = contrast(getattr(colours, ink), getattr(colours, under))
        assert round(found, 1) == designed
        assert found >= OTHER_PARTS_NEED


@pytest.mark.parametrize("ground", Ground)
@pytest.mark.parametrize("chosen", [False, True], ids=["", "chosen"])
@pytest.mark.parametrize("token", [token for token in Token if token not in SAYS_NOTHING])
def test_the_nearest_of_256_colours_can_be_read_too(
    token: Token, chosen: bool, ground: Ground
) -> None:
    """Many terminals have these alone, and the drawing library picks the nearest for them."""
    nearest = [
        Color.parse(colour).downgrade(ColorSystem.EIGHT_BIT).get_truecolor().hex
        for colour in painted(token, ground, Depth.FULL, chosen=chosen)
    ]

    needed = OTHER_PARTS_NEED if token in NO_WORDS else TEXT_NEEDS
    assert contrast(*nearest) >= needed


# Machado, Oliveira and Fernandes 2009, "A Physiologically-based Model for Simulation of Color
# Vision Deficiency", full severity, on linear light. The paper was not opened: the figures are
# from memory and agree with several public programs that name it.
SIGHTS: dict[str, tuple[Triple, Triple, Triple]] = {
    "usual": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


def lab(colour: str, sight: str) -> Triple:
    """Where a colour lies in CIELAB (white D65) for one kind of eyes."""
    light = linear(rgb(colour))
    red, green, blue = (
        min(1.0, max(0.0, sum(part * share for part, share in zip(light, row, strict=True))))
        for row in SIGHTS[sight]
    )
    white = (0.95047, 1.0, 1.08883)
    parts = (
        0.4124564 * red + 0.3575761 * green + 0.1804375 * blue,
        0.2126729 * red + 0.7151522 * green + 0.0721750 * blue,
        0.0193339 * red + 0.1191920 * green + 0.9503041 * blue,
    )
    x, y, z = (
        value ** (1 / 3) if value > (6 / 29) ** 3 else value / (3 * (6 / 29) ** 2) + 4 / 29
        for value in (part / most for part, most in zip(parts, white, strict=True))
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def difference(one: Triple, other: Triple) -> float:
    """How different two colours look, by CIEDE2000."""
    chroma = (hypot(one[1], one[2]) + hypot(other[1], other[2])) / 2
    stretch = 1.5 - 0.5 * sqrt(chroma**7 / (chroma**7 + 25**7))
    c1, c2 = (hypot(stretch * colour[1], colour[2]) for colour in (one, other))
    h1, h2 = (degrees(atan2(colour[2], stretch * colour[1])) % 360 for colour in (one, other))
    turn, around = 0.0, h1 + h2
    if c1 * c2:
        turn = (h2 - h1 + 180) % 360 - 180
        around = (h1 + h2) / 2 if abs(h1 - h2) <= 180 else ((h1 + h2 + 360) / 2) % 360
    light, chroma = (one[0] + other[0]) / 2, (c1 + c2) / 2
    share = (
        1
        - 0.17 * cos(radians(around - 30))
        + 0.24 * cos(radians(2 * around))
        + 0.32 * cos(radians(3 * around + 6))
        - 0.20 * cos(radians(4 * around - 63))
    )
    by_light = (other[0] - one[0]) / (1 + 0.015 * (light - 50) ** 2 / sqrt(20 + (light - 50) ** 2))
    by_chroma = (c2 - c1) / (1 + 0.045 * chroma)
    by_hue = 2 * sqrt(c1 * c2) * sin(radians(turn) / 2) / (1 + 0.015 * chroma * share)
    lean = -sin(radians(60 * exp(-(((around - 275) / 25) ** 2))))
    lean *= 2 * sqrt(chroma**7 / (chroma**7 + 25**7))
    return sqrt(by_light**2 + by_chroma**2 + by_hue**2 + lean * by_chroma * by_hue)


@pytest.mark.parametrize(
    ("one", "other", "published"),
    [
        # Sharma, Wu and Dalal 2005, "The CIEDE2000 Color-Difference Formula", table 1, as given
        # in the tests of several public programs; the paper was not opened.
        ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
        ((50.0, 3.1571, -77.2803), (50.0, 0.0, -82.7485), 2.8615),
        ((50.0, -1.3802, -84.2814), (50.0, 0.0, -82.7485), 1.0000),
        ((50.0, 0.0, 0.0), (50.0, -1.0, 2.0), 2.3669),
        ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0009), 7.1792),
        ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0011), 7.2195),
        ((50.0, 2.5, 0.0), (50.0, 0.0, -2.5), 4.3065),
        ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
        ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
    ],
)
def test_the_difference_agrees_with_published_ones(
    one: Triple, other: Triple, published: float
) -> None:
    """The pairs were chosen by their authors to find the usual mistakes."""
    assert round(difference(one, other), 4) == published
    assert round(difference(other, one), 4) == published


@pytest.mark.parametrize(("colours", "least"), list(zip(palettes(), (13, 30, 20), strict=True)))
@pytest.mark.parametrize("sight", SIGHTS)
def test_read_now_is_never_taken_for_closing(colours: Colours, least: int, sight: str) -> None:
    """The two fills are the pair that matters: the second has two minutes left."""
    assert difference(lab(colours.eyes_fill, sight), lab(colours.short, sight)) >= least


@pytest.mark.parametrize("colours", palettes(), ids=["dark", "light", "sixteen"])
@pytest.mark.parametrize("sight", SIGHTS)
def test_no_two_states_look_alike(colours: Colours, sight: str) -> None:
    """Words and signs tell them apart as well; 9 is what the weakest pair was designed with."""
    states = [
        colours.window,
        colours.hands,
        colours.eyes,
        colours.short,
        colours.lost,
        colours.soft,
    ]

    for one, other in combinations(states, 2):
        assert round(difference(lab(one, sight), lab(other, sight)), 1) >= 9.0


def test_each_matrix_leaves_white_white() -> None:
    """Eyes of every kind call the same thing white, so each row adds up to one."""
    for rows in SIGHTS.values():
        for row in rows:
            assert sum(row) == pytest.approx(1, abs=1e-5)
