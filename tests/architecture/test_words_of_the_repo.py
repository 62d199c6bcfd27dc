"""What is committed names no package host, no developer's folder and no unfinished work.

The words searched for are put together here, so that this file does not find itself.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]

HOSTS = [
    ".".join(parts)
    for parts in [
        ("pypi", "org"),
        ("pythonhosted", "org"),
        ("npmjs", "org"),
        ("deb", "debian", "org"),
        ("crates", "io"),
    ]
]
FOLDERS = ["work", "tmp", "home", "root", "Users"]
UNFINISHED = ["TO" + "DO", "FIX" + "ME"]

HOST = re.compile("|".join(re.escape(host) for host in HOSTS))
FOLDER = re.compile(rf"(?<![\w.~*-])/({'|'.join(FOLDERS)})/")
UNFINISHED_WORD = re.compile(rf"\b({'|'.join(UNFINISHED)})\b")
ADDRESS = re.compile("http")


def committed_texts() -> dict[str, str]:
    """Every text file that is in the repository or about to be, by its path."""
    git = shutil.which("git")
    if git is None or not (TOP / ".git").exists():
        pytest.skip("This copy is not a git checkout, so there is no list of its files.")
    listing = subprocess.run(
        [git, "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=TOP,
        capture_output=True,
        check=True,
    )
    names = [name for name in listing.stdout.decode().split("\0") if name]
    return {name: text for name in sorted(set(names)) if (text := text_of(TOP / name)) is not None}


def text_of(file: Path) -> str | None:
    """The text of a file, or None where there is none: a picture, or a file just removed."""
    try:
        return file.read_text(encoding="utf-8")
    except (UnicodeDecodeError, FileNotFoundError, IsADirectoryError):
        return None


def finds(pattern: re.Pattern[str], texts: dict[str, str]) -> list[str]:
    """One sentence for each line of the texts that the pattern matches."""
    return [
        f"{name}, line {number}, holds {found.group()!r}."
        for name, text in texts.items()
        for number, line in enumerate(text.splitlines(), start=1)
        if (found := pattern.search(line))
    ]


@pytest.mark.parametrize(
    ("pattern", "told"),
    [
        pytest.param(HOST, f"from {HOSTS[0]} come the", id="a package host"),
        pytest.param(FOLDER, f"see /{FOLDERS[0]}/notes", id="a developer's folder"),
        pytest.param(UNFINISHED_WORD, f"# {UNFINISHED[0]}: later", id="unfinished work"),
    ],
)
def test_no_committed_file_holds_such_words(pattern: re.Pattern[str], told: str) -> None:
    """They mean something on one machine or on one day only, and the repository outlives both."""
    found = finds(pattern, committed_texts())

    assert not found, "\n".join(found)
    assert finds(pattern, {"a note": told}), "The pattern no longer sees its own example."


def test_the_pins_name_no_address() -> None:
    """Each place installs from the index or mirror of its own choice."""
    pins = {
        name: text for name, text in committed_texts().items() if name.startswith("requirements/")
    }

    assert pins
    assert not finds(ADDRESS, pins)
