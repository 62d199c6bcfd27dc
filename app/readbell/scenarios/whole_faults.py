"""What is wrong with a scenario as a whole, though each of its tables is right by itself."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import TYPE_CHECKING

from readbell.core.people.file import day_of
from readbell.core.rehearsal.scenario import InterruptionKind
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.instant import Span
    from readbell.scenarios.scenario_file import ScenarioTables


def whole_faults(tables: ScenarioTables) -> Iterator[str]:
    """Yield a sentence for each thing in a scenario that another part of it contradicts."""
    yield from _names(tables)
    yield from _staff(tables)
    for number, person in enumerate(tables.person, start=1):
        day = day_of(person.born or "")
        if day is not None and day > tables.starts.date():
            yield f"person.{number}.born: that day is still to come then: set an earlier one"
    for place, (before, after) in enumerate(pairwise(tables.act)):
        if after.at < before.at:
            yield (
                f"act.{place + 2}.at: it is earlier than the act before it: "
                "put the acts in the order of time"
            )
    yield from _lids(tables)
    yield from _interruptions(tables)
    yield from _flaws(tables)


def _names(tables: ScenarioTables) -> Iterator[str]:
    named = (
        ("operator.id", [each.id for each in tables.operator]),
        ("lot.number", [each.number for each in tables.lot]),
        ("person.id", [each.id for each in tables.person]),
        ("cartridge.id", [each.id for each in tables.cartridge]),
        ("control.number", [each.number for each in tables.control]),
    )
    for key, names in named:
        for name, times in Counter(names).items():
            if times > 1:
                yield f"{key} = {name!r}: it stands {times} times: give each a name of its own"


def _staff(tables: ScenarioTables) -> Iterator[str]:
    said = [each.roles for each in tables.operator]
    if said and said[0] is not None and not any(Role.SUPERVISOR in (each or ()) for each in said):
        yield "operator: nobody is a supervisor: give one of them that role"


def _lids(tables: ScenarioTables) -> Iterator[str]:
    shut = [
        (f"lid.{place}", "open", each.shut, each.open)
        for place, each in enumerate(tables.lid, start=1)
    ]
    shut += [
        (f"interruption.{place}", "until", each.at, each.until)
        for place, each in enumerate(tables.interruption, start=1)
        if each.kind is InterruptionKind.LID_CLOSED and each.until is not None
    ]
    for name, key, from_, to in shut:
        if to <= from_:
            word = "shut" if key == "open" else "at"
            yield f"{name}.{key}: the lid opens before it is shut: set it later than {word}"
        for number, act in enumerate(tables.act, start=1):
            if from_ < act.at < to:
                yield f"act.{number}.at: the lid is shut then: move it before or after"
    for (_, _, _, before), (name, _, after, _) in pairwise(sorted(shut, key=_when)):
        if after < before:
            yield f"{name}: the lid is shut already then: let one end before the next begins"


def _when(shut: tuple[str, str, Span, Span]) -> Span:
    return shut[2]


def _interruptions(tables: ScenarioTables) -> Iterator[str]:
    persons = {each.id for each in tables.person}
    operators = {each.id for each in tables.operator}
    for place, (before, after) in enumerate(pairwise(tables.interruption)):
        if after.at < before.at:
            yield (
                f"interruption.{place + 2}.at: it is earlier than the one before it: "
                "put them in the order of time"
            )
    for place, each in enumerate(tables.interruption, start=1):
        name = f"interruption.{place}"
        for person in each.persons:
            if person not in persons:
                yield f"{name}.persons: nobody of the scenario is {person!r}: name who comes in it"
        if each.operator is not None and each.operator not in operators:
            yield f"{name}.operator = {each.operator!r}: no operator is called that: name one"
        if each.operator is not None and each.until is not None and each.until <= each.at:
            yield f"{name}.until: they are back before they are called: set it later than at"
    gone = Counter(person for each in tables.interruption for person in each.persons)
    for person, times in gone.items():
        if times > 1:
            yield f"interruption.persons: {person!r} leaves {times} times: let them leave once"
    for place, act in enumerate(tables.act, start=1):
        if act.interruption is not None and act.interruption > len(tables.interruption):
            yield (
                f"act.{place}.interruption = {act.interruption}: the scenario has "
                f"{len(tables.interruption)}: name one of them"
            )


def _flaws(tables: ScenarioTables) -> Iterator[str]:
    labels = Counter(
        label for each in tables.flaw for label in (each.cartridge, each.other) if label is not None
    )
    for label, times in labels.items():
        if times > 1:
            yield f"flaw: cartridge {label!r} has {times} flaws: leave it one"
    for place, each in enumerate(tables.flaw, start=1):
        if each.expires is not None and each.expires >= tables.starts.date():
            yield f"flaw.{place}.expires: it is not out of date then: set an earlier day"
