"""A real bay at which somebody works, and whom it acknowledged."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from readbell.journal.continuation import continuations_of, read_continuation
from torture.processes import QUICK, Bay, Site, arrival, labelling, site, step
from torture.stored import stored_in

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torture.trial import Ground, Tried

ACTS = 5


@dataclass(kw_only=True)
class Work:
    """One bay at work, and whom it acknowledged."""

    place: Site
    tried: Tried
    bay: Bay
    acknowledged: list[str] = field(default_factory=list)
    refused: int = 0
    count: int = 0
    padding: int = 0

    def act(self, times: int = ACTS) -> None:
        """Let people arrive."""
        for _ in range(times):
            self.count += 1
            name = f"P-{self.count}" + "." * self.padding
            answer = self.bay.ask(**arrival(name))
            if answer["accepted"]:
                self.acknowledged.append(name)
            else:
                self.tried.expect(answer.get("refusal") == "not-saved", f"said: {answer}")
                self.refused += 1

    def drops(self) -> None:
        """Begin a strip of half a second."""
        self.act(1)
        self.bay.must(**labelling("Q1", self.acknowledged[-1], QUICK))
        self.bay.must(**step("Q1", "soak"))
        self.bay.must(**step("Q1", "apply"))

    def all_there(self, also: list[str] | None = None) -> None:
        """Insist that the journal is whole and holds everybody acknowledged."""
        done = self.place.verify()
        self.tried.expect(done.returncode == 0, f"verify: {done.stdout}{done.stderr}")
        there = {each["person"] for each in stored_in(self.place.journal).of("person-registered")}
        there |= set(also or ())
        for name in self.acknowledged:
            self.tried.expect(name in there, f"{name[:8]} was acknowledged and is gone")

    def beside(self) -> list[str]:
        """Return who is in files beside the journal, each of which must be readable."""
        files = continuations_of(
            self.place.journal, [self.place.top / name / "readbell" for name in ("STATE", "CACHE")]
        )
        records = [each for file in files for each in read_continuation(file).records]
        return [str(row.value) for each in records for row in each.private]

    def restart(self) -> list[dict[str, Any]]:
        """Kill it, start it again, and return what is told first."""
        self.bay.kill()
        self.bay = self.place.start()
        self.bay.until(lambda said: said.get("news") == "standing")
        return list(self.bay.heard)


@contextmanager
def at_work(ground: Ground, tried: Tried, **options: Any) -> Iterator[Work]:
    """Give a bay at which somebody has begun to work."""
    tried.times += 1
    with site(ground.folder()) as place:
        work = Work(place=place, tried=tried, bay=place.start(**options))
        place.prepare(work.bay)
        work.act()
        yield work
