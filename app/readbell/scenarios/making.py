"""Makes a scenario by chance from a seed: an ordinary scenario file, the same for the same seed.

What is made is checked by whoever asks for it, played by steady hands: where they cannot keep
every window, the same people come a little further apart.
"""

from __future__ import annotations

import json
from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass
from readbell.core.reading.bands import Unreadable
from readbell.core.rehearsal.scenario import Difficulty, FlawKind, InterruptionKind
from readbell.core.rehearsal.virtual_cartridge import Shade
from readbell.core.span_text import write_span
from readbell.scenarios.draws import Draws
from readbell.scenarios.manners import MANNERS, STRIPS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.assay.assay import Assay
    from readbell.scenarios.manners import Manner

MOST_PEOPLE = 200
MOST_OPERATORS = 10
SURNAMES = (
    "Aldermoor",
    "Brackwell",
    "Corvane",
    "Dunmarrow",
    "Elverstone",
    "Farrowmere",
    "Gildenhay",
    "Hollinrake",
    "Iverlode",
    "Jessamy",
    "Kestlebrook",
    "Larkwhistle",
)
FORENAMES = (
    "Ada",
    "Bram",
    "Cleo",
    "Dov",
    "Esme",
    "Fynn",
    "Greta",
    "Hal",
    "Ines",
    "Jory",
    "Kit",
    "Lux",
)
STARTS = "2026-11-10T09:00:00+00:00"
LOT, LOT_EXPIRES = "L-3101", "2027-06-30"
OLD_POUCH = "2026-08-31"
OTHER_ASSAY = "another antigen test, urine"
LID_MINUTES = 1
STAY = 30
"""So many seconds a car stands there before it may leave."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """What a made scenario says; the sentences come from elsewhere."""

    made_by: str
    """The first line, a comment."""
    title: str
    goal: str
    teaching: str
    questions: tuple[tuple[str, tuple[str, ...]], ...]
    """What is asked, and what is right; as many as may break in."""
    car_leaves: str
    """With `{persons}` in it."""
    called_away: str
    """With `{operator}` and `{minutes}` in it."""
    lid_closed: str
    """With `{minutes}` in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What kind of scenario is wanted."""

    people: int
    operators: int
    difficulty: Difficulty
    seed: int
    assay: str
    """An id, or a file."""
    strips: bool = False
    """Whether it is a set of strips to be told apart, with nothing else in the way."""

    @property
    def command(self) -> str:
        """What makes the same file again."""
        what = f"--strips {self.people}" if self.strips else f"--people {self.people}"
        hard = "" if self.strips else f" --difficulty {self.difficulty}"
        return (
            f"readbell scenario make {what} --operators {self.operators}{hard} "
            f"--seed {self.seed} --assay {self.assay}"
        )


RELAXED = 0.12
"""By so much of themselves people come further apart each time steady hands were overrun."""


@dataclass(slots=True, kw_only=True)
class _Person:
    id: str
    arrives: int
    """Seconds after the start."""
    test: tuple[int, Shade] | None
    """When the line comes, in seconds after the drops."""
    name: str = ""
    party: int = 0


@dataclass(slots=True, kw_only=True)
class _Made:
    people: list[_Person]
    broken: dict[str, Unreadable | None] = field(default_factory=dict)
    """By label: a device that smears, or has no control line."""
    flaws: list[tuple[FlawKind, str, str]] = field(default_factory=list)


def make_scenario(asked: Asked, assay: Assay, words: Wording, eased: int = 0) -> str:
    """Return the text of a scenario file.

    Args:
        asked: what is wanted; at least one person and one operator.
        assay: what is run; it has at least one test line.
        words: what it says.
        eased: how many times it was found too hard for steady hands.
    """
    manner = STRIPS if asked.strips else MANNERS[asked.difficulty]
    made = _Made(people=_people(asked, assay, manner, eased))
    _spoil(asked, manner, made)
    return "\n".join([*_lines(asked, assay, manner, made, words), ""])


def _people(asked: Asked, assay: Assay, manner: Manner, eased: int) -> list[_Person]:
    draws, found, at, party = Draws(asked.seed, "people"), list[_Person](), 0.0, 0
    opens = assay.reading.opens // SECOND
    names = _names(asked, manner)
    while len(found) < asked.people:
        party += 1
        together = min(
            manner.together[draws.below(len(manner.together))], asked.people - len(found)
        )
        for _ in range(together):
            number = len(found) + 1
            found.append(
                _Person(
                    id=f"P-{100 * (1 + asked.seed % 89) + number:04d}",
                    arrives=round(at),
                    test=_line(draws, manner, opens),
                    name=names[number - 1] if names else "",
                    party=party,
                )
            )
        each = draws.between(*manner.apart) * (1 + RELAXED * eased) / asked.operators
        at += together * each
    return found


def _line(draws: Draws, manner: Manner, opens: int) -> tuple[int, Shade] | None:
    if not draws.yes(manner.positive):
        return None
    shade, drawn = Shade.CLEAR, draws.below(100)
    if drawn < manner.very_faint:
        shade = Shade.VERY_FAINT
    elif drawn < manner.very_faint + manner.faint:
        shade = Shade.FAINT
    # A weak line comes late; every one is there before the window opens.
    late = opens * (6 if shade is Shade.CLEAR else 9) // 10
    return draws.between(opens * 3 // 10, late), shade


def _names(asked: Asked, manner: Manner) -> list[str]:
    """Return a name for each person, two of them by one surname; none where there are none."""
    if not manner.names or asked.strips:
        return []
    draws = Draws(asked.seed, "names")
    found = [
        f"{FORENAMES[draws.below(len(FORENAMES))]} {SURNAMES[draws.below(len(SURNAMES))]}"
        for _ in range(asked.people)
    ]
    if asked.people > 1:
        one, other = draws.shuffled(range(asked.people))[:2]
        surname = found[one].split()[1]
        forename = FORENAMES[(FORENAMES.index(found[one].split()[0]) + 1) % len(FORENAMES)]
        found[other] = f"{forename} {surname}"
    return found


def _spoil(asked: Asked, manner: Manner, made: _Made) -> None:
    """Choose, by their labels, the devices that are not as they should be."""
    draws = Draws(asked.seed, "devices")
    labels = draws.shuffled(range(1, asked.people + 1))
    for kind in manner.flaws:
        needed = 2 if kind is FlawKind.LABEL_SWAPPED else 1
        if len(labels) > asked.people // 2 + needed:
            first = labels.pop()
            # Two that lie side by side are the ones that are mixed up.
            beside = first + 1 if first + 1 in labels else first - 1
            if needed == 1:
                made.flaws.append((kind, f"C{first}", ""))
            elif beside in labels:
                labels.remove(beside)
                made.flaws.append((kind, f"C{first}", f"C{beside}"))
    for label in sorted(labels):
        if draws.yes(manner.broken):
            made.broken[f"C{label}"] = Unreadable.SMEAR if draws.yes(40) else None


def _lines(
    asked: Asked, assay: Assay, manner: Manner, made: _Made, words: Wording
) -> Iterator[str]:
    yield from (words.made_by, "")
    yield _key("title", words.title)
    yield _key("goal", words.goal)
    yield _key("teaching", words.teaching)
    if not asked.strips:
        yield _key("difficulty", str(asked.difficulty))
    yield f"starts = {STARTS}"
    yield _key("timezone", "Europe/London")
    yield _key("assay", asked.assay)
    for number in range(1, asked.operators + 1):
        yield from ("", "[[operator]]", _key("id", f"op-{number}"))
    yield from ("", "[[lot]]", _key("number", LOT), f"expires = {LOT_EXPIRES}")
    for person in made.people:
        yield from _person(person, assay)
    for label, unreadable in made.broken.items():
        yield from ("", "[[cartridge]]", _key("id", label), "[cartridge.bands]")
        yield _key("unreadable", str(unreadable)) if unreadable else _key("control", "never")
    for kind, label, other in made.flaws:
        yield from ("", "[[flaw]]", _key("cartridge", label), _key("kind", str(kind)))
        if kind is FlawKind.OUT_OF_DATE:
            yield f"expires = {OLD_POUCH}"
        elif kind is FlawKind.WRONG_ASSAY:
            yield _key("assay", OTHER_ASSAY)
        else:
            yield _key("other", other)
    if not asked.strips:
        yield from _interruptions(asked, manner, made, words)
    if manner.names and not asked.strips:
        yield from ("", "[policy]", _key("second_identifier", "name"))


def _person(person: _Person, assay: Assay) -> Iterator[str]:
    yield from ("", "[[person]]", _key("id", person.id), _time("arrives", person.arrives))
    if person.name:
        yield _key("name", person.name)
    if person.test is not None:
        at, shade = person.test
        line = f'{{ from = "{_written(at)}", strength = "{shade}" }}'
        # On a device with several lines which of them it is follows from the person alone.
        keys = assay.line_keys
        which = keys[int(person.id[-4:]) % len(keys)]
        yield "[person.bands]"
        yield f"test = {line}" if len(keys) == 1 else f"test.{which} = {line}"


def _interruptions(asked: Asked, manner: Manner, made: _Made, words: Wording) -> Iterator[str]:
    draws = Draws(asked.seed, "interruptions")
    ends = made.people[-1].arrives + 600
    kinds = [each for each in manner.interruptions if _fits(each, asked, made)]
    times = sorted(draws.between(120, max(180, ends)) for _ in kinds)
    order = draws.shuffled(range(len(words.questions)))
    for at, kind in zip(times, kinds, strict=True):
        yield from ("", "[[interruption]]", _time("at", at), _key("kind", str(kind)))
        match kind:
            case InterruptionKind.QUESTION:
                says, answers = words.questions[order.pop()]
                yield from (_key("says", says), f"answer = {json.dumps(list(answers))}")
            case InterruptionKind.CAR_LEAVES:
                came = [each.party for each in made.people if each.arrives + STAY <= at]
                party = came[-1] if came else made.people[-1].party
                persons = [each.id for each in made.people if each.party == party]
                yield _key("says", words.car_leaves.format(persons=", ".join(persons)))
                yield f"persons = {json.dumps(persons)}"
            case InterruptionKind.CALLED_AWAY:
                minutes = draws.between(2, 3)
                operator = f"op-{draws.between(1, asked.operators)}"
                yield _key("says", words.called_away.format(operator=operator, minutes=minutes))
                yield from (_key("operator", operator), _time("until", at + 60 * minutes))
            case InterruptionKind.LID_CLOSED:
                yield _key("says", words.lid_closed.format(minutes=LID_MINUTES))
                yield _time("until", at + 60 * LID_MINUTES)


def _fits(kind: InterruptionKind, asked: Asked, made: _Made) -> bool:
    """Say whether it can break in here: somebody else has to be there, and somebody has to stay."""
    if kind is InterruptionKind.CALLED_AWAY:
        return asked.operators > 1
    if kind is InterruptionKind.CAR_LEAVES:
        return made.people[-1].party > 1
    return True


def _key(name: str, value: str) -> str:
    return f"{name} = {json.dumps(value)}"


def _time(name: str, at: int) -> str:
    return f'{name} = "{_written(at)}"'


def _written(at: int) -> str:
    return write_span(Span(at * SECOND))
