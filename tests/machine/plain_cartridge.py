"""One cartridge as the plain model has it. Nothing here is taken from the product.

Figures are written out again by hand; instants are whole milliseconds on the bay's time line.
"""

from __future__ import annotations

from dataclasses import dataclass, field

KINDS = ["wait-over", "overdue", "early-look", "read-now", "closing", "lapsed"]
URGENCY = ["closing", "overdue", "read-now", "wait-over"]


@dataclass
class Wait:
    """A wait, begun by the step that has it."""

    until: str
    least: int = 0
    least_is_firm: bool = True
    most: int | None = None
    most_is_firm: bool = False


@dataclass
class Assay:
    """A method: its steps, which of them are extracting, and when a strip may be read."""

    id: str
    steps: list[str]
    waits: dict[str, Wait]
    extracts: str
    lines: list[str]
    early: int | None
    opens: int
    closes: int | None
    warning: int
    faint_is_read_twice: bool = False

    def has_a_clock(self, step: str) -> bool:
        """Say whether the instant of a step must be its own."""
        own = self.waits.get(step)
        begins = own is not None and (
            own.least > 0 or (own.most is not None and own.most <= 600_000)
        )
        ends = any(wait.until == step and wait.least > 0 for wait in self.waits.values())
        return step == self.steps[-1] or begins or ends


@dataclass
class Done:
    """A step that was done: when it is said to have been, and between which instants it was."""

    step: str
    said: int
    earliest: int
    latest: int
    doubted: int | None = None
    press: tuple[str, int] | None = None
    """Who confirmed it together with its neighbours, and when; None: by itself."""
    strayed: list[tuple[str, int]] = field(default_factory=list)
    """What it left behind that was not kept."""


@dataclass
class Seen:
    """What was seen on a strip: the control line, each test line, or why nothing can be told."""

    control: bool | None = None
    lines: dict[str, str] = field(default_factory=dict)
    unreadable: str | None = None

    def is_whole(self, names: list[str]) -> bool:
        """Say whether it answers for everything once."""
        if self.unreadable is not None:
            return self.control is None and not self.lines
        return self.control is not None and set(self.lines) == set(names)

    @property
    def ran(self) -> bool:
        """Whether the control line shows on a strip that can be read."""
        return self.unreadable is None and self.control is True

    @property
    def shown(self) -> set[str]:
        """The test lines that are there, however faint."""
        return {name for name, strength in self.lines.items() if strength != "absent"}

    @property
    def is_faint(self) -> bool:
        """Whether a line is there on a strip that ran, and one could doubt it."""
        return self.ran and "faint" in self.lines.values()


Told = tuple[str, dict[str, str]]
"""What somebody heard: what it comes to, and of which analyte what."""


def gravest(outcomes: dict[str, str]) -> str | None:
    """Give the outcome of a whole cartridge, the gravest doubt first."""
    words = ("withheld", "positive", "invalid", "negative")
    return next((word for word in words if word in outcomes.values()), None)


@dataclass
class Cartridge:
    """One device from its label on."""

    label: str
    person: str | None
    """None: erased."""
    assay: Assay
    place: int
    done: list[Done]
    repeats: str | None
    warned: bool
    second_today: bool = False
    """Its person had another one of that day, which ran or had a result."""
    said_at: int = 0
    """When what came of it was last said, or came about by itself."""
    lot: str = ""
    begun_on_the_wall: int = 0
    """What the clock on the wall showed when it was begun, as far as anybody had noticed by then."""
    forgotten: int = 0
    """Of those who were erased, which one it was run for."""
    early: set[str] = field(default_factory=set)
    seen: Seen | None = None
    read_by: str = ""
    read_at: int = 0
    read_to_its_end_at: int | None = None
    """When it was read, by the second one where two read it; None: it was not."""
    awaits: bool = False
    """Read once; somebody else has to read it."""
    second: bool = False
    """Read by somebody else too."""
    amended: Seen | None = None
    withdrawn: bool = False
    who_saw: set[str] = field(default_factory=set)
    held: set[str] = field(default_factory=set)
    was_contradicted: bool = False
    """It was held before for what another one says."""
    told: dict[str, Told] = field(default_factory=dict)
    """What each who may hear of it was told last."""
    told_at: int = 0
    """When anybody was told last."""
    void: bool = False
    lapsed: bool = False
    unsure: bool = False
    mended: bool = False
    """It was unsure, and two people have said when the drops fell."""
    outcomes: dict[str, str] = field(default_factory=dict)
    deviations: list[tuple[str, int]] = field(default_factory=list)
    fallen: set[tuple[str, str]] = field(default_factory=set)

    @property
    def wanted(self) -> str | None:
        """The step that is due, if any is left."""
        steps = self.assay.steps
        return steps[len(self.done)] if len(self.done) < len(steps) else None

    @property
    def applied(self) -> Done | None:
        """The drops, once they fell."""
        return self.done[-1] if self.wanted is None else None

    def window(self) -> tuple[int | None, int, int | None, int | None]:
        """Give the instants from which: early, open, closing; and the last that counts."""
        applied, assay = self.done[-1], self.assay
        opens = applied.latest + assay.opens
        closes = None if assay.closes is None else applied.earliest + assay.closes
        closing = None
        if closes is not None and assay.warning:
            closing = max(opens, closes - assay.warning)
        return (
            None if assay.early is None else applied.latest + assay.early,
            opens,
            closing,
            closes,
        )

    @property
    def is_empty(self) -> bool:
        """Whether the window closes before it opens."""
        _, opens, _, closes = self.window()
        return closes is not None and closes < opens

    @property
    def ended(self) -> bool:
        """Whether the record says that nothing more is done to it."""
        return self.void or self.lapsed or (self.seen is not None and not self.awaits)

    def is_late(self, now: int) -> bool:
        """Say whether its window has closed on it, recorded or not."""
        if self.lapsed:
            return True
        if self.ended or self.applied is None:
            return False
        closes = self.window()[3]
        return closes is not None and now > closes

    def stage(self, now: int) -> str:
        """Give the word for where it is."""
        if self.void:
            return "void"
        if self.is_late(now):
            return "lapsed"
        if self.ended:
            return "read"
        if self.applied is None:
            steps = [each.step for each in self.done]
            if len(steps) == 1:
                return "labelled"
            return "extracting" if self.assay.extracts in steps else "preparing"
        _, opens, closing, _ = self.window()
        if self.unsure or now < opens:
            return "second-reading-due" if self.awaits else "developing"
        return "closing" if closing is not None and now >= closing else "read-window"

    def analytes(self, now: int) -> dict[str, str]:
        """Give the outcome of each analyte, once there is one."""
        if self.lapsed or not self.is_late(now):
            return self.outcomes
        if self.awaits:
            return dict.fromkeys(self.assay.lines, "withheld")
        names = self.assay.lines
        return {name: "positive" if name in self.early else "invalid" for name in names}

    def outcome(self, now: int) -> str | None:
        """Give the outcome of the whole, the gravest doubt first."""
        return gravest(self.analytes(now))

    @property
    def is_read_invalid(self) -> bool:
        """Whether somebody saw that it had not run; of one that lapsed nobody knows."""
        return self.seen is not None and gravest(self.outcomes) == "invalid"

    def asks_for_repeat(self, now: int) -> bool:
        """Say whether nothing came of it that can be told."""
        return self.void or self.withdrawn or self.outcome(now) in ("invalid", "withheld")

    def came_to(self) -> tuple[object, ...]:
        """Give all that bears on what came of it, as the record has it."""
        return (
            self.void,
            self.lapsed,
            self.withdrawn,
            self.seen,
            self.second,
            self.amended,
            dict(self.outcomes),
        )

    def failed_since(self) -> int | None:
        """Give since when the record says that nothing comes of it; None: it runs, or has a result."""
        nothing = self.void or self.withdrawn
        nothing = nothing or gravest(self.outcomes) in ("invalid", "withheld")
        return self.said_at if nothing else None

    def running_waits(self) -> list[tuple[Done, Wait, int, int | None]]:
        """Give each wait that runs: its beginning, itself, when it is over, and its limit."""
        if self.ended:
            return []
        steps = {each.step for each in self.done}
        found: list[tuple[Done, Wait, int, int | None]] = []
        for each in self.done:
            wait = self.assay.waits.get(each.step)
            if wait is None or wait.until in steps:
                continue
            limit = None if wait.most is None else each.earliest + wait.most
            if limit is not None and each.doubted is not None:
                limit = min(limit, each.doubted)
            found.append((each, wait, each.latest + wait.least, limit))
        return found

    def deadlines(self) -> list[tuple[int, str, str]]:
        """Give every alert that has not fallen: when, which, and of which step."""
        if self.ended:
            return []
        found: list[tuple[int, str, str]] = []
        for begun, wait, over, limit in self.running_waits():
            if wait.least > 0:
                found.append((over, "wait-over", begun.step))
            if limit is not None:
                found.append((limit, "overdue", begun.step))
        if self.applied is not None:
            early, opens, closing, closes = self.window()
            if not self.unsure:
                if early is not None and self.seen is None:
                    found.append((early, "early-look", ""))
                found.append((max(opens, self.read_at), "read-now", ""))
                found += [(closing, "closing", "")] if closing is not None else []
            found += [(closes + 1, "lapsed", "")] if closes is not None else []
        return [each for each in found if each[1:] not in self.fallen]

    def call(self, now: int) -> tuple[str, int | None] | None:
        """Give what calls for somebody now, the most urgent, and from when it cannot be hushed."""
        calls: list[tuple[str, int, int | None, int | None]] = []
        for _, wait, over, limit in self.running_waits():
            if wait.least > 0:
                calls.append(("wait-over", over, limit, None))
            if limit is not None:
                calls.append(("overdue", limit, None, None))
        if self.applied is not None and not self.unsure and not self.ended:
            _, opens, closing, closes = self.window()
            insists = None if closes is None else closes - 60_000
            end = None if closes is None else closes + 1
            begins = max(opens, self.read_at)
            calls.append(("read-now", begins, end if closing is None else closing, insists))
            if closing is not None:
                calls.append(("closing", closing, end, insists))
        found = [
            (URGENCY.index(kind), insists)
            for kind, begins, ends, insists in calls
            if begins <= now and (ends is None or now < ends)
        ]
        if not found:
            return None
        rank, insists = min(found, key=lambda each: each[0])
        return URGENCY[rank], insists

    def judge(self, seen: Seen) -> dict[str, str]:
        """Judge each analyte by what was seen inside the window."""
        found: dict[str, str] = {}
        for name in self.assay.lines:
            if seen.ran and name in seen.shown:
                found[name] = "positive"
            elif name in self.early:
                found[name] = "withheld"
            else:
                found[name] = "negative" if seen.ran else "invalid"
        return found
