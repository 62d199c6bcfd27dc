"""Importing a part of readbell loads nothing that the part can do without.

An import contract sees the lines of the source; these tests see what an import
really loads, also by way of other packages.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

APP = Path(__file__).parents[2] / "app"

EXTRAS = frozenset({"textual", "rich", "psycopg", "reportlab"})
"""Packages of the screen and of the optional parts."""

SCREEN = "readbell.ui"
"""Loaded by the command that shows a board, when it is run."""

SHELL = frozenset({"asyncio", "pydantic", "apsw"})
"""Packages that read files, wait or store, which the core leaves to others."""

PROBE = """
import importlib, sys
unwanted = set(sys.argv[1].split(","))
present = set(sys.modules)
for module in sys.argv[2:]:
    importlib.import_module(module)
    for found in sorted(unwanted & (set(sys.modules) - present)):
        print(f"{module} loads {found}.")
    present = set(sys.modules)
"""


def modules_under(package: str) -> list[str]:
    """The dotted name of every module of a package, without the ones that run it."""
    files = sorted(APP.joinpath(*package.split(".")).rglob("*.py"))
    return [
        ".".join(file.relative_to(APP).with_suffix("").parts).removesuffix(".__init__")
        for file in files
        if file.name != "__main__.py"
    ]


def loads(modules: list[str], unwanted: frozenset[str]) -> str:
    """Import the modules in a new Python; say which of them loads what it should not."""
    # Counting covered lines loads packages of its own, so this Python counts none.
    environment = {
        name: text
        for name, text in os.environ.items()
        if not name.startswith(("COV_", "COVERAGE_"))
    }
    probe = subprocess.run(
        [sys.executable, "-c", PROBE, ",".join(sorted(unwanted)), *modules],
        env=environment | {"PYTHONPATH": str(APP)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert probe.returncode == 0, probe.stderr
    return probe.stdout


@pytest.mark.parametrize(
    ("package", "unwanted"),
    [
        pytest.param("readbell", EXTRAS, id="all but the screen"),
        pytest.param("readbell.core", EXTRAS | SHELL, id="the core"),
    ],
)
def test_a_part_loads_nothing_it_can_do_without(package: str, unwanted: frozenset[str]) -> None:
    """A bare install must start, and the core must run where there is no shell."""
    modules = [each for each in modules_under(package) if not each.startswith(SCREEN)]

    assert package in modules
    assert loads(modules, unwanted) == ""


def test_an_unwanted_import_is_seen_and_named() -> None:
    """The probe itself would notice: loading a package is reported with who did it."""
    assert loads(["colorsys", "wave"], frozenset({"wave"})) == "wave loads wave.\n"
