"""The shapes of the large letters, drawn as they look.

In each sheet a letter stands above its form. `#` is a whole cell, `^` its upper
half, `_` its lower half. Three rows in ASCII alone are made of strokes instead,
as nothing else fits there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

Form = tuple[str, ...]

_FIVE_ROWS = """
0       1       2       3       4       5       6       7       8       9
######    ##    ######  ######  ##  ##  ######  ######  ######   ####   ######
##  ##  ####        ##      ##  ##  ##  ##      ##          ##  ##  ##  ##  ##
##  ##    ##    ######   #####  ######  #####   ######     ##    ####   ######
##  ##    ##    ##          ##      ##      ##  ##  ##    ##    ##  ##      ##
######  ######  ######  ######      ##  #####   ######    ##     ####   ######

A       B       C       D       E       F       G       H       I       J
 ####   #####   ######  ####    ######  ######   #####  ##  ##  ######     ###
##  ##  ##  ##  ##      ## ##   ##      ##      ##      ##  ##    ##        ##
######  #####   ##      ##  ##  #####   #####   ## ###  ######    ##        ##
##  ##  ##  ##  ##      ## ##   ##      ##      ##  ##  ##  ##    ##    ##  ##
##  ##  #####   ######  ####    ######  ##       #####  ##  ##  ######   ####

K       L       M         N        O       P       Q       R       S       T
##  ##  ##      ##    ##  ##   ##   ####   #####    ####   #####    ####   ######
## ##   ##      ###  ###  ###  ##  ##  ##  ##  ##  ##  ##  ##  ##  ##        ##
####    ##      ########  #######  ##  ##  #####   ##  ##  #####    ####     ##
## ##   ##      ## ## ##  ##  ###  ##  ##  ##      ## ##   ## ##       ##    ##
##  ##  ######  ##    ##  ##   ##   ####   ##       ## ##  ##  ##   ####     ##

U       V       W         X       Y       Z       :   +       -     !   >
##  ##  ##  ##  ##    ##  ##  ##  ##  ##  ######                    ##  ##
##  ##  ##  ##  ##    ##   ####   ##  ##     ##   ##    ##          ##   ###
##  ##  ##  ##  ## ## ##    ##     ####     ##        ######  ####  ##     ##
##  ##   ####   ########   ####     ##     ##     ##    ##               ###
 ####     ##    ###  ###  ##  ##    ##    ######                    ##  ##
"""

# Taller forms that are not the five rows with two of them doubled.
_SEVEN_ROWS = """
1       7       G       K       N        Q       R       W         Z       >
  ##    ######   #####  ##  ##  ##   ##   ####   #####   ##    ##  ######  ##
####        ##  ##      ##  ##  ###  ##  ##  ##  ##  ##  ##    ##      ##   ##
  ##        ##  ##      ## ##   ###  ##  ##  ##  ##  ##  ##    ##     ##     ##
  ##       ##   ## ###  ####    #######  ##  ##  #####   ## ## ##    ##       ##
  ##      ##    ##  ##  ## ##   ##  ###  ##  ##  ####    ########   ##       ##
  ##      ##    ##  ##  ##  ##  ##  ###  ## ##   ## ##   ###  ###  ##       ##
######    ##     #####  ##  ##  ##   ##   ## ##  ##  ##  ##    ##  ######  ##
"""

_THREE_ROWS = """
0     1     2     3     4     5     6     7     8     9
#^^#   _#   ^^^#  ^^^#  #  #  #^^^  _^^^  ^^^#  _^^_  _^^_
#  #    #   _^^^   ^^#  ^^^#  ^^^_  #^^_    _^  _^^_  ^__#
#__#   _#_  #___  ___#     #  ___^  ^__^   #    ^__^  ___^

A     B     C     D     E     F     G     H     I     J
_^^_  #^^_  #^^^  #^_   #^^^  #^^^  _^^^  #  #  ^#^     ^#
#__#  #^^_  #     #  #  #^^^  #^^   # ^#  #^^#   #       #
#  #  #__^  #___  #_^   #___  #     ^__#  #  #  _#_   ^__^

K     L     M      N      O     P     Q     R     S     T
# _^  #     #_ _#  #_  #  _^^_  #^^_  _^^_  #^^_  _^^^  ^^#^^
#^_   #     # # #  # ^_#  #  #  #__^  #  #  #^#^   ^^_    #
#  #  #___  #   #  #   #  ^__^  #     ^_^_  #  #  ___^    #

U     V      W      X      Y      Z     :  +    -   !  >
#  #  #   #  #   #  ^_ _^  ^_ _^  ^^^#  _   _       #  ^_
#  #  ^_ _^  # # #    #      #     _^      ^#^  ^^  #   _^
^__^    #    #^ ^#  _^ ^_    #    #___  ^           _  ^
"""

_STROKES = r"""
0    1    2    3    4    5    6    7    8    9
 _         _    _         _    _    _    _    _
| |    |   _|   _|  |_|  |_   |_     |  |_|  |_|
|_|    |  |_    _|    |   _|  |_|    |  |_|   _|

A    B    C    D    E    F    G    H    I    J
 _   __    __  __    __   __   __        ___    _
/_\  |_)  |    | \  |_   |_   | _   |_|   |     |
| |  |_)  |__  |_/  |__  |    |_|   | |  _|_  \_/

K    L    M     N     O    P    Q    R    S    T
                       _    _    _    _    __  ___
|/   |    |\/|  |\ |  / \  |_)  / \  |_)  (_    |
|\   |__  |  |  | \|  \_/  |    \_\  | \  __)   |

U    V     W     X    Y    Z    :  +    -   !  >
                          __             _   |
| |  \  /  |  |  \_/  \_/   /   .  _|_  _   |  \
\_/   \/   |/\|  / \   |   /__  .   |      .  /
"""

_BLANK = 2
"""How wide the space between words is."""


def _cut(sheet: str) -> dict[str, Form]:
    """Return each letter of a sheet with its form, which is as wide as its widest row."""
    forms: dict[str, Form] = {}
    for band in sheet.strip("\n").split("\n\n"):
        letters, *rows = band.split("\n")
        begins = [column for column, sign in enumerate(letters) if sign != " "]
        for begin, end in zip(begins, [*begins[1:], None], strict=True):
            cut = [row[begin:end].rstrip() for row in rows]
            width = max(map(len, cut))
            forms[letters[begin]] = tuple(row.ljust(width) for row in cut)
    return forms


def _taller(form: Form) -> Form:
    """Return a form of five rows as one of seven: the upright strokes grow."""
    first, above, middle, below, last = form
    return (first, above, above, middle, below, below, last)


def _with_blank(forms: Mapping[str, Form]) -> Mapping[str, Form]:
    rows = len(next(iter(forms.values())))
    return {**forms, " ": (" " * _BLANK,) * rows}


FIVE_ROWS = _with_blank(_cut(_FIVE_ROWS))
SEVEN_ROWS = {
    **{letter: _taller(form) for letter, form in FIVE_ROWS.items()},
    **_cut(_SEVEN_ROWS),
}
HALVES = _with_blank(_cut(_THREE_ROWS))
STROKES = _with_blank(_cut(_STROKES))
