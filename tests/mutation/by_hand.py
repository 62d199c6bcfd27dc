"""Mutants that the tool does not make: properties, constants, defaults, guards of a case.

Each names a file of the core, what stands there, and what is put in its place.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHand:
    """One change to one file of the core."""

    file: str
    was: str
    became: str


def _in(file: str, *changes: tuple[str, str]) -> tuple[ByHand, ...]:
    return tuple(ByHand(file=file, was=was, became=became) for was, became in changes)


MUTANTS = (
    *_in(
        "cartridge/window.py",
        ("ONE_MILLISECOND = Span(1)", "ONE_MILLISECOND = Span(0)"),
        ("ONE_MILLISECOND = Span(1)", "ONE_MILLISECOND = Span(2)"),
        ("and self.closes < self.opens", "and self.closes <= self.opens"),
        ("and self.closes < self.opens", "and self.closes > self.opens"),
        ("self.closes is not None and self.closes < self.opens", "False"),
        ("None if self.closes is None else later(self.closes, ONE_MILLISECOND)", "self.closes"),
        ("None if self.closes is None else later(self.closes, ONE_MILLISECOND)", "None"),
    ),
    *_in(
        "cartridge/correction.py",
        ("WITHOUT_CLOSE = Span(5 * MINUTE)", "WITHOUT_CLOSE = Span(5 * MINUTE - 1)"),
        ("WITHOUT_CLOSE = Span(5 * MINUTE)", "WITHOUT_CLOSE = Span(5 * MINUTE + 1)"),
    ),
    *_in(
        "cartridge/due.py",
        ("enumerate(AlertKind)", "enumerate(reversed(AlertKind))"),
        ("frozenset({_EARLY_LOOK, _READ_NOW,", "frozenset({_READ_NOW,"),
        ("{_EARLY_LOOK, _READ_NOW,", "{_EARLY_LOOK,"),
        ("_READ_NOW, _CLOSING})", "_READ_NOW})"),
        ("_READ_NOW, _CLOSING})", "_READ_NOW, _LAPSED})"),
        ("return (self.due, _RANK[self.kind])", "return (self.due, 0)"),
        ("return (self.due, _RANK[self.kind])", "return (Instant(0), _RANK[self.kind])"),
    ),
    *_in(
        "cartridge/moment.py",
        ("    stated: bool = False", "    stated: bool = True"),
    ),
    *_in(
        "stock/lot.py",
        ("self.left <= 0", "self.left < 0"),
        ("self.left is not None and self.left <= 0", "False"),
        ("    used: int = 0", "    used: int = 1"),
        ("    on_hold: bool = False", "    on_hold: bool = True"),
    ),
    *_in(
        "board/identify.py",
        ("case Stage.READ if isinstance(act, CorrectReading):", "case Stage.READ if False:"),
        ("case Stage.READ if isinstance(act, CorrectReading):", "case Stage.READ if True:"),
        ("case Stage.LAPSED if isinstance(act, (Look, Read)):", "case Stage.LAPSED if True:"),
        ("isinstance(act, (Look, Read)):", "isinstance(act, Read):"),
        ("isinstance(act, (Look, Read)):", "isinstance(act, Look):"),
        ("case Stage.LAPSED | Stage.VOID:", "case Stage.LAPSED:"),
        ("case Stage.LAPSED | Stage.VOID:", "case Stage.VOID:"),
    ),
    *_in(
        "board/controls_due.py",
        ("INVALIDS_BEFORE_WARNING = 2", "INVALIDS_BEFORE_WARNING = 1"),
        ("INVALIDS_BEFORE_WARNING = 2", "INVALIDS_BEFORE_WARNING = 3"),
    ),
    *_in(
        "reading/bands.py",
        ("    control: bool | None = None", "    control: bool | None = True"),
        ("    control: bool | None = None", "    control: bool | None = False"),
        ('    FAINT = "faint"', '    FAINT = "absent"'),
    ),
)
"""Every one must die: none is accepted as it is."""
