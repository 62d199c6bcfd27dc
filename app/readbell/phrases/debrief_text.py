"""A debrief in lines of text: what an attempt came to, and what to practise next."""

from __future__ import annotations

import textwrap
from itertools import groupby
from typing import TYPE_CHECKING

from readbell.core.instant import later
from readbell.core.plan.hands_on import READING
from readbell.core.rehearsal.score_marks import Area, Kept, Slip
from readbell.core.rehearsal.score_reading import CATEGORIES
from readbell.core.rehearsal.virtual_cartridge import Shade
from readbell.core.span_text import write_elapsed
from readbell.core.statistics.agreement import FEWEST
from readbell.phrases.counted import counted
from readbell.phrases.debrief_right import say_right
from readbell.phrases.debrief_words import (
    AREAS,
    DIFFICULTIES,
    HOWS,
    NO_PROOF,
    NO_RULE,
    NOT_PASSED,
    NOTHING_TO_PRACTISE,
    OUTCOMES,
    PASSED,
    PRACTISE,
    SHADES,
    say_lacking,
    say_mistake,
)
from readbell.phrases.practice_words import ASSISTS
from readbell.phrases.summary import CAUTIONS
from readbell.phrases.time_line import time_line

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.instant import Instant
    from readbell.core.rehearsal.passing import Lacking
    from readbell.core.rehearsal.score import Score
    from readbell.core.rehearsal.score_marks import Lane
    from readbell.core.rehearsal.score_pace import Should
    from readbell.core.rehearsal.score_reading import Counted
    from readbell.core.rehearsal.unfinished import Unfinished
    from readbell.phrases.clock_time import ClockFace

WIDE = 80
NAME = 28
MOST_MEANWHILE = 6
"""So many things that were done while a window was lost are named."""
LOST = (Slip.WINDOW_LOST, Slip.SLEPT_THROUGH)
_NONE = "-"


def debrief_lines(score: Score, face: ClockFace, wide: int = WIDE) -> list[str]:
    """Return the debrief, each line at most `wide` columns wherever a word fits."""
    lines: list[str] = []
    for part in (
        _head(score, face, wide),
        _practise(score, wide),
        (each for said in _figures(score) for each in _wrapped(said, wide, "", " " * (NAME + 2))),
        _matrix(score),
        _mistakes(score, face, wide),
        _lost(score, face, wide),
        _line(score, wide),
        _beside_plan(score, face, wide),
        _wrapped(" ".join(NO_PROOF), wide, "", ""),
        _wrapped(" ".join(CAUTIONS), wide, "", ""),
    ):
        found = list(part)
        if found:
            lines += [*found, ""]
    return lines[:-1]


def pass_lines(lacks: Sequence[Lacking] | None, wide: int = WIDE) -> Iterator[str]:
    """Yield whether the attempts meet the site's pass rule; None: it has none."""
    if lacks is None:
        said = [NO_RULE]
    elif not lacks:
        said = [PASSED]
    else:
        said = [NOT_PASSED, *(f"- {say_lacking(each)}" for each in lacks)]
    for each in said:
        yield from _wrapped(each, wide, "", "  ")


def _head(score: Score, face: ClockFace, wide: int) -> Iterator[str]:
    yield f"REHEARSAL  Debrief: {score.title}"
    hard = "" if score.difficulty is None else f", {DIFFICULTIES[score.difficulty]}"
    who = f"{score.trainee}, " if score.trainee else ""
    yield f"{who}{ASSISTS[score.assist]}{hard}"
    for name, words in (("Goal", score.goal), ("Teaching", score.teaching)):
        if words:
            yield from _wrapped(f"{name}: {words}", wide, "", "  ")
    yield (
        f"From {face.time(score.starts)}, {write_elapsed(score.took)} long: "
        f"{counted(score.people, 'person', 'people')}, "
        f"{counted(score.cartridges, 'cartridge')}, {counted(len(score.operators), 'operator')}."
    )
    left = ", ".join(_unfinished(score.unfinished))
    if left:
        yield from _wrapped(f"It was left before its end: {left}.", wide, "", "  ")


def _unfinished(found: Unfinished) -> Iterator[str]:
    for count, one, several in (
        (found.to_come, "person was still to come", "people were still to come"),
        (found.untested, "person waited untested", "people waited untested"),
        (found.running, "cartridge still ran", "cartridges still ran"),
        (found.repeats, "repeat was not begun", "repeats were not begun"),
        (found.breaks, "interruption was not over", "interruptions were not over"),
    ):
        if count:
            yield counted(count, one, several)


def _practise(score: Score, wide: int) -> Iterator[str]:
    yield "To practise next"
    if not score.practise:
        yield f"  {NOTHING_TO_PRACTISE}"
    for number, each in enumerate(score.practise, start=1):
        yield from _wrapped(f"{number}. {PRACTISE[each]}", wide, "  ", "     ")


def _figures(score: Score) -> Iterator[str]:
    readings, looks, pace = score.readings, score.looks, score.pace
    yield "What was done"
    yield _of("Read windows kept", score.windows)
    yield _of("Waits kept", score.waits)
    yield from (f"  {each}" for each in _slowest(score))
    yield _of("Lines read rightly", readings.right)
    yield _of("  of those that were there", readings.sensitivity)
    for shade in (Shade.CLEAR, Shade.FAINT, Shade.VERY_FAINT):
        found = readings.of_shades(shade)
        if found.of:
            yield _of(f"    {SHADES[shade]}", found)
    yield _of("  of those that were not", readings.specificity)
    if readings.validity.of:
        yield _of("  of strips that count not", readings.validity)
    yield f"  {'Kappa against the truth':{NAME}}{_kappa(score)}"
    yield (
        f"  {'Early looks':{NAME}}{looks.taken} rightly used, {looks.wrong} wrongly, "
        f"{looks.refused} refused; {counted(looks.could, 'strip')} showed a line early"
    )
    for area in (Area.IDENTITY, Area.SAFETY):
        through, stopped = (len(score.of_area(area, refused=each)) for each in (False, True))
        name = f"Mistakes of {AREAS[area]}"
        yield f"  {name:{NAME}}{through} went through, {stopped} were refused"
    sure = ", ".join(f"{many} {HOWS[how]}" for how, many in score.made_sure)
    yield f"  {'Which cartridge it was':{NAME}}{sure}"
    if score.flawed:
        yield f"  {'Bad devices':{NAME}}{len(score.caught)} of {score.flawed} given up in time"
    if score.asked:
        right = sum(each.is_right for each in score.asked)
        yield f"  {'Questions':{NAME}}{right} of {len(score.asked)} answered rightly"
    if score.stated:
        steps = counted(score.stated, "step")
        yield f"  {'Entered afterwards':{NAME}}{steps}: stated, not timed"
    if score.taken_back:
        times = counted(score.taken_back, "press", "presses")
        yield f"  {'Taken back':{NAME}}{times}: not done, and mended"
    yield f"  {'Time to the last reading':{NAME}}{_pace(score)}"
    if pace.best_idle is not None:
        yield (
            f"  {'Idle hands':{NAME}}{write_elapsed(pace.idle)}; by the best plan "
            f"{write_elapsed(pace.best_idle)}"
        )


def _of(name: str, found: Counted) -> str:
    if not found.of:
        return f"  {name:{NAME}}none"
    share = found.share
    interval = f"{100 * share.low:.0f} to {100 * share.high:.0f} %"
    return (
        f"  {name:{NAME}}{found.right} of {found.of}  "
        f"({100 * share.value:.0f} %, 95 % interval {interval})"
    )


def _slowest(score: Score) -> Iterator[str]:
    """Yield how long the wait and the window that took longest were, by the step that began them."""
    for since in dict.fromkeys(each.since for each in score.times):
        timed = [
            each
            for each in score.times
            if each.since == since and each.lasted is not None and each.kept is not Kept.STATED
        ]
        spans = [each.lasted for each in timed if each.lasted is not None]
        if spans:
            first = timed[0]
            name = "reading after the drops" if first.reads else first.called or f"after {since}"
            yield f"  {name:{NAME - 2}}{write_elapsed(min(spans))} to {write_elapsed(max(spans))}"


def _kappa(score: Score) -> str:
    readings = score.readings
    found = readings.agreement
    if readings.strips < FEWEST:
        return f"not from {counted(readings.strips, 'strip')}: it takes {FEWEST}"
    if found is None:
        return "says nothing where all is of one kind"
    if not found.error:
        return f"{found.kappa:.2f} of {found.count} lines; none differs, so no interval can be told"
    return f"{found.kappa:.2f} of {found.count} lines (95 % interval {found.low:.2f} to {found.high:.2f})"


def _pace(score: Score) -> str:
    if all(each.read is None for each in score.lanes):
        return "no strip was read"
    took = write_elapsed(score.pace.took)
    if score.pace.best is None:
        return took
    beside = f"{took}; the best plan {write_elapsed(score.pace.best)}"
    return (
        f"{beside}, so {write_elapsed(score.pace.longer)} longer" if score.pace.longer else beside
    )


def _matrix(score: Score) -> Iterator[str]:
    if not score.readings.judged:
        return
    yield "What the lines were (down) and what they were read as (across)"
    yield "  " + " " * 12 + "".join(f"{OUTCOMES[each]:>12}" for each in CATEGORIES)
    for truth, row in zip(CATEGORIES, score.readings.table(), strict=True):
        yield f"  {OUTCOMES[truth]:12}" + "".join(f"{count or _NONE:>12}" for count in row)


def _mistakes(score: Score, face: ClockFace, wide: int) -> Iterator[str]:
    yield "What went wrong"
    if not score.mistakes:
        yield "  nothing that the record can tell"
    said = [
        (
            f"{face.time(each.at)}  {AREAS[each.area]}: {say_mistake(each)}",
            say_right(each, face) or "",
        )
        for each in score.mistakes
    ]
    alike = [(each, len(list(group))) for each, group in groupby(said)]
    following = [*(right for (_, right), _ in alike[1:]), ""]
    for ((wrong, right), count), then in zip(alike, following, strict=False):
        times = f" ({count} times)" if count > 1 else ""
        yield from _wrapped(f"{wrong}{times}", wide, "  ", " " * 12)
        # What was right in place of several in a row is told once, behind the last of them.
        if right != then:
            yield from _wrapped(right, wide, " " * 12, " " * 12)


def _lost(score: Score, face: ClockFace, wide: int) -> Iterator[str]:
    """Yield, for each window that was lost, who did what meanwhile."""
    lost = [each for each in score.mistakes if each.code in LOST]
    if not lost:
        return
    yield "While a window was lost"
    for each in lost:
        lane = next(lane for lane in score.lanes if lane.cartridge == each.cartridge)
        if lane.opens is not None and lane.closes is not None:
            yield from _meanwhile(score, lane, lane.opens, lane.closes, face, wide)


def _meanwhile(
    score: Score, lane: Lane, opens: Instant, closes: Instant, face: ClockFace, wide: int
) -> Iterator[str]:
    done = [each for each in score.acts if opens <= each[1] <= closes]
    shown = ", ".join(
        f"{face.time(at)} {by} {step} {label}" for by, at, label, step in done[:MOST_MEANWHILE]
    )
    more = f", and {len(done) - MOST_MEANWHILE} more" if len(done) > MOST_MEANWHILE else ""
    meanwhile = f"Meanwhile: {shown}{more}." if done else "Meanwhile nobody did anything."
    yield from _wrapped(
        f"{lane.cartridge} was to be read from {face.time(opens)} to {face.time(closes)}. {meanwhile}",
        wide,
        "  ",
        "    ",
    )


def _line(score: Score, wide: int) -> Iterator[str]:
    if score.lanes:
        yield "Time line"
        yield from time_line(score, wide)


def _beside_plan(score: Score, face: ClockFace, wide: int) -> Iterator[str]:
    """Yield who should have done what when, by a plan that knows who comes, beside what was done."""
    if not score.pace.should:
        return
    yield "Beside the best plan, which knows who comes (plan / done)"
    yield f"  {'person':14}{'labelled':>20}{'drops':>20}{'read':>20}"
    lanes: dict[str, list[Lane]] = {}
    for lane in score.lanes:
        lanes.setdefault(lane.person or "", []).append(lane)
    planned: dict[str, list[Should]] = {}
    for each in score.pace.should:
        planned.setdefault(each.person, []).append(each)
    for person, pieces in planned.items():
        own = lanes.get(person, [])
        first, last = (own[0], own[-1]) if own else (None, None)
        applied = [each.marks[-1][1] for each in own if each.opens is not None]
        reads = [each for each in pieces if READING in each.parts]
        works = [each for each in pieces if READING not in each.parts]
        cells = (
            (pieces[0].first_done, None if first is None else first.begins),
            (works[-1].ends, applied[0] if applied else None),
            (reads[-1].ends, None if last is None else last.read),
        )
        row = "".join(
            f"{face.time(later(score.starts, plan)) + ' / ' + _time(done, face):>20}"
            for plan, done in cells
        )
        yield f"  {person[:13]:14}{row}"[: max(wide, WIDE)]


def _time(at: Instant | None, face: ClockFace) -> str:
    return f"{_NONE:8}" if at is None else face.time(at)


def _wrapped(words: str, wide: int, first: str, further: str) -> list[str]:
    return textwrap.wrap(
        words,
        width=wide,
        initial_indent=first,
        subsequent_indent=further,
        break_long_words=False,
        break_on_hyphens=False,
    )
