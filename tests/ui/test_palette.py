"""Each meaning has a look, with all colours, with sixteen and with none."""

from __future__ import annotations

from itertools import product

import pytest

from readbell.ui.ink import Token
from readbell.ui.palette import Depth, Ground, colours_of, depth_of, ground_style, style_of

FILLS = [token for token in Token if token.endswith("-fill")]
PAINTED = (Depth.FULL, Depth.SIXTEEN)


@pytest.mark.parametrize("depth", PAINTED)
@pytest.mark.parametrize("ground", Ground)
@pytest.mark.parametrize("token", Token)
def test_every_meaning_has_ink_and_ground(token: Token, ground: Ground, depth: Depth) -> None:
    """A terminal's own ground may be of any colour, so none of it is left to show."""
    style = style_of(token, ground=ground, depth=depth)

    assert style.color is not None
    assert style.bgcolor is not None
    assert not style.dim


@pytest.mark.parametrize(
    ("token", "bold", "chosen", "ground"),
    list(product(Token, (False, True), (False, True), Ground)),
)
def test_without_colour_there_is_none_at_all(
    token: Token, bold: bool, chosen: bool, ground: Ground
) -> None:
    """No grey either: some terminals show it as nothing."""
    style = style_of(token, ground=ground, depth=Depth.NONE, bold=bold, chosen=chosen)

    assert style.color is None
    assert style.bgcolor is None
    assert not style.dim
    assert ground_style(ground=ground, depth=Depth.NONE, chosen=chosen).bgcolor is None


@pytest.mark.parametrize("token", FILLS)
def test_what_a_fill_says_is_reversed_without_colour(token: Token) -> None:
    """A fill means look now, and must not be lost with the colours."""
    assert style_of(token, ground=Ground.DARK, depth=Depth.NONE).reverse


@pytest.mark.parametrize(
    "token", [Token.EYES_FILL, Token.SHORT_FILL, Token.EYES, Token.SHORT, Token.HANDS, Token.LOST]
)
def test_what_calls_somebody_is_bold_without_colour(token: Token) -> None:
    """The calm rows around it are plain, so it is seen."""
    assert style_of(token, ground=Ground.DARK, depth=Depth.NONE).bold
    assert not style_of(Token.TEXT, ground=Ground.DARK, depth=Depth.NONE).bold


@pytest.mark.parametrize(("ground", "depth"), list(product(Ground, PAINTED)))
def test_the_chosen_row_has_its_own_ground_but_not_under_fills(
    ground: Ground, depth: Depth
) -> None:
    """A choice must never make an alarm paler."""
    chosen = ground_style(ground=ground, depth=depth, chosen=True).bgcolor

    for token in (Token.TEXT, Token.SOFT, Token.RAIL, Token.WINDOW, Token.SHORT):
        assert style_of(token, ground=ground, depth=depth, chosen=True).bgcolor == chosen
    for token in [*FILLS, Token.PANEL, Token.PAPER, Token.BAND]:
        assert style_of(token, ground=ground, depth=depth, chosen=True) == style_of(
            token, ground=ground, depth=depth
        )


@pytest.mark.parametrize("ground", Ground)
def test_with_all_colours_the_chosen_row_is_told_apart(ground: Ground) -> None:
    """With fewer the brackets round the tag say it alone."""
    assert ground_style(ground=ground, depth=Depth.FULL) != ground_style(
        ground=ground, depth=Depth.FULL, chosen=True
    )


@pytest.mark.parametrize("token", [*FILLS, Token.PAPER, Token.BAND])
def test_with_sixteen_colours_nothing_on_its_own_ground_is_bold(token: Token) -> None:
    """Old terminals show bold black as grey, which a red fill swallows."""
    assert not style_of(token, ground=Ground.DARK, depth=Depth.SIXTEEN, bold=True).bold
    assert style_of(token, ground=Ground.DARK, depth=Depth.FULL, bold=True).bold


def test_sixteen_colours_are_the_terminals_own() -> None:
    """A colour by number would be one that such a terminal does not have."""
    for token in Token:
        style = style_of(token, ground=Ground.LIGHT, depth=Depth.SIXTEEN)
        assert style.color is not None
        assert style.color.number is not None
        assert style.color.number < 16


def test_the_two_grounds_differ() -> None:
    """Light is for a bench by the window, dark for a room at night."""
    assert colours_of(Ground.DARK, Depth.FULL) != colours_of(Ground.LIGHT, Depth.FULL)


@pytest.mark.parametrize(
    ("environment", "depth"),
    [
        pytest.param({"TERM": "xterm-256color"}, Depth.FULL, id="256 colours"),
        pytest.param({"TERM": "XTERM-256COLOR"}, Depth.FULL, id="in capitals"),
        pytest.param({"TERM": "xterm-direct"}, Depth.FULL, id="direct colour"),
        pytest.param({"TERM": "xterm", "COLORTERM": "truecolor"}, Depth.FULL, id="true colour"),
        pytest.param({"TERM": "xterm"}, Depth.SIXTEEN, id="says no more"),
        pytest.param({"TERM": "linux"}, Depth.SIXTEEN, id="a bare console"),
        pytest.param({"TERM": "linux", "COLORTERM": "truecolor"}, Depth.SIXTEEN, id="left over"),
        pytest.param({"TERM": "ansi"}, Depth.SIXTEEN, id="ansi"),
        pytest.param({"TERM": "vt100"}, Depth.NONE, id="an old glass terminal"),
        pytest.param({"TERM": "vt220"}, Depth.NONE, id="a later one"),
        pytest.param({"TERM": "dumb"}, Depth.NONE, id="dumb"),
        pytest.param({"TERM": "xterm-mono"}, Depth.NONE, id="one colour"),
        pytest.param({}, Depth.NONE, id="nothing known"),
        pytest.param({"OS": "Windows_NT"}, Depth.FULL, id="Windows names no terminal"),
        pytest.param({"NO_COLOR": "1", "TERM": "xterm-256color"}, Depth.NONE, id="NO_COLOR"),
        pytest.param({"NO_COLOR": "1", "OS": "Windows_NT"}, Depth.NONE, id="NO_COLOR, Windows"),
        pytest.param({"NO_COLOR": "", "TERM": "xterm-256color"}, Depth.FULL, id="NO_COLOR empty"),
    ],
)
def test_the_terminal_says_how_much_colour_it_has(
    environment: dict[str, str], depth: Depth
) -> None:
    """NO_COLOR counts when it is set and not empty, as its definition asks."""
    assert depth_of(environment) is depth


@pytest.mark.parametrize(
    ("colours", "depth"), [("none", Depth.NONE), ("16", Depth.SIXTEEN), ("full", Depth.FULL)]
)
@pytest.mark.parametrize("environment", [{"NO_COLOR": "1"}, {"TERM": "dumb"}, {}])
def test_a_setting_comes_first(environment: dict[str, str], colours: str, depth: Depth) -> None:
    """It was made for this program, by somebody who saw what its screen looks like."""
    assert depth_of(environment, colours) is depth
