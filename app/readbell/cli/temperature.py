"""Note temperatures: one figure as an argument, or one a line on standard input."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse

    from readbell.scenarios.climate_lines import TemperatureLine


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("temperature", help=__doc__, description=__doc__)
    parser.add_argument("celsius", nargs="?", help="degrees Celsius; left out: read them as lines")
    parser.add_argument("--by", required=True, metavar="OPERATOR", help="who read it off")
    parser.add_argument("--where", choices=("bay", "store"), default="bay", help="default: bay")
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--json", action="store_true", help="one JSON object a line")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Note each figure, and say what was made of it."""
    from readbell.cli.asking_the_bay import ask_the_bay

    def line(text: str) -> TemperatureLine:
        return _line(text, options.by, options.where)

    given = (each for each in sys.stdin if each.strip())
    figures = iter([options.celsius]) if options.celsius is not None else given
    return ask_the_bay(options.journal, map(line, figures), as_json=options.json)


def _line(text: str, by: str, where: str) -> TemperatureLine:
    """Return what a figure asks for.

    Raises:
        WrongFileError: it is no temperature.
    """
    from readbell.core.climate.events import Where
    from readbell.hand.temperature_room import degrees_of, fault_of_degrees
    from readbell.scenarios.climate_lines import TemperatureLine
    from readbell.toml_tables import WrongFileError

    fault = fault_of_degrees(text.strip())
    if fault is not None:
        raise WrongFileError([fault])
    return TemperatureLine(
        do="note-temperature", by=by, where=Where(where), celsius=degrees_of(text.strip())
    )
