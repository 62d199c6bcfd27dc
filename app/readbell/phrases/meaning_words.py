"""What a result means, in words and as a thousand people."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.statistics.proportion import wilson

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.statistics.predictive import Meaning, Observed, PerThousand
    from readbell.core.statistics.proportion import Share

WIDE = 79
ACROSS = 50
"""People in a row of the picture; a thousand fill twenty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """How well an assay did, and who says so."""

    title: str
    """Of the assay, or whatever stands for it."""
    source: str
    sensitivity: Observed
    specificity: Observed


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Some of a thousand people: how many, what they are called, and how each is drawn."""

    people: int
    words: str
    sign: str
    plain_sign: str


CAUTIONS = (
    (
        "It advises whoever is trained to judge results, and diagnoses nobody. Signs, symptoms and local "
        "rules go first. The prevalence was given from outside: how many came out positive at this bay "
        "is none."
    ),
    (
        "The people of a study were others; symptoms and the day of the infection change both figures. "
        "A negative does not exclude infection."
    ),
)


def groups(people: PerThousand) -> tuple[Group, ...]:
    """Return the four parts of a thousand people, in the order in which they are drawn."""
    return (
        Group(
            people=people.true_positive,
            words="have it and come out positive",
            sign="■",
            plain_sign="#",
        ),
        Group(
            people=people.false_positive,
            words="have it not and come out positive",
            sign="□",
            plain_sign="%",
        ),
        Group(
            people=people.false_negative,
            words="have it and come out negative",
            sign="●",
            plain_sign="O",
        ),
        Group(
            people=people.true_negative,
            words="have it not and come out negative",
            sign="·",
            plain_sign=".",
        ),
    )


def say_meaning(found: Meaning, study: Study, *, plain: bool) -> Iterator[str]:
    """Yield the whole answer, line by line; `plain`: with signs of ASCII alone."""
    yield study.title
    yield from _lines(f"  study       {study.source}")
    yield f"  sensitivity {_counted(study.sensitivity)}"
    yield f"  specificity {_counted(study.specificity)}"
    yield f"  prevalence  {_percent(found.prevalence)}, as given"
    yield ""
    yield f"A positive is right in {_share(found.positive)}."
    yield f"A negative is right in {_share(found.negative)}."
    yield ""
    yield "Of 1,000 people like these:"
    yield ""
    for row in thousand(found.per_thousand, plain=plain):
        yield f"  {row}"
    yield ""
    for each in groups(found.per_thousand):
        yield f"  {each.plain_sign if plain else each.sign} {each.people:>4} {each.words}"
    yield ""
    yield from _lines(
        "Worked out by Bayes' rule from the counts; the range is the 95 % interval of their doubt "
        "(on the log-odds). The prevalence is taken as it was given."
    )
    for caution in CAUTIONS:
        yield from _lines(caution)


def thousand(people: PerThousand, *, plain: bool) -> Iterator[str]:
    """Yield twenty rows of fifty people each."""
    drawn = "".join(
        (each.plain_sign if plain else each.sign) * each.people for each in groups(people)
    )
    for begins in range(0, len(drawn), ACROSS):
        yield drawn[begins : begins + ACROSS]


def say_no_meaning() -> str:
    """Say why nothing can be said at this prevalence."""
    return (
        "--prevalence: at none or at everybody a result says nothing that was not known before; "
        "give a share between, such as 0.05 or 5%"
    )


def above_picture(found: Meaning) -> tuple[str, str]:
    """Return the two lines above a picture."""
    return (
        f"A positive is right in {_share(found.positive)}; a negative in {_share(found.negative)}.",
        f"1,000 people like these, of whom {_percent(found.prevalence)} have it:",
    )


def _lines(text: str) -> Iterator[str]:
    indent = " " * 14 if text.startswith("  ") else ""
    yield from wrap(text, WIDE, subsequent_indent=indent, drop_whitespace=True)


def _counted(counted: Observed) -> str:
    share = wilson(counted.hits, counted.of)
    return (
        f"{counted.hits:,} of {counted.of:,}, {_percent(counted.share)} "
        f"({_percent(share.low)} to {_percent(share.high)})"
    )


def _share(share: Share) -> str:
    return f"{_percent(share.value)} ({_percent(share.low)} to {_percent(share.high)})"


def _percent(share: float) -> str:
    return f"{share * 100:.1f} %"
