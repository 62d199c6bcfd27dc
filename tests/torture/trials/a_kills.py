"""Killed at any instant: nothing acknowledged is lost, and every countdown is right afterwards.

The model is the hand that writes the lines: it notes when it wrote each and when
the answer came, by its own clock, and knows from that alone what must stand.
"""

from __future__ import annotations

import math
import re
import time
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from patience import PATIENCE_SECONDS
from readbell.core.span_text import read_span
from readbell.journal.errors import JournalError
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify
from torture.processes import (
    OPENS,
    QUICK,
    QUICK_CLOSES,
    QUICK_OPENS,
    SLOW,
    SOAKS,
    Site,
    arrival,
    labelling,
    now,
    site,
    step,
)
from torture.stored import stored_in, torn_frames
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator
    from pathlib import Path

    from torture.processes import Bay
    from torture.stored import Stored

LIVES_OF_ONE_JOURNAL = 20
STANDING = re.compile(r"^(S\d+)  .*  (wait over|opens) in ([\d:]+)")
AIMED, RANDOM, STARTING = "aimed inside an append", "at a random instant", "while it starts"


@dataclass(kw_only=True)
class Line:
    """One line that was written, and what is known of its answer."""

    said: dict[str, Any]
    written: float
    answered: float | None = None
    accepted: bool = False


@dataclass(kw_only=True)
class Model:
    """What must stand in one journal: kept by the hand, not by the product."""

    lines: list[Line] = field(default_factory=list)
    told: set[tuple[str, str]] = field(default_factory=set)
    """Cartridge and kind of each alert that was printed."""
    count: int = 0

    def answers(self, bay: Bay, rest: list[dict[str, Any]] | None = None) -> None:
        """Take in everything the bay said."""
        waiting = [each for each in self.lines if each.answered is None]
        for said in bay.rest() if rest is None else rest:
            if "answer" in said:
                line = waiting.pop(0)
                line.answered, line.accepted = now(), said["accepted"]
        self.lines = [each for each in self.lines if each.answered is not None] + waiting

    def acknowledged(self, do: str) -> list[Line]:
        """Return the lines of one kind that were taken."""
        return [each for each in self.lines if each.said["do"] == do and each.accepted]


class Life:
    """One bay from its start to its end by kill."""

    def __init__(self, place: Site, model: Model, tried: Tried, chance: random.Random) -> None:
        self.model, self.tried, self.chance = model, tried, chance
        self.begun = now()
        self.bay = place.start()
        self.wal = place.journal.with_name(f"{place.journal.name}-wal")

    def welcome(self) -> None:
        """Hear what is told first, and hold every countdown against the hand's own clock."""
        self.model.count += 1
        probe = Line(said=arrival(f"P-{self.model.count}"), written=now())
        self.bay.say(probe.said)
        standing: dict[str, tuple[str, int]] = {}
        first = self.bay.line()
        while "answer" not in (said := self.bay.line()):
            found = STANDING.match(said["says"]) if said.get("news") == "standing" else None
            if found is not None:
                left = read_span(found[3])
                standing[found[1]] = (found[2], -1 if left is None else left // 1000)
        heard = probe.answered = now()
        probe.accepted = said["accepted"]
        self.model.lines.append(probe)
        self.tried.expect(
            "did not end cleanly" in first["says"], f"a kill was not told: {first['says']}"
        )
        for each in self.model.acknowledged("step"):
            self._compare(each, standing, heard)

    def _compare(self, line: Line, standing: dict[str, tuple[str, int]], heard: float) -> None:
        label, key = line.said["cartridge"], line.said["step"]
        if not label.startswith("S"):
            return
        shown = standing.get(label)
        if shown is None:
            self.tried.fail(f"{label} is not shown after the restart")
            return
        # A later step may stand that was stored but never acknowledged.
        if (key == "soak") is not (shown[0] == "wait over"):
            return
        assert line.answered is not None
        whole = SOAKS if key == "soak" else OPENS
        least = math.floor(whole - (heard - line.written))
        most = math.ceil(whole - (self.begun - line.answered))
        self.tried.expect(
            least <= shown[1] <= most,
            f"{label} shows {shown[1]} s, the hand's clock says {least} to {most} s",
        )

    def burst(self) -> None:
        """Write many lines at once."""
        lines: list[dict[str, Any]] = []
        for _ in range(self.chance.randint(3, 7)):
            self.model.count += 1
            number = self.model.count
            assay = self.chance.choice((SLOW, QUICK))
            label, person = f"{'SQ'[assay == QUICK]}{number}", f"P-{number}"
            lines += [arrival(person), labelling(label, person, assay), step(label, "soak")]
            if self.chance.random() < 0.6:
                lines.append(step(label, "apply"))
        written = now()
        self.model.lines += [Line(said=each, written=written) for each in lines]
        self.bay.say(*lines)

    def kill(self, how: str) -> None:
        """End it at an instant of the kind `how`."""
        if how == AIMED:
            changes, state, end = self.chance.randint(1, 9), self._state(), now() + 0.5
            # The log changes with the first page of an append, before it is synchronised.
            while changes and now() < end:
                if (after := self._state()) != state:
                    state, changes = after, changes - 1
        else:
            time.sleep(self.chance.uniform(0, 0.8 if how == RANDOM else 0.6))
        self.bay.process.kill()
        self.bay.wait()

    def _state(self) -> tuple[int, int]:
        try:
            found = self.wal.stat()
        except FileNotFoundError:
            return (0, 0)
        return (found.st_size, found.st_mtime_ns)


def check(path: Path, model: Model, tried: Tried) -> int:
    """Hold the journal of a killed bay against the model; return how many went unanswered."""
    try:
        journal = SqliteJournal.open(path, read_only=True)
        try:
            verify(journal)
        finally:
            journal.close()
    except JournalError as error:
        tried.fail(f"not whole: {error}")
        return 0
    stored = stored_in(path)
    tried.expect(stored.whole, "the chain does not hold")
    labels = {each["cartridge"]: each["label"] for each in stored.of("cartridge-labelled")}
    there = {("register-person", each["person"], "") for each in stored.of("person-registered")}
    there |= {("label", each, "") for each in labels.values()}
    there |= {("step", labels[each["cartridge"]], each["step"]) for each in stored.of("step-done")}
    for line in model.lines:
        if line.accepted and _name(line) not in there:
            tried.fail(f"acknowledged and gone: {line.said}")
    written = {_name(line) for line in model.lines}
    for name in there - written:
        tried.fail(f"never written and there: {name}", lost=0)
    _check_alerts(stored, labels, tried)
    return sum(line.answered is None and _name(line) in there for line in model.lines)


def _name(line: Line) -> tuple[str, str, str]:
    said = line.said
    return (said["do"], said.get("cartridge") or said["id"], said.get("step", ""))


def _check_alerts(stored: Stored, labels: dict[str, str], tried: Tried) -> None:
    drops = {
        each["cartridge"]: each["done"]["earliest"]
        for each in stored.of("step-done")
        if each["step"] == "apply" and labels[each["cartridge"]].startswith("Q")
    }
    dues = {"read-now": QUICK_OPENS, "lapsed": QUICK_CLOSES + 1}
    seen: set[tuple[str, str]] = set()
    for alert in stored.of("alert-raised"):
        name = (alert["cartridge"], alert["alert"])
        tried.expect(name not in seen, f"raised twice: {alert['alert']}")
        seen.add(name)
        tried.expect(alert["at"] >= alert["due"], f"early: {alert['alert']}")
        since = drops.get(alert["cartridge"])
        if since is not None and alert["alert"] in dues:
            right = since + dues[alert["alert"]]
            tried.expect(alert["due"] == right, f"{alert['alert']} due {alert['due'] - right} ms")


def lives(ground: Ground) -> Iterator[Tried]:
    """Live and die many times on a few journals."""
    chance = ground.chance("kills")
    rows = {how: Tried(what=f"kill -9 {how} of a real bay") for how in (AIMED, RANDOM, STARTING)}
    seen = {how: Counter[str]() for how in rows}
    total, done = ground.times(long=500, short=6), 0
    while done < total:
        with site(ground.folder()) as place:
            model = Model()
            founder = place.start()
            place.prepare(founder)
            founder.kill()
            for _ in range(min(LIVES_OF_ONE_JOURNAL, total - done)):
                done += 1
                how = AIMED if done % 2 else STARTING if done % 6 == 0 else RANDOM
                tried = rows[how]
                tried.times += 1
                life = Life(place, model, tried, chance)
                if how != STARTING:
                    life.welcome()
                    life.burst()
                life.kill(how)
                torn = torn_frames(place.journal) > 0
                model.answers(life.bay)
                amid = any(each.answered is None for each in model.lines)
                stood = check(place.journal, model, tried)
                seen[how].update(
                    amid=int(amid), inside=int(torn or stood > 0), torn=int(torn), stood=stood
                )
                tried.expect(not life.bay.complaints, f"it complained: {life.bay.complaints}")
                # What nobody was told of may be there or not; from here on it is as found.
                settle(place.journal, model)
            end_well(place, model, tried)
    for how, row in rows.items():
        count = seen[how]
        row.note = (
            f"{count['amid']} left acts unanswered; {count['inside']} fell between the first page of "
            f"an append and its answer ({count['stood']} such acts stood, {count['torn']} were torn "
            "and passed over)"
        )
    yield from rows.values()


def settle(path: Path, model: Model) -> None:
    """Forget the lines that were never answered, except what is there all the same."""
    stored = stored_in(path)
    labels = {each["cartridge"]: each["label"] for each in stored.of("cartridge-labelled")}
    there = {each["person"] for each in stored.of("person-registered")} | set(labels.values())
    steps = {(labels[each["cartridge"]], each["step"]) for each in stored.of("step-done")}
    model.lines = [
        each
        for each in model.lines
        if each.answered is not None
        or (each.said["do"] == "step" and (each.said["cartridge"], each.said["step"]) in steps)
        or (each.said["do"] != "step" and _name(each)[1] in there)
    ]
    for each in model.lines:
        if each.answered is None:
            each.answered = math.inf  # it bounds nothing, and stands


def end_well(place: Site, model: Model, tried: Tried) -> None:
    """Let the last bay end by itself: whatever should have rung has rung by then."""
    bay = place.start()
    bay.until(lambda said: said.get("news") == "standing")
    end = now() + PATIENCE_SECONDS  # a machine under load is slow, and slow is not silent
    while _never_rang(place) and now() < end:
        time.sleep(0.1)
    tried.expect(bay.leave() == 0, "the last bay did not end well")
    check(place.journal, model, tried)
    for each in _never_rang(place):
        tried.fail(f"{each} never rang")


def _never_rang(place: Site) -> list[str]:
    """Return each alarm that was owed for the strips of the quick assay and did not ring."""
    stored = stored_in(place.journal)
    drops = {each["cartridge"] for each in stored.of("step-done") if each["step"] == "apply"}
    labels = {each["cartridge"]: each["label"] for each in stored.of("cartridge-labelled")}
    raised = {(each["cartridge"], each["alert"]) for each in stored.of("alert-raised")}
    quick = [each for each in drops if labels[each].startswith("Q")]
    owed = [(name, kind) for name in quick for kind in ("read-now", "lapsed")]
    return [f"{labels[name]}: {kind}" for name, kind in owed if (name, kind) not in raised]


TRIALS = [Trial(name="kills", title="Killed", run=lives)]
