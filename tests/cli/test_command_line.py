"""What is wrong with a command line: one sentence that says what, where, and where to look."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from cli.conftest import Command


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("", "readbell: say what to do, one of those that the usage lists (usage: readbell --help)"),
        ("fly", "readbell: 'fly' is not known here: use one of those that the usage lists"),
        ("figurs", "readbell: 'figurs' is not known here: did you mean figures?"),
        ("verify --no-such", "readbell verify: --no-such: not known here"),
        ("lot relese", "readbell lot: 'relese' is not known here: did you mean release?"),
        ("review fly", "use one of list, release, amend or withdraw (usage: readbell review --help)"),
        ("lot release L-1", "readbell lot release: --by, --reason: missing"),
        ("lot count L-1 x --by op-1", "readbell lot count: N: 'x' is no whole number"),
        ("daysheet --shift x", "readbell daysheet: --shift: 'x' is no whole number"),
        ("slip C1 --to x", "--to: 'x': use one of 'person', 'guardian', 'other'"),
        ("labels --from C1", "readbell labels: say one of --pdf --terminal"),
        ("labels --from C1 --pdf a --terminal", "--terminal and --pdf do not go together"),
        ("trace --by", "readbell trace: --by: say what, right behind it"),
        ("scenario check", "readbell scenario check: FILE: missing"),
        ("operator clear op-1 a --by op-2 --until 2027-01-01 --test x", "--test x: not known here"),
    ],
)  # fmt: skip
def test_a_wrong_command_line_is_one_sentence_of_the_very_command(
    command: Command, given: str, said: str
) -> None:
    """The usage of everything told nobody what was wrong; the usage of the command is a word away."""
    done = command(*given.split())

    assert (done.status, done.out) == (2, "")
    assert said in done.err
    assert done.err.count("\n") == 1
    assert done.err.endswith(" --help)\n")


def test_what_is_quoted_cannot_write_on_the_terminal(command: Command) -> None:
    """Somebody pastes a line out of a message."""
    assert "\x1b" not in command("lot", "\x1b[31mrelease").err
