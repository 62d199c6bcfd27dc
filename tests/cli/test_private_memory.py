"""A crash leaves no image of the memory behind: names stand in it."""

from __future__ import annotations

import os

from readbell.cli.private_memory import keep_memory_private


def test_no_image_of_the_memory_is_left() -> None:
    """In a child, as it cannot be undone."""
    child = os.fork()
    if child == 0:  # pragma: no cover  # another process
        keep_memory_private()
        import resource

        os._exit(resource.getrlimit(resource.RLIMIT_CORE)[0])
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
