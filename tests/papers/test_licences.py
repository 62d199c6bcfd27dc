"""Every package that comes with readbell may come with an MIT program, and the paper says so."""

from __future__ import annotations

import re
from importlib import metadata
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PINS = re.findall(
    r"^([\w.-]+)(?:\[[\w,-]+\])?==([\w.]+)( ; .*)? \\$",
    (ROOT / "requirements" / "run.txt").read_text(encoding="utf-8"),
    re.MULTILINE,
)
PAPER = (ROOT / "docs" / "licences.md").read_text(encoding="utf-8")
TABLE = {
    package: (licence, used)
    for package, licence, used in re.findall(
        r"^\| ([a-z][\w-]+) \| ([^|]+) \| ([^|]+) \|$", PAPER, re.MULTILINE
    )
    if package != "package"
}
ANY = "any licence approved by the OSI"
THERE_ALONE = "at run time, on Windows alone"
REPLACEABLE = "LGPL-2.1-or-later"
"""For a package that stays apart, imported as it comes."""
SHIPPED = {
    "MIT",
    "MIT-0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "Apache-2.0",
    "PSF-2.0",
    "ISC",
    ANY,
    REPLACEABLE,
}
"""What an MIT program may bring along."""
BUILDS = SHIPPED | {"MPL-2.0"}
"""What may build it, and stays behind."""
STATED = {
    "OSI Approved": ANY,
    "License :: OSI Approved :: MIT License": "MIT",
    "License :: OSI Approved :: BSD License": "BSD-3-Clause",
    "License :: OSI Approved :: GNU Lesser General Public License v2 or later (LGPLv2+)": (
        REPLACEABLE
    ),
    "License :: OSI Approved :: Apache Software License": "Apache-2.0",
    "License :: OSI Approved :: Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
}
"""How packages state what has no short name in their metadata."""


def stated(package: str) -> str:
    """The licence that an installed package states of itself."""
    found = metadata.metadata(package)
    expressions = found.get_all("License-Expression") or []
    classifiers = [each for each in found.get_all("Classifier") or [] if each in STATED]
    words = found.get_all("License") or []
    said: str = next(iter([*expressions, *classifiers, *words]), "")
    return STATED.get(said, said)


def test_the_paper_lists_what_is_pinned_and_nothing_else() -> None:
    """A package nobody listed is one whose licence nobody read."""
    assert PINS
    assert set(TABLE) == {package for package, _, _ in PINS}


def test_what_one_system_alone_needs_is_installed_there_alone() -> None:
    """What is not installed can have no fault, and is looked after by nobody."""
    pinned = {package for package, _, only in PINS if only == " ; sys_platform == 'win32'"}

    assert pinned == {each for each, (_, used) in TABLE.items() if used == THERE_ALONE}
    assert pinned == {"filelock", "tzdata"}


@pytest.mark.parametrize(
    "package", [package for package, _, only_there in PINS if not only_there.strip()]
)
def test_each_licence_is_what_the_package_says(package: str) -> None:
    """A licence may change with a version, and then the pin is not to be renewed unseen."""
    assert stated(package) == TABLE[package][0]


@pytest.mark.parametrize("package", TABLE)
def test_each_licence_may_go_with_an_mit_program(package: str) -> None:
    """Whoever passes readbell on must not break anybody's terms by it."""
    licence, used = TABLE[package]
    accepted = BUILDS if used == "to build" else SHIPPED

    assert any(each in accepted for each in licence.split(" OR "))


@pytest.mark.parametrize(
    "package", [package for package, (_, used) in TABLE.items() if used == "to build"]
)
def test_what_only_builds_is_wanted_by_nothing_that_runs(package: str) -> None:
    """Called a build tool by mistake, a package would be held to the wrong list."""
    running = [name for name, (_, used) in TABLE.items() if used == "at run time"]
    wanted = [
        each for name in running for each in metadata.requires(name) or [] if "extra" not in each
    ]

    assert not [each for each in wanted if re.match(rf"{re.escape(package)}\b", each)]
