"""What a made scenario says: what it is about, what breaks in, and the questions people ask."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.rehearsal.scenario import Difficulty

if TYPE_CHECKING:
    from collections.abc import Mapping

GOALS: Mapping[Difficulty, str] = {
    Difficulty.EASY: "read every cartridge inside its window, with time to look twice",
    Difficulty.NORMAL: "keep every wait and every window while people come two and three at a time",
    Difficulty.HARD: "keep every window, tell faint from nothing, and let nobody hurry you out of it",
    Difficulty.WORST: "lose no window and mistake nobody, whatever breaks in",
}
TEACHING: Mapping[Difficulty, str] = {
    Difficulty.EASY: "Every cartridge has a clock of its own, counted from its drops.",
    Difficulty.NORMAL: "While one swab stands in its buffer the next person can be swabbed.",
    Difficulty.HARD: "A faint line is a line, a name is no ID, and a pouch is read before it is opened.",
    Difficulty.WORST: "A queue can wait, a read window cannot.",
}
STRIPS_GOAL = "read a set of strips drawn at random, and miss no faint line"
STRIPS_TEACHING = "Any colour in the marked place is a line, and a faint line is positive."

QUESTIONS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("A driver asks: mine shows a very weak line. Is that positive? (yes or no)", ("yes", "y")),
    ("A mother asks: nothing shows after ten minutes. Is that negative? (yes or no)", ("no", "n")),
    (
        "A colleague asks: the control line is missing, a test line is there. What is it?",
        ("invalid",),
    ),
    ("A colleague asks: may a strip be read a minute after its window? (yes or no)", ("no", "n")),
    ("A driver asks: it is negative, so I cannot be infected? (yes or no)", ("no", "n")),
    (
        "A colleague asks: a window was lost. May the same specimen be used again? (yes or no)",
        ("no", "n"),
    ),
)
"""What is asked, and what is right."""
CAR_LEAVES = "A car turns round and leaves. In it: {persons}."
CALLED_AWAY = "{operator} is called away for {minutes} minutes."
LID_CLOSED = "Somebody shuts the lid of the computer for {minutes} minutes. No alarm can ring."


def title_of(people: int, operators: int, difficulty: Difficulty, seed: int) -> str:
    """Return what a made scenario is called."""
    at_work = "one" if operators == 1 else str(operators)
    who = "one person" if people == 1 else f"{people} people"
    return f"{who}, {at_work} at work, {difficulty}, seed {seed}"


def title_of_strips(strips: int, seed: int) -> str:
    """Return what a made set of strips is called."""
    return f"A set of {strips} strips, seed {seed}"


def say_made_by(command: str) -> str:
    """Return the first line of a made scenario: how the same file is made again."""
    return f"# Made by: {command}"
