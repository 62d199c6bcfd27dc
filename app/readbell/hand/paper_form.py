"""The form on which a run that was done on paper is entered: as it stands there, line by line."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from readbell.core.reading.bands import Strength, Unreadable
from readbell.hand.asking import NOBODY
from readbell.hand.doing import Filling, Paper
from readbell.hand.finding import Thing, find
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.patients_room import fault_of_label
from readbell.hand.question import Option
from readbell.phrases.of_bands import STRENGTHS, UNREADABLE
from readbell.scenarios.paper_lines import PaperRunLine

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.assay.assay import Assay
    from readbell.hand.scene import Scene

Asked = tuple[str, str, tuple[Option, ...]]
"""Key, words and answers of one line of a form."""

AT, LINE = "at-", "line-"
"""Begin the keys of the questions about one step's time, and about one line of the device."""
READ_AT = f"{AT}reading"
READABLE = "readable"
BADGES = (3, 4)
"""Which of its lines ask who ran it, and who vouches for it: a badge answers them."""
DOUBTS: dict[str, str] = {
    "60": "to the minute: each may be off by 60 seconds",
    "5": "with seconds: each may be off by 5 seconds",
}
"""In seconds; written to the minute no wait of one minute can be shown to have been kept."""
DAYS_BACK = 7
"""How many days before today a run may be picked for; what is older goes by a line of the bay."""
OVERNIGHT = timedelta(hours=12)
"""A time so much earlier than the one before it is of the next day (our own choice)."""
_CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?", re.ASCII)


def begin(hand: Hand, scene: Scene) -> Turn:
    """Return the hand that fills the form in, or says what is missing for that."""
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    if not scene.board.lots:
        return only(
            hand.saying("No box was ever taken in here. F9, Lots takes one in.", fine=False)
        )
    if len(scene.board.operators) < 2:  # who ran it, and who vouches for it
        words = (
            "Somebody else has to vouch for what stands on paper. "
            "Register a second operator first: F9, Operators."
        )
        return only(hand.saying(words, fine=False))
    words = "Answer as it stands on the paper. A run with a time left out stays on the paper."
    return only(hand.now_doing(Filling(paper=Paper.PAPER_RUN)).saying(words))


def asked(answers: Mapping[str, str], scene: Scene) -> tuple[Asked, ...]:
    """Return the lines of the form, in the order of the paper."""
    return tuple(_asked(answers, scene))


def fault_of(answers: Mapping[str, str], key: str, text: str, scene: Scene) -> str | None:
    """Say in one sentence what is wrong with `text` as an answer, or None if nothing is."""
    match key:
        case "label":
            return fault_of_label(text, scene)
        case "patient" if find(scene.board, text).thing is not Thing.PERSON:
            return f"{text} is nobody who is known here. F2 on the board enters them first."
        case _ if key.startswith(AT):
            return _fault_of_time(answers, key, text, scene)
        case _:
            return None


def line_of(said: Mapping[str, str], by: str, scene: Scene) -> PaperRunLine:
    """Return what a whole form asks of the bay."""
    assay = _assay(said, scene)
    times = dict(_times(said, _keys(assay)))
    control = said.get("control")
    # Whoever took another lot meanwhile has answered for lines that its device has not.
    own = () if assay is None else assay.line_keys
    lines = {key: Strength(said[f"{LINE}{key}"]) for key in own if f"{LINE}{key}" in said}
    is_readable = said["seen"] == READABLE
    return PaperRunLine.model_validate(
        {
            "do": "enter-paper",
            "by": by,
            "operator": said["ran"],
            "witness": said["witness"],
            "cartridge": said["label"],
            "person": find(scene.board, said["patient"]).text,
            "lot": said["lot"],
            "steps": {
                key.removeprefix(AT): at.isoformat() for key, at in times.items() if key != READ_AT
            },
            "read": times[READ_AT].isoformat(),
            "give_or_take": float(said["doubt"]),
            "control": control == "present" if is_readable else None,
            "test": lines if is_readable else None,
            "unreadable": None if is_readable else said["seen"],
        }
    )


def _asked(answers: Mapping[str, str], scene: Scene) -> Iterator[Asked]:
    board = scene.board
    operators = tuple(Option(each, each) for each in board.operators)
    yield "lot", "Lot", tuple(Option(each, each) for each in board.lots)
    yield "label", "Label of the cartridge", ()
    yield "patient", "Patient ID: scan it or type it", ()
    yield "ran", "Who ran it and read it", operators
    others = tuple(each for each in operators if each.value != answers.get("ran"))
    yield "witness", "Who vouches for it beside them", others
    yield "day", "Day", tuple(_days(scene))
    yield "doubt", "Its times are written", tuple(Option(*each) for each in DOUBTS.items())
    assay = _assay(answers, scene)
    if assay is None:
        return
    for step in assay.steps:
        yield f"{AT}{step.key}", f"{step.title}, at", ()
    yield READ_AT, "Read, at (such as 14:05, or 14:05:30)", ()
    reasons = tuple(Option(each, f"cannot be read: {UNREADABLE[each]}") for each in Unreadable)
    yield "seen", "The strip", (Option(READABLE, "can be read"), *reasons)
    if answers.get("seen") != READABLE:
        return
    mark = assay.reading.control_mark
    yield (
        "control",
        f"Control line {mark}",
        (Option("absent", "absent"), Option("present", "present")),
    )
    for line in assay.reading.lines:
        seen = tuple(Option(each, STRENGTHS[each]) for each in Strength)
        yield f"{LINE}{line.key}", f"Line {line.mark}, {line.name}", seen


def _days(scene: Scene) -> Iterator[Option]:
    today = scene.face.local(scene.now).date()
    names = {0: "today, ", 1: "yesterday, "}
    for back in range(DAYS_BACK + 1):
        day = today - timedelta(days=back)
        yield Option(day.isoformat(), f"{names.get(back, '')}{day:%A} {day}")


def _assay(answers: Mapping[str, str], scene: Scene) -> Assay | None:
    lot = scene.board.lots.get(answers.get("lot", ""))
    return None if lot is None else scene.board.assays[lot.assay].assay


def _keys(assay: Assay | None) -> tuple[str, ...]:
    """Return the keys of all times on the paper, in their order."""
    steps = () if assay is None else tuple(f"{AT}{step.key}" for step in assay.steps)
    return (*steps, READ_AT)


def _fault_of_time(answers: Mapping[str, str], key: str, text: str, scene: Scene) -> str | None:
    if _clock(text) is None:
        return f'"{text}" is no time of the day. Type it as 14:05, or 14:05:30 with seconds.'
    keys = _keys(_assay(answers, scene))
    times = dict(_times({**answers, key: text}, keys))
    before = [times[each] for each in keys[: keys.index(key)] if each in times]
    if key in times and before and times[key] < before[-1]:
        return (
            f"{text} is before {before[-1]:%H:%M:%S}, the time above it. Look at the paper again."
        )
    if key in times and times[key] > scene.face.local(scene.now).replace(tzinfo=None):
        return f"{text} is still to come on that day. Look at the paper again, and at the day."
    return None


def _times(answers: Mapping[str, str], keys: tuple[str, ...]) -> Iterator[tuple[str, datetime]]:
    """Yield each time that was answered, on its day: past midnight it is the next one."""
    if "day" not in answers:
        return
    day, last = date.fromisoformat(answers["day"]), None
    for key in keys:
        clock = _clock(answers.get(key, ""))
        if clock is None:
            continue
        at = datetime.combine(day, clock)  # of the site: the bay knows its zone
        if last is not None and last - at > OVERNIGHT:
            day += timedelta(days=1)
            at += timedelta(days=1)
        yield key, at
        last = at


def _clock(text: str) -> time | None:
    found = _CLOCK.fullmatch(text)
    return None if found is None else time(int(found[1]), int(found[2]), int(found[3] or 0))
