"""Several stations on one server: killed, cut off and restarted at any instant.

The model is the hands at the stations: they note what each station acknowledged. In the end all
of it stands once in a record that is whole, and the same on the server and at every station.
"""

from __future__ import annotations

import time
from collections import Counter
from contextlib import ExitStack, suppress
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from board_program.conftest import LOT, OPERATOR, PERSONS
from patience import PATIENCE_SECONDS
from readbell.core.cartridge.events import CartridgeLabelled, StepDone
from readbell.core.people.events import PersonRegistered
from readbell.journal.errors import JournalError
from readbell.journal.postgres_programs import server_programs
from server import MISSING, Database, Server
from stations.scene import Computer, answer_to, computers, doubled, on_server, same_everywhere
from torture.trial import Ground, Trial, Tried
from wire import Wire

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Iterator

    from torture.processes import Bay

NAMES = ("window", "reading", "desk")
OUTAGE_SECONDS = 30.0
SHORT_OUTAGE_SECONDS = 2.0
HARMS = (
    "the server killed, and started again",
    "one station's wire cut",
    "a wire cut in the middle of an append that the server stored",
    "a wire cut in the middle of an append that the server never got",
    "a wire that holds everything still",
    "one station killed, and started again",
)


@dataclass(kw_only=True)
class Desk:
    """One station with its wire, and what it acknowledged."""

    computer: Computer
    wire: Wire
    bay: Bay
    mark: str
    done: list[str] = field(default_factory=list)
    count: int = 0
    label: str = ""

    def act(self, chance: random.Random) -> None:
        """Do one thing; note it if it was acknowledged."""
        self.count += 1
        by = {"by": OPERATOR}
        if not self.label or chance.random() < 0.3:
            # Labels of stations that may be alone begin with their marks.
            label = f"{self.mark}-{self.count}"
            line: dict[str, Any] = {
                "do": "label", "cartridge": label, "person": chance.choice(PERSONS), "lot": LOT, **by,
            }  # fmt: skip
            if self._taken(line, f"label {label}"):
                self.label = label
        elif chance.random() < 0.5:
            name = f"P-{self.mark}-{self.count}"
            self._taken({"do": "register-person", "id": name, **by}, f"person {name}")
        else:
            step = chance.choice(("buffer", "collect"))
            line = {"do": "step", "cartridge": self.label, "step": step, **by}
            self._taken(line, f"step {self.label} {step}")

    def _taken(self, line: dict[str, Any], name: str) -> bool:
        taken: bool = answer_to(self.bay, **line)["accepted"]
        if taken:
            self.done.append(name)
        return taken


class Scene:
    """Three stations at work, and one server that may be harmed."""

    def __init__(self, server: Server, stack: ExitStack) -> None:
        self.server = server
        self.database = Database(server, server.new_database())
        self.desks: list[Desk] = []
        for computer in stack.enter_context(computers(*NAMES)):
            wire = Wire(server.port)
            stack.callback(wire.close)
            computer.join(self.database.through(wire))
            if not self.desks:
                computer.prepare(persons=PERSONS)
            self.desks.append(
                Desk(computer=computer, wire=wire, bay=computer.bay(), mark="ABC"[len(self.desks)])
            )

    def work(self, chance: random.Random, times: int) -> None:
        """Have every station do so many things, in no order."""
        for _ in range(times):
            for desk in chance.sample(self.desks, len(self.desks)):
                desk.act(chance)

    def harm(self, what: str, chance: random.Random, seconds: float) -> None:
        """Do one harm, work on meanwhile, and mend it."""
        desk = chance.choice(self.desks)
        do, mend = self._harm(what, desk)
        do()
        begun = time.monotonic()  # noqa: TID251  # real processes
        self.work(chance, 3)
        # The rest of the outage goes by; some of the work falls into its end.
        time.sleep(max(0.0, seconds - (time.monotonic() - begun)))  # noqa: TID251
        mend()
        self.work(chance, 2)

    def _harm(self, what: str, desk: Desk) -> tuple[Callable[[], None], Callable[[], None]]:
        def kill() -> None:
            desk.bay.process.kill()
            desk.bay.wait()
            desk.bay = desk.computer.bay()

        harms = (
            (lambda: self.server.stop("immediate"), self.server.start),
            (desk.wire.cut, desk.wire.mend),
            (desk.wire.lose_next_answer, desk.wire.mend),
            (desk.wire.lose_next_request, desk.wire.mend),
            (desk.wire.hold, desk.wire.mend),
            (kill, lambda: None),
        )
        return harms[HARMS.index(what)]

    def until_joined_up(self) -> None:
        """Wait until everything acknowledged is on the server."""
        wanted = Counter(each for desk in self.desks for each in desk.done)
        end = time.monotonic() + PATIENCE_SECONDS  # noqa: TID251
        while time.monotonic() < end:  # noqa: TID251
            with suppress(JournalError):
                if not wanted - told(self.desks[0].computer):
                    return
            time.sleep(0.2)


def told(computer: Computer) -> Counter[str]:
    """Return how often each act stands in the record of `computer`."""
    labels: dict[str, str] = {}
    found: Counter[str] = Counter()
    for event in computer.events():
        match event:
            case CartridgeLabelled():
                labels[event.cartridge] = event.label
                found[f"label {event.label}"] += 1
            case StepDone():
                found[f"step {labels[event.cartridge]} {event.step}"] += 1
            case PersonRegistered():
                found[f"person {event.person.value}"] += 1
            case _:
                pass
    return found


def _compare(scene: Scene, tried: Tried) -> None:
    """Hold the record against what the stations acknowledged."""
    scene.until_joined_up()
    try:
        board = same_everywhere(scene.database, *(each.computer for each in scene.desks))
    except AssertionError as error:
        tried.fail(f"not the same everywhere: {str(error)[:200]}")
        board, _ = on_server(scene.database)
    found = told(scene.desks[0].computer)
    for desk in scene.desks:
        for each in desk.done:
            tried.expect(found[each] > 0, f"acknowledged and gone: {each}")
    for name, times in found.items():
        tried.expect(times == 1, f"{times} times on record: {name}")
    for name in doubled(scene.desks[0].computer.envelopes()):
        tried.fail(f"one event twice: {name}")
    tried.expect(not board.apart, f"kept apart with nobody to disagree: {len(board.apart)}")


def stations(ground: Ground) -> Iterator[Tried]:
    """Harm a bay of three stations in each way, over and over."""
    if server_programs() is None:
        yield Tried(what=HARMS[0], skipped=True, note=MISSING)
        return
    seconds = OUTAGE_SECONDS if ground.long else SHORT_OUTAGE_SECONDS
    harms = HARMS if ground.long else (HARMS[0], HARMS[2])
    with ExitStack() as stack:
        server = Server(durable=ground.long)
        stack.callback(server.close)
        for what in harms:
            tried = Tried(what=what)
            chance = ground.chance(f"stations {what}")
            with ExitStack() as inner:
                scene = Scene(server, inner)
                for _ in range(ground.times(long=2, short=1)):
                    tried.times += 1
                    scene.work(chance, 2)
                    scene.harm(what, chance, seconds)
                    _compare(scene, tried)
            acts = sum(len(each.done) for each in scene.desks)
            tried.note = (
                f"{len(scene.desks)} stations, {seconds:.0f} s each, {acts} acts acknowledged"
            )
            yield tried


TRIALS = [Trial(name="stations", title="Several stations, one bay", run=stations)]
