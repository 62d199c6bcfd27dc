"""What a site asks of an attempt before a supervisor may let it stand for competence.

It is the site's own rule and never the program's: nothing is asked, and nobody passes, where a site
says nothing. An attempt that passes clears nobody by itself.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.practice.assist import Assist
from readbell.core.rehearsal.score_marks import Area

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.rehearsal.score import Score

_HELP = (Assist.SILENT, Assist.ALARMS, Assist.FULL)
"""From none to most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PassRule:
    """What has to hold of each of the last attempts, and of how many."""

    attempts: int = 1
    """So many in a row, the last among them."""
    windows_lost: int = 0
    """At most."""
    went_through: int = 0
    """Mistakes about people and safety that nothing stopped: at most."""
    refused: int = 3
    """Mistakes about people and safety that were stopped: at most."""
    readings_right: int = 95
    """Of a hundred lines, those taken early among them, at least."""
    faint_seen: int = 90
    """Of a hundred faint lines, at least; nothing is asked where there was none."""
    least_strips: int = 20
    """So many strips have to be read in all the attempts together."""
    kappa: float | None = None
    """At least, in each attempt of 20 strips or more; None: it is not asked for."""
    most_help: Assist = Assist.SILENT
    """With no more help than that."""
    clears_days: int = 365
    """For so long a clearance that rests on it holds at most."""


class Lacks(StrEnum):
    """What an attempt has not, that the rule asks for."""

    ATTEMPTS = "attempts"
    STRIPS = "strips"
    WINDOWS_LOST = "windows-lost"
    WENT_THROUGH = "went-through"
    REFUSED = "refused"
    READINGS = "readings"
    FAINT = "faint"
    KAPPA = "kappa"
    HELP = "help"
    LEFT_EARLY = "left-early"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lacking:
    """One thing that is missing, with its figures."""

    what: Lacks
    attempt: int
    """Which of the attempts that were held against the rule, from 1; 0: all of them together."""
    found: float
    asked: float


def lacking(scores: Sequence[Score], rule: PassRule) -> tuple[Lacking, ...]:
    """Return what the last attempts lack of `rule`; nothing if they pass.

    Args:
        scores: one trainee's attempts in the order in which they were made.
        rule: what the site asks.
    """
    last = scores[-rule.attempts :]
    found: list[Lacking] = []
    if len(last) < rule.attempts:
        found.append(Lacking(what=Lacks.ATTEMPTS, attempt=0, found=len(last), asked=rule.attempts))
    strips = sum(each.readings.strips for each in last)
    if strips < rule.least_strips:
        found.append(Lacking(what=Lacks.STRIPS, attempt=0, found=strips, asked=rule.least_strips))
    for number, each in enumerate(last, start=len(scores) - len(last) + 1):
        found += _of_one(each, rule, number)
    return tuple(found)


def _of_one(score: Score, rule: PassRule, number: int) -> Iterator[Lacking]:
    if score.unfinished.count:
        # No rule of a site lets half an attempt stand for one.
        yield Lacking(what=Lacks.LEFT_EARLY, attempt=number, found=score.unfinished.count, asked=0)
    grave = (Area.IDENTITY, Area.SAFETY)
    through = sum(len(score.of_area(area, refused=False)) for area in grave)
    stopped = sum(len(score.of_area(area, refused=True)) for area in grave)
    at_most = (
        (Lacks.WINDOWS_LOST, score.windows_lost, rule.windows_lost),
        (Lacks.WENT_THROUGH, through, rule.went_through),
        (Lacks.REFUSED, stopped, rule.refused),
    )
    for what, found, asked in at_most:
        if found > asked:
            yield Lacking(what=what, attempt=number, found=found, asked=asked)
    at_least = (
        (Lacks.READINGS, score.readings.all_right, rule.readings_right),
        (Lacks.FAINT, score.readings.faint, rule.faint_seen),
    )
    for what, counted, percent in at_least:
        if 100 * counted.right < percent * counted.of:
            share = 100 * counted.share.value
            yield Lacking(what=what, attempt=number, found=share, asked=percent)
    agreement = score.readings.agreement
    if rule.kappa is not None and agreement is not None and agreement.kappa < rule.kappa:
        yield Lacking(what=Lacks.KAPPA, attempt=number, found=agreement.kappa, asked=rule.kappa)
    # An attempt that nobody said anything of was made with whatever help there was.
    help_given = _HELP.index(score.assist or Assist.FULL)
    if help_given > _HELP.index(rule.most_help):
        yield Lacking(
            what=Lacks.HELP,
            attempt=number,
            found=help_given,
            asked=_HELP.index(rule.most_help),
        )
