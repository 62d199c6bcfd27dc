"""A line for the bay, made of what was said to a command: a fault in it names the option."""

from __future__ import annotations

import json
import re
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.scenarios.line import Line

OPTIONS = {
    "cartridge": "cartridge",
    "lot": "the lot's number",
    "counted": "the count",
    "operator": "the operator's ID",
    "id": "the operator's ID",
    "others": "--other",
    "persons": "--person",
    "test": "--line",
}
"""What is not called by its option, by its key in the line."""
_FAULT = re.compile(r"this line: (\w+)[^\s:]*( = |: )(.*)", re.DOTALL)


def asked_line(found: dict[str, Any]) -> Line:
    """Return the line that `found` makes.

    Raises:
        WrongFileError: something in it is wrong; each fault names the option that said it.
    """
    from readbell.scenarios.line import read_line

    with naming_options():
        return read_line(json.dumps(found))


@contextmanager
def naming_options() -> Iterator[None]:
    """Have each fault that is found within name the option that said it.

    Raises:
        WrongFileError: with those faults.
    """
    try:
        yield
    except WrongFileError as error:
        raise WrongFileError([_of_option(each) for each in error.faults]) from None


def _of_option(fault: str) -> str:
    said = _FAULT.fullmatch(fault)
    if said is None:
        return fault
    key = said[1]
    return f"{OPTIONS.get(key, '--' + key.replace('_', '-'))}{said[2]}{said[3]}"
