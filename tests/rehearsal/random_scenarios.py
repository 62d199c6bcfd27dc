"""A seeded writer of scenarios that lean on borders; every file it writes is valid.

One seed gives one file, for ever. The first line is a comment with the seed, so that a scenario on
which two readings of the rules differ can be written again and looked at.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

from rehearsal.oracle_cartridge import NASAL, STEPS, Doc
from rehearsal.scenario_text import clock, table, value

NASAL_ID = "respiratory-antigen-nasal"
THREE_ID = "respiratory-antigen-three-lines"
CUSTOM_ID = "three-early.toml"
"""Three lines and leave for an early look: a file that must stand beside the scenario."""
LINES = ["influenza-a", "influenza-b", "sars-cov-2"]
CUSTOM: dict[str, Doc] = {CUSTOM_ID: NASAL | {"analytes": LINES}}
"""What the oracle is told of that file."""
MINUTE = 60_000
SHADES = ["faint", "clear", "very-faint"]
STARTS = [
    ("2026-03-29T00:40:00+00:00", "Europe/London"),  # the night the clock goes forward
    ("2026-03-28T23:40:00+00:00", "Europe/London"),  # 20 min before midnight, still winter time
    ("2026-03-29T22:40:00+00:00", "Europe/London"),  # 20 min before midnight, summer time
    ("2026-10-24T22:40:00+00:00", "Europe/London"),  # 20 min before the midnight of a 25 h day
    ("2026-10-25T23:40:00+00:00", "Europe/London"),  # and before its end
    ("2026-10-25T01:40:00+01:00", "Europe/London"),
    ("2026-06-30T23:35:00+05:45", "Asia/Kathmandu"),
    ("2026-12-31T23:30:00-03:30", "America/St_Johns"),
    ("2026-07-01T10:00:00-04:00", "Pacific/Auckland"),
    ("2026-02-28T08:00:00+00:00", "UTC"),
]
WAITS = [59_999, 60_000, 60_001, 61_000, 90_000, 120_000, 179_999, 180_000, 180_001, 200_000]
LOOKS = [0, 1, 60_000, 119_999, 120_000, 120_001, 179_999, 180_000, 300_000, 600_000, 899_999]
READS = [
    899_999,
    900_000,
    900_001,
    960_000,
    1_079_999,
    1_080_000,
    1_080_001,
    1_199_999,
    1_200_000,
    1_200_001,
    1_200_002,
    1_260_000,
]


class Writer:
    """Makes one scenario from one seed."""

    def __init__(self, seed: int) -> None:
        """Choose the frame: assay, start, operators, lots, people, cartridges."""
        self.rng = rng = Random(seed)  # noqa: S311  # chance for a test, no secret
        self.late = rng.random() < 0.4  # steps are entered after the fact
        self.rare = rng.random() < 0.3  # things that hardly happen
        self.mixed = False  # a lot of another assay stands on the shelf
        self.assay = rng.choice([NASAL_ID, NASAL_ID, NASAL_ID, THREE_ID, CUSTOM_ID])
        self.starts, self.zone = rng.choice(STARTS)
        self.operators = [f"op-{n}" for n in range(1, rng.randint(1, 3) + 1)]
        self.people = [f"P-{n:03}" for n in range(1, rng.randint(1, 3) + 1)]
        self.labels = [f"C{n}" for n in range(1, rng.randint(1, 6) + 1)]
        self.lots: list[Doc] = []
        self.make_lots()
        self.acts: list[tuple[int, Doc]] = []

    @property
    def lines(self) -> list[str]:
        """The test lines of the file's assay."""
        return ["sars-cov-2"] if self.assay == NASAL_ID else LINES

    def may(self, chance: float) -> bool:
        """Toss a coin of the given bias."""
        return self.rng.random() < chance

    def midnight(self) -> int:
        """Milliseconds from the start to the next midnight of the site."""
        begin = datetime.fromisoformat(self.starts).astimezone(UTC)
        zone = ZoneInfo(self.zone)
        morrow = begin.astimezone(zone).date() + timedelta(days=1)
        there = datetime(morrow.year, morrow.month, morrow.day, tzinfo=zone).astimezone(UTC)
        return round((there - begin).total_seconds() * 1000)

    def make_lots(self) -> None:
        """One good lot; then lots that run out of days or of units, or are of the other assay."""
        today = datetime.fromisoformat(self.starts).astimezone(ZoneInfo(self.zone)).date()
        self.lots.append({"number": "L-100", "expires": today + timedelta(days=90), "units": 20})
        for n in range(self.rng.randint(0, 3)):
            days = self.rng.choice([-1, 0, 0, 0, 1, 1, 30])
            units = self.rng.choice([1, 1, 2, 5])
            lot = {"number": f"L-2{n:02}", "expires": today + timedelta(days=days), "units": units}
            if self.may(0.1):
                lot["assay"] = self.assay  # naming the file's own changes nothing
            self.lots.append(lot)
        if self.rare and self.may(0.3) and self.assay != CUSTOM_ID:
            other = THREE_ID if self.assay == NASAL_ID else NASAL_ID
            self.lots.append(
                {"number": "L-300", "expires": date(2030, 1, 1), "units": 3, "assay": other}
            )
            self.mixed = True

    def line(self) -> Any:
        """One virtual test line."""
        if self.may(0.35):
            return "never"
        start = self.rng.choice([0, 60_000, 119_999, 120_000, 120_001, 390_000, 899_999, 900_000])
        if self.may(0.15):
            start = self.rng.choice([900_001, 1_200_000, 1_200_001])
        return {"from": clock(start), "strength": self.rng.choice(SHADES)}

    def bands(self) -> Doc:
        """What a virtual cartridge shows."""
        bands: Doc = {
            "control": self.rng.choice(
                ["never", "00:00:00", "02:00", "02:00.001", "00:03:00", "03:00", "15:00.001"]
            )
        }
        if self.may(0.5):
            bands["control"] = "01:30"
        if self.may(0.85):
            lines = {name: self.line() for name in self.lines}
            bands["test"] = lines if len(lines) > 1 else lines[self.lines[0]]
        if self.may(0.08):
            reason = self.rng.choice(["smear", "background", "flow-stopped"])
            start = self.rng.choice([0, 120_000, 120_001, 899_999, 900_000, 900_001, 1_200_000])
            spoilt = {"from": clock(start), "reason": reason}
            bands["unreadable"] = reason if self.may(0.3) else spoilt
        return bands

    def seen(self) -> Doc:
        """Bands as an operator enters them: all, some, none of them, or nonsense."""
        bands: Doc = {}
        if self.may(0.06):
            bands["unreadable"] = self.rng.choice(["smear", "background", "flooded", "damaged"])
            if self.may(0.8):
                return bands
        if self.may(0.55):
            bands["control"] = self.may(0.85)
        if self.may(0.6):
            words = ["absent", "absent", "faint", "clear"]
            many: Doc = {name: self.rng.choice(words) for name in self.lines}
            bands["test"] = many
            if len(many) == 1:
                bands["test"] = many[self.lines[0]]
                if self.may(0.03):
                    bands["test"] = {"influenza-z": "faint"}
            elif self.may(0.05):
                bands["test"] = "absent"
            elif self.may(0.05):
                many.pop(self.rng.choice(LINES))
            elif self.may(0.03):
                many["influenza-z"] = "absent"
        return bands

    def add(self, at: int, do: str, **more: Any) -> None:
        """Put down one act, with the checks and slips that come with it."""
        if at < 0:
            return
        act: Doc = {"at": clock(at), "by": self.rng.choice(self.operators), "do": do, **more}
        if self.may(0.02):
            act["by"] = "op-9"
        if do != "hold-lot":
            if self.may(0.2):
                act["scanned"] = act["cartridge"]
            if self.may(0.03):
                act["scanned"] = self.rng.choice([*self.labels, "C99"])
            if do != "label" and self.may(0.03):
                act["person"] = self.rng.choice([*self.people, "P-999"])
            if do == "label" and self.may(0.03):
                act["person"] = "P-999"
            if do != "label" and self.may(0.02):
                act["cartridge"] = self.rng.choice([*self.labels, "C98"])
        self.acts.append((at, act))

    def one(self, label: str, begin: int) -> int:
        """All acts meant for one cartridge; gives the instant at which its story is over."""
        rng, at = self.rng, begin
        person = rng.choice(self.people)
        lot = rng.choice([*self.lots, self.lots[0]])["number"]
        self.add(at, "label", cartridge=label, person=person, lot=lot)
        first = self.acts[-1][1]
        slip = first["by"] == "op-9" or "scanned" in first or first["person"] != person
        if (slip or lot != "L-100") and self.may(0.8):  # a refused one is mostly put right
            act = {"at": clock(at), "by": self.operators[0], "do": "label", "cartridge": label}
            self.acts.append((at, act | {"person": person, "lot": "L-100"}))
        if self.may(0.08):
            other = rng.choice(["L-100", "L-999"])
            self.add(
                at + rng.choice([0, 1, 1000]), "label", cartridge=label, person=person, lot=other
            )
        leave = rng.choice([1, 2, 3, 4, 5]) if self.may(0.12) else 9  # go on no further than this
        said = at
        for n, (step, _, _) in enumerate(STEPS[1:], start=1):
            if n > leave:
                break
            if self.may(0.04):
                self.add(at, rng.choice(["void", "look", "read"]), cartridge=label)
            if self.may(0.06):  # out of turn, or twice
                wrong = rng.choice([name for name, _, _ in STEPS])
                self.add(at, "step", cartridge=label, step=wrong)
            gap = rng.choice([0, 1, 1000, 10_000, 20_000, 30_000])
            if step == "withdraw":
                if self.may(0.25):
                    self.add(at + 59_999, "step", cartridge=label, step=step)
                gap = max(rng.choice(WAITS), 59_999 if self.may(0.25) else 60_000)
            at += gap
            more: Doc = {}
            if self.late and step == "apply" and self.may(0.25):  # a window about one instant wide
                done = max(at, said) + 150_000
                at = done + rng.choice([150_000, 150_001, 200_000])
                more = {"done_at": clock(done), "give_or_take": rng.choice([149.999, 150, 150.001])}
                said = done
            elif self.late and self.may(0.4):  # entered after the fact
                done = max(at, said)
                at += rng.choice([0, 1, 5000, 30_000, 90_000, 150_000, 150_001, 300_000])
                if step == "apply" and self.may(0.15):
                    at += rng.choice([780_000, 900_000, 1_050_000, 1_200_000, 1_200_001])
                if self.may(0.1):
                    done = said - rng.choice([0, 1, 10_000])
                if self.rare and self.may(0.1):
                    done = at + rng.choice([1, 1000])  # still to come
                more["done_at"] = clock(max(done, 0))
                if self.may(0.7):
                    more["give_or_take"] = rng.choice([0, 1, 5, 29.999, 30, 60, 150, 150.001, 300])
                said = max(done, said)
            else:
                said = at
            self.add(at, "step", cartridge=label, step=step, **more)
            last = self.acts[-1][1]
            slip = last["by"] == "op-9" or last["cartridge"] != label or "scanned" in last
            if (slip or step == "withdraw" or last.get("person")) and self.may(0.9):
                again = at + rng.choice([0, 1, 1000])  # a refused one is mostly put right
                self.acts.append(
                    (again, {"at": clock(again), "by": self.operators[0], "do": "step"})
                )
                self.acts[-1][1].update(cartridge=label, step=step, **more)
                at = again
        if leave < 5:
            return at
        self.develop(label, person, said if self.may(0.5) else at)
        return at + rng.choice([0, 960_000, 1_200_001])

    def develop(self, label: str, person: str, applied: int) -> None:
        """Looks, readings and other acts around every border after the application."""
        rng = self.rng
        for at in sorted(rng.sample(LOOKS, rng.choice([0, 0, 1, 2, 4]))):
            bands = self.seen()
            if self.may(0.5):  # a positive, whatever the assay
                many: Doc = {n: rng.choice(["absent", "clear"]) for n in self.lines}
                many[rng.choice(self.lines)] = "faint"
                bands = {"control": True, "test": many if len(many) > 1 else "faint"}
            self.add(applied + at, "look", cartridge=label, **bands)
        if self.may(0.15):
            at = rng.choice([*LOOKS, *READS])
            extra: Doc = {"reason": "spilled"} if self.may(0.5) else {}
            self.add(applied + at, "void", cartridge=label, **extra)
        if self.may(0.1):
            at = rng.choice([*LOOKS, *READS])
            self.add(applied + at, "step", cartridge=label, step=rng.choice(["apply", "collect"]))
        if self.may(0.1):
            self.add(applied + rng.choice(READS), "look", cartridge=label, **self.seen())
        reads = READS + [1_049_999, 1_050_000, 1_050_001] * self.late  # a window of one instant
        for at in sorted(rng.sample(reads, rng.choice([0, 1, 1, 2, 3, 5]))):
            more = self.seen()
            if self.may(0.2):
                more["person"] = person
            self.add(applied + at, "read", cartridge=label, **more)
        if self.may(0.2):
            self.add(applied + rng.choice(READS) + 1, "void", cartridge=label)

    def write(self) -> list[str]:
        """Write the whole file, line by line."""
        rng, at, over = self.rng, 0, 0
        for label in self.labels:
            at = rng.choice([at, at, at + 1, at + 30_000, at + 60_000, at + 180_000, over])
            if self.may(0.2):
                at = max(0, self.midnight() + rng.choice([-1, 0, 1, -30 * MINUTE]))
            over = max(over, self.one(label, at))
        for _ in range(rng.choice([0, 0, 0, 1, 2])):
            lot = rng.choice([*[lot["number"] for lot in self.lots[1:]], "L-999", "L-200"])
            self.add(rng.choice([at, at + 1, over, 0]), "hold-lot", lot=lot)
        self.acts.sort(key=lambda pair: pair[0])  # stable: ties keep the order of writing
        if self.may(0.08):  # shuffle the order of acts at one instant
            self.acts = [
                (t, act) for t, _, act in sorted((t, rng.random(), a) for t, a in self.acts)
            ]
        return self.body()

    def body(self) -> list[str]:
        """Put the lines together."""
        out = [f"title = {value('Borders')}", f"starts = {self.starts}"]
        out += [f"timezone = {value(self.zone)}", f"assay = {value(self.assay)}"]
        for one in self.operators:
            out += ["[[operator]]", f"id = {value(one)}"]
        for lot in self.lots:
            out += ["[[lot]]", *(f"{key} = {value(one)}" for key, one in lot.items())]
        for person in self.people:
            out += ["[[person]]", f"id = {value(person)}", 'arrives = "00:00:00"']
            if self.may(0.85) and not self.mixed:
                out += ["[person.bands]", *table(self.bands())]
        for label in self.labels if not self.mixed else []:
            if self.may(0.3):
                out += ["[[cartridge]]", f"id = {value(label)}"]
                out += ["[cartridge.bands]", *table(self.bands())]
        out += self.troubles()
        for _, act in self.acts:
            out += ["[[act]]", *table(act)]
        return out

    def troubles(self) -> list[str]:
        """Two labels that a colleague mixed up, and a question that is answered, rightly or not."""
        out: list[str] = []
        if len(self.labels) > 1 and not self.mixed and self.may(0.15):
            one, other = self.rng.sample(self.labels, 2)
            flaw = {"cartridge": one, "kind": "label-swapped", "other": other}
            out += ["[[flaw]]", *table(flaw)]
        if self.acts and self.may(0.15):
            asked = {"at": "01:00", "kind": "question", "says": "Well?", "answer": "yes"}
            out += ["[[interruption]]", *table(asked)]
            at, words = self.acts[-1][0], self.rng.choice(["yes", "no"])
            answer: Doc = {"at": clock(at), "by": self.rng.choice(["op-1", "op-9"]), "do": "answer"}
            self.acts.append((at, answer | {"interruption": 1, "words": words}))
        return out


def scenario(seed: int) -> str:
    """Write the scenario of a seed."""
    return "\n".join([f"# seed {seed}", *Writer(seed).write(), ""])
