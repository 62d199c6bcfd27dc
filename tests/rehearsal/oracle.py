"""A second, slow and plain implementation of a rehearsal, to hold the product against.

It knows nothing of the product and shares no line with it. Time is whole milliseconds after the
start. It steps from one instant to the next; at each instant the acts run in the order of the file,
then every alert that is due falls.
"""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from rehearsal.oracle_cartridge import ASSAYS, KINDS, Cartridge, Doc, Done, Lot, ms
from rehearsal.scenario_text import millis

if TYPE_CHECKING:
    from collections.abc import Mapping

UNREADABLE = {"background", "smear", "flow-stopped", "flooded", "damaged"}


def play(text: str, assays: Mapping[str, Doc] | None = None) -> Doc:
    """Play a scenario with acts; `assays` adds to or replaces the two bundled ones, by id."""
    return Run(text, ASSAYS | dict(assays or {})).play()


class Run:
    """One scenario being played."""

    def __init__(self, text: str, assays: Mapping[str, Doc]) -> None:
        """Read the file; operators, people and lots that acts name in vain are refusals later."""
        self.file = tomllib.loads(text)
        self.starts: datetime = self.file["starts"].astimezone(UTC)
        self.zone = ZoneInfo(self.file["timezone"])
        self.operators = {one["id"] for one in self.file.get("operator", [])}
        self.people = {one["id"]: one.get("bands") for one in self.file.get("person", [])}
        self.own_bands = {one["id"]: one.get("bands") for one in self.file.get("cartridge", [])}
        self.lots: dict[str, Lot] = {}
        for one in self.file.get("lot", []):
            assay = assays[one.get("assay", self.file["assay"])]
            self.lots[one["number"]] = Lot(one["expires"], one["units"], assay)
        self.asked = len(self.file.get("interruption", []))
        self.swapped: dict[str, str] = {}  # label to the label that its device should bear
        for one in self.file.get("flaw", []):
            if one["kind"] == "label-swapped":
                self.swapped |= {one["cartridge"]: one["other"], one["other"]: one["cartridge"]}
        self.cartridges: dict[str, Cartridge] = {}  # in order of labelling
        self.alerts: list[Doc] = []
        self.acts = self.file.get("act", [])

    def play(self) -> Doc:
        """Step through every instant at which anything can happen."""
        answers: list[Doc] = []
        todo = list(enumerate(self.acts))
        now = -1
        while (soonest := self.next_instant(now, todo)) is not None:
            now = soonest
            while todo and millis(todo[0][1]["at"]) == now:  # acts come before alerts
                n, act = todo.pop(0)
                refusal = self.do(act, now)
                answers.append(
                    {"n": n, "at_s": now / 1000, "accepted": refusal is None, "refusal": refusal}
                )
            self.ring(now)
        return {
            "acts": answers,
            "alerts": self.alerts,
            "cartridges": [cartridge.row() for cartridge in self.cartridges.values()],
        }

    def next_instant(self, now: int, todo: list[tuple[int, Doc]]) -> int | None:
        """Find the next instant of an act or of a deadline; None when nothing is pending."""
        instants = [millis(act["at"]) for _, act in todo]
        for cartridge in self.cartridges.values():
            instants += [at for at, _ in cartridge.deadlines()]
        return min((at for at in instants if at > now), default=None)

    def ring(self, now: int) -> None:
        """Let fall what is due; a deadline found past falls at once, and none is lost.

        At one instant they fall by when they were due, then in order of labelling, then by kind.
        """
        due = [
            (at, place, KINDS.index(kind), cartridge)
            for place, cartridge in enumerate(self.cartridges.values())
            for at, kind in cartridge.deadlines()
            if at <= now and (len(cartridge.done), kind) not in cartridge.fallen
        ]
        for _, _, kind, cartridge in sorted(due, key=lambda one: one[:3]):
            cartridge.fallen.add((len(cartridge.done), KINDS[kind]))
            self.alerts.append(
                {"at_s": now / 1000, "cartridge": cartridge.label, "kind": KINDS[kind]}
            )

    def do(self, act: Doc, now: int) -> str | None:
        """Try one act: None if accepted, else the code of the refusal, which changes nothing."""
        if act["by"] not in self.operators:
            return "unknown-operator"
        if act["do"] == "hold-lot":
            if act["lot"] not in self.lots:
                return "unknown-lot"
            self.lots[act["lot"]].held = True  # again on a held lot: accepted
            return None
        if act["do"] == "answer":
            assert 1 <= act["interruption"] <= self.asked
            return None  # right or wrong, nothing of the bay changes
        if act["do"] == "label":
            return self.label(act, now)
        cartridge = self.cartridges.get(act["cartridge"])
        if cartridge is None:
            return "unknown-cartridge"
        if act.get("scanned", cartridge.label) != cartridge.label:
            return "wrong-cartridge"
        if act.get("person", cartridge.person) != cartridge.person:
            return "wrong-person"  # known or not
        return ended(cartridge, act, now) or self.go_on(cartridge, act, now)

    def go_on(self, cartridge: Cartridge, act: Doc, now: int) -> str | None:
        """Try an act on a cartridge that has not ended, by somebody who may."""
        if act["do"] == "void":
            if cartridge.early:
                return "not-allowed"  # it must not wipe out a positive
            cartridge.void = True
            return None
        if act["do"] == "step":
            return step(cartridge, act, now)
        return self.see(cartridge, act, now)

    def label(self, act: Doc, now: int) -> str | None:
        """Start a cartridge."""
        if act["cartridge"] in self.cartridges:
            return "label-in-use"
        if act.get("scanned", act["cartridge"]) != act["cartridge"]:
            return "wrong-cartridge"
        if act["person"] not in self.people:
            return "unknown-person"
        lot = self.lots.get(act["lot"])
        if lot is None:
            return "unknown-lot"
        if lot.held:
            return "lot-on-hold"
        today = (self.starts + timedelta(milliseconds=now)).astimezone(self.zone).date()
        if today > lot.expires:  # good through the end of its date in the site's zone
            return "lot-expired"
        if lot.left < 1:
            return "lot-used-up"
        lot.left -= 1
        repeat_of = None
        for other in self.cartridges.values():  # the one found last is the latest labelled
            ended_badly = other.void or other.outcome(now) in ("invalid", "withheld")
            if other.person == act["person"] and other.assay is lot.assay and ended_badly:
                repeat_of = other.label  # it must have ended by the instant of the label
        self.cartridges[act["cartridge"]] = Cartridge(
            act["cartridge"], act["person"], act["lot"], lot.assay, [Done(now, now, now)], repeat_of
        )
        return None

    def see(self, cartridge: Cartridge, act: Doc, now: int) -> str | None:
        """Take an early look or a window reading."""
        applied = cartridge.applied
        if applied is None:
            return "out-of-order"
        opens, _, _ = cartridge.after(applied)
        look = act["do"] == "look"
        early_from = cartridge.assay["early_from"]
        if look:
            if early_from is None or now >= opens:
                return "not-allowed"
            if now < applied.latest + ms(early_from):
                return "too-early"
        elif now < opens:
            return "too-early"
        bands = self.bands(cartridge, act, now - applied.at)
        if bands is None:
            return "bad-bands"
        if look:
            return look_early(cartridge, *bands, now)
        read(cartridge, *bands)
        cartridge.read_at, cartridge.read_by = now, act["by"]
        return None

    def bands(self, cartridge: Cartridge, act: Doc, elapsed: int) -> tuple[bool, set[str]] | None:
        """Tell if the control line and which test lines show; None: bands of no sense."""
        if "unreadable" in act:  # counts as an absent control line: invalid
            if "control" in act or "test" in act or act["unreadable"] not in UNREADABLE:
                return None
            return False, set()
        names = cartridge.assay["analytes"]
        virtual = self.virtual(cartridge)
        if is_spoilt(virtual, elapsed):  # nobody vouches for a line of it
            if "control" not in act and "test" not in act:
                return False, set()
            if "control" not in act or "test" not in act:
                return None
        start = virtual.get("control", "00:03:00")
        control = act.get("control", start != "never" and elapsed >= millis(start))
        if "test" in act:
            given = act["test"]
            if isinstance(given, str):  # a plain word will do for one line only
                given = dict.fromkeys(names, given) if len(names) == 1 else {}
            if set(given) != set(names):  # unknown or missing analytes
                return None
            return control, {name for name in names if given[name] != "absent"}
        lines = virtual.get("test", "never")
        if lines == "never" or "from" in lines:  # said once, for the one line there is
            lines = dict.fromkeys(names, lines)
        shown = {name for name in names if lines.get(name, "never") != "never"}
        return control, {name for name in shown if elapsed >= millis(lines[name]["from"])}

    def virtual(self, cartridge: Cartridge) -> Doc:
        """Give what the device shows that bears the label; it may be another's."""
        device = self.swapped.get(cartridge.label, cartridge.label)
        if device not in self.cartridges:
            device = cartridge.label  # nobody can have mixed it up with what is not there yet
        own: Doc | None = self.own_bands.get(device)  # the device goes before the person
        if own is not None:
            return own
        return self.people[self.cartridges[device].person] or {}


def is_spoilt(virtual: Doc, elapsed: int) -> bool:
    """Tell whether the strip cannot be read any more."""
    found = virtual.get("unreadable")
    if found is None:
        return False
    return isinstance(found, str) or elapsed >= millis(found.get("from", "0:00"))


def ended(cartridge: Cartridge, act: Doc, now: int) -> str | None:
    """Say why nothing more is done to a cartridge that was read, has lapsed or is void."""
    stage = cartridge.stage(now)
    if stage == "read":
        return "already-read"
    if stage == "void":
        return "already-ended"
    if stage == "lapsed":
        return "window-closed" if act["do"] in ("look", "read") else "already-ended"
    return None


def step(cartridge: Cartridge, act: Doc, now: int) -> str | None:
    """Do the next step of the assay, now or as stated after the fact."""
    steps = cartridge.assay["steps"]
    if cartridge.applied is not None or act["step"] != steps[len(cartridge.done)][0]:
        return "out-of-order"
    before = cartridge.done[-1]
    this = Done(now, now, now)
    if "done_at" in act:
        said, give = millis(act["done_at"]), ms(act.get("give_or_take", 0))
        if said < before.at:
            return "out-of-order"  # before the last known act
        this = Done(said, max(said - give, before.earliest), min(said + give, now))
    name, least, most = steps[len(cartridge.done) - 1]  # the step that began the wait
    if least is not None and this.earliest - before.latest < ms(least):
        return "wait-not-over"  # it may have been short, so it counts as short
    if this.at > now:
        return "not-allowed"  # done in the future
    longest = this.latest - before.earliest
    if most is not None and longest > ms(most):  # it may have been long, so it counts as long
        cartridge.deviations.append({"code": f"{name}-long", "seconds": longest / 1000})
    cartridge.done.append(this)
    if len(cartridge.done) == len(steps):
        opens, _, closes = cartridge.after(this)
        cartridge.void = opens > closes  # nothing is left between
    return None


def look_early(cartridge: Cartridge, control: bool, shown: set[str], now: int) -> str | None:
    """Take an early look: it settles only the lines that show, and may be repeated."""
    if not control:
        return "early-no-control"
    if not shown:
        return "early-negative"
    cartridge.early |= shown
    if cartridge.early_at is None:
        cartridge.early_at = now
    return None


def read(cartridge: Cartridge, control: bool, shown: set[str]) -> None:
    """Judge each analyte by what was seen in the window."""
    for name in cartridge.assay["analytes"]:
        if control and name in shown:
            word = "positive"
        elif name in cartridge.early:
            word = "withheld"  # contradicted, by a negative or an invalid
        else:
            word = "negative" if control else "invalid"
        cartridge.seen[name] = word
