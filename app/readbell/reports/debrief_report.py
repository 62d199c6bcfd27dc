"""A debrief as one JSON object; times are seconds after the start, milliseconds as decimals."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readbell.core.instant import between, seconds
from readbell.core.rehearsal.score_marks import Area
from readbell.core.rehearsal.score_reading import CATEGORIES
from readbell.core.rehearsal.virtual_cartridge import Shade

if TYPE_CHECKING:
    from readbell.core.instant import Instant, Span
    from readbell.core.rehearsal.score import EarlyLooks, Score
    from readbell.core.rehearsal.score_marks import Asked, Lane, Mistake, Right, Timed
    from readbell.core.rehearsal.score_reading import Counted
    from readbell.core.rehearsal.unfinished import Unfinished

IS = "a record of what was practised, and no proof of competence"


def debrief_report(score: Score) -> dict[str, Any]:
    """Return the report of one attempt; what is absent is null."""
    pace = score.pace
    return {
        "is": IS,
        "title": score.title,
        "goal": score.goal,
        "teaching": score.teaching,
        "difficulty": _word(score.difficulty),
        "assist": _word(score.assist),
        "trainee": score.trainee,
        "took_s": seconds(score.took),
        "people": score.people,
        "still_to_come": score.unfinished.to_come,
        "left_early": score.unfinished.count > 0,
        "unfinished": _unfinished(score.unfinished),
        "operators": list(score.operators),
        "cartridges": score.cartridges,
        "acts": score.accepted,
        "cartridge_by": {str(how): many for how, many in score.made_sure},
        "practise": [str(each) for each in score.practise],
        "windows": _counted(score.windows),
        "windows_lost": score.windows_lost,
        "waits": _counted(score.waits),
        "times": [_time(each) for each in score.times],
        "readings": _readings(score),
        "early_looks": _looks(score.looks),
        "mistakes": [_mistake(score, each) for each in score.mistakes],
        "counts": {
            str(area): {
                "went_through": len(score.of_area(area, refused=False)),
                "refused": len(score.of_area(area, refused=True)),
            }
            for area in Area
        },
        "bad_devices": {"begun": score.flawed, "given_up": list(score.caught)},
        "questions": [_question(score, each) for each in score.asked],
        "stated_steps": score.stated,
        "taken_back": score.taken_back,
        "pace": {
            "took_s": seconds(pace.took),
            "best_s": _seconds(pace.best),
            "bound_s": _seconds(pace.bound),
            "longer_s": _seconds(pace.longer),
            "idle_s": seconds(pace.idle),
            "best_idle_s": _seconds(pace.best_idle),
        },
        "time_line": [_lane(score, each) for each in score.lanes],
        "best_plan": [
            {
                "person": each.person,
                "operator": each.operator,
                "steps": list(each.parts),
                "begins_s": seconds(each.begins),
                "ends_s": seconds(each.ends),
            }
            for each in pace.should
        ],
    }


def _unfinished(found: Unfinished) -> dict[str, int]:
    return {
        "untested": found.untested,
        "running": found.running,
        "repeats": found.repeats,
        "interruptions": found.breaks,
    }


def _looks(each: EarlyLooks) -> dict[str, Any]:
    return {
        "taken": each.taken,
        "wrong": each.wrong,
        "refused": each.refused,
        "could": each.could,
    }


def _time(each: Timed) -> dict[str, Any]:
    return {
        "cartridge": each.cartridge,
        "since": each.since,
        "reads": each.reads,
        "lasted_s": _seconds(each.lasted),
        "least_s": _seconds(each.least),
        "most_s": _seconds(each.most),
        "kept": str(each.kept),
    }


def _readings(score: Score) -> dict[str, Any]:
    readings = score.readings
    found = readings.agreement
    kappa = None
    if found is not None:
        kappa = {
            "kappa": found.kappa,
            "error": found.error,
            "low": found.low,
            "high": found.high,
            "lines": found.count,
        }
    return {
        "strips": readings.strips,
        "right": _counted(readings.right),
        "sensitivity": _counted(readings.sensitivity),
        "specificity": _counted(readings.specificity),
        "validity": _counted(readings.validity),
        "early": _counted(readings.early),
        "faint": _counted(readings.faint),
        "shades": {
            str(shade): _counted(readings.of_shades(shade))
            for shade in (Shade.CLEAR, Shade.FAINT, Shade.VERY_FAINT)
        },
        "categories": [str(each) for each in CATEGORIES],
        "table": [list(row) for row in readings.table()],
        "kappa": kappa,
        "lines": [
            {
                "cartridge": each.cartridge,
                "line": each.line,
                "at_s": _since(score, each.at),
                "by": each.by,
                "was": str(each.truth),
                "read_as": str(each.said),
                "shade": str(each.shade),
                "unreadable": _word(each.spoilt),
            }
            for each in readings.judged
        ],
    }


def _mistake(score: Score, each: Mistake) -> dict[str, Any]:
    return {
        "at_s": _since(score, each.at),
        "area": str(each.area),
        "code": str(each.code),
        "refused": each.refused,
        "by": each.by,
        "cartridge": each.cartridge,
        "line": each.line or None,
        "seconds": _seconds(each.span),
        "limit_s": _seconds(each.limit),
        "interruption": each.number or None,
        "person": each.person,
        "right": None if each.right is None else _right(score, each.right),
    }


def _right(score: Score, each: Right) -> dict[str, Any]:
    return {
        "step": each.step or None,
        "since_s": _maybe(score, each.since),
        "until_s": _maybe(score, each.until),
        "early_look": each.may_look,
        "shade": _word(each.shade),
        "control": each.control,
        "unreadable": _word(each.spoilt),
    }


def _question(score: Score, each: Asked) -> dict[str, Any]:
    return {
        "interruption": each.number,
        "at_s": _since(score, each.at),
        "answered_s": _maybe(score, each.answered),
        "right": each.is_right,
    }


def _lane(score: Score, each: Lane) -> dict[str, Any]:
    return {
        "cartridge": each.cartridge,
        "person": each.person,
        "steps": [{"step": step, "at_s": _since(score, at)} for step, at in each.marks],
        "opens_s": _maybe(score, each.opens),
        "closes_s": _maybe(score, each.closes),
        "looks_s": [_since(score, at) for at in each.looks],
        "read_s": _maybe(score, each.read),
        "lapsed_s": _maybe(score, each.lapsed),
        "voided_s": _maybe(score, each.voided),
    }


def _counted(found: Counted) -> dict[str, Any]:
    share = found.share if found.of else None
    return {
        "right": found.right,
        "of": found.of,
        "share": None if share is None else share.value,
        "low": None if share is None else share.low,
        "high": None if share is None else share.high,
    }


def _since(score: Score, at: Instant) -> float:
    return seconds(between(score.starts, at))


def _maybe(score: Score, at: Instant | None) -> float | None:
    return None if at is None else _since(score, at)


def _seconds(span: Span | None) -> float | None:
    return None if span is None else seconds(span)


def _word(code: object) -> str | None:
    return None if code is None else str(code)
