"""Every mark that is drawn, as a set for most terminals and one for those with ASCII alone.

All marks are one cell wide and stand in the old PC character set, so that a bare
console has them too. In East Asian settings some count as two cells wide; there
the ASCII set is to be used. The signs beside a row are ASCII in both, so not here.
"""

from __future__ import annotations

from readbell.core.made_later import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Glyphs:
    """One mark for each meaning."""

    now: str
    """The now-line."""
    dead: str
    """Applied, and too early for any look; free time in the slot row."""
    early: str
    """An early look may show a positive."""
    window: str
    """The read window; hands at work."""
    closing: str
    """The last stretch of a window."""
    slot_begins: str
    slot: str
    """Inside a window that is only foreseen."""
    slot_ends: str
    drops: str
    """The drops, or the swab into the buffer."""
    missed: str
    """The close that was missed."""
    masked: str
    """A letter of an ID that is hidden."""
    block: str
    """Large digits of five and seven rows."""
    upper_half: str
    """Large digits of three rows; empty where there are no half blocks."""
    lower_half: str
    clear: str
    """A clear line of a strip, or a control line that is there."""
    faint: str
    trace: str
    """The weakest line of a virtual cartridge, one cell broad; still a line."""
    open: str
    """A line of a strip that nobody has answered for."""
    chosen: str
    """Points up at the line being answered for."""
    rule: str
    """Lies across: a rule, and the long edges of a frame."""
    upright: str
    """Stands: the short edges of a frame, and the caret of the scan line."""
    top_left: str
    top_right: str
    bottom_left: str
    bottom_right: str
    tee_left: str
    """An axis with a mark to its left."""


UNICODE = Glyphs(
    now="│",
    dead="·",
    early="─",
    window="■",
    closing="═",
    slot_begins="[",
    slot="·",
    slot_ends="]",
    drops="o",
    missed="x",
    masked="·",
    block="█",
    upper_half="▀",
    lower_half="▄",
    clear="█",
    faint="░",
    trace="·",
    open="?",
    chosen="▲",
    rule="─",
    upright="│",
    top_left="┌",
    top_right="┐",
    bottom_left="└",
    bottom_right="┘",
    tee_left="┤",
)

ASCII = Glyphs(
    now="|",
    dead=".",
    early="-",
    window="#",
    closing="=",
    slot_begins="[",
    slot=".",
    slot_ends="]",
    drops="o",
    missed="x",
    masked=".",
    block="#",
    upper_half="",
    lower_half="",
    clear="#",
    faint=":",
    trace=".",
    open="?",
    chosen="^",
    rule="-",
    upright="|",
    top_left="+",
    top_right="+",
    bottom_left="+",
    bottom_right="+",
    tee_left="+",
)
