"""A crash leaves no image of the memory behind: names stand in it."""

from __future__ import annotations

import subprocess
import sys

import pytest

ASK = """
import ctypes, sys
from readbell.cli.private_memory import keep_memory_private
try:
    import resource
except ImportError:
    resource = None
size = lambda: resource.getrlimit(resource.RLIMIT_CORE)[0] if resource else 0
dumpable = lambda: (
    ctypes.CDLL(None).prctl(3, 0, 0, 0, 0) if sys.platform.startswith("linux") else 0
)
if resource:
    most = resource.getrlimit(resource.RLIMIT_CORE)[1]
    resource.setrlimit(resource.RLIMIT_CORE, (most, most))
before = size(), dumpable()
keep_memory_private()
print(*before, size(), dumpable())
"""
"""How large an image a crash may leave, and PR_GET_DUMPABLE: before, and from then on."""


@pytest.fixture(scope="module")
def asked() -> list[int]:
    """What a program is allowed before and after; one of its own, as it cannot be undone."""
    said = subprocess.run([sys.executable, "-c", ASK], capture_output=True, text=True, check=True)
    return [int(each) for each in said.stdout.split()]


def test_an_image_of_the_memory_would_have_no_room(asked: list[int]) -> None:
    """Whatever was allowed where it was started."""
    _, _, after, _ = asked
    assert after == 0


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux has that")
def test_no_image_of_the_memory_is_handed_to_a_collector_of_crashes(asked: list[int]) -> None:
    """Such a one is given the image whatever its size may be."""
    _, before, _, after = asked
    assert (before, after) == (1, 0)
