"""Say what a positive and a negative mean at a prevalence, from the counts of a study that is named."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse

    from readbell.core.statistics.predictive import Meaning, Observed
    from readbell.core.statistics.proportion import Share
    from readbell.phrases.meaning_words import Study


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("meaning", help=__doc__, description=__doc__)
    add = parser.add_argument
    add("--prevalence", metavar="P", required=True, help="0.05, 5%% or 1/20; from outside")
    add("--assay", metavar="A", help="its id; the counts then come from [[performance]]")
    add("--sensitivity", metavar="N/M", help="of M who had it, N came out positive")
    add("--specificity", metavar="N/M", help="of M who had it not, N came out negative")
    add("--source", metavar="TEXT", help="where the counts stand")
    add("--picture", metavar="FILE", help="a thousand people as a picture: .svg, .pdf or .png")
    add("--json", action="store_true", help="one JSON object on standard output instead of lines")
    add("--ascii", action="store_true", help="draw with plain signs alone")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Work it out and say it."""
    from readbell.cli.spelt_out import spelt_out
    from readbell.core.statistics.predictive import meaning
    from readbell.phrases.meaning_words import say_meaning, say_no_meaning
    from readbell.toml_tables import WrongFileError

    study = _study(options)
    found = meaning(_prevalence(options.prevalence), study.sensitivity, study.specificity)
    if found is None:
        raise WrongFileError([say_no_meaning()])
    if options.picture is not None:
        _draw(Path(options.picture), found, study.title)
    if options.json:
        print(json.dumps(_as_json(found, study), ensure_ascii=False, indent=2))
    else:
        for line in say_meaning(found, study, plain=options.ascii or not _has_signs()):
            print(spelt_out(line))
    return DONE


def _study(options: argparse.Namespace) -> Study:
    """Return the study that is meant: as it is given, or as the settings have it.

    Raises:
        WrongFileError: there is none, or not all of it.
    """
    from readbell.phrases.meaning_words import Study
    from readbell.settings.performance_table import counts
    from readbell.settings.settings_table import read_settings_table
    from readbell.toml_tables import WrongFileError

    given = (options.sensitivity, options.specificity, options.source)
    if any(each is not None for each in given):
        if any(each is None or not each.strip() for each in given):
            msg = "--sensitivity, --specificity and --source go together: give all three"
            raise WrongFileError([msg])
        sides = []
        for name in ("sensitivity", "specificity"):
            try:
                sides.append(_counted(counts(getattr(options, name))))
            except ValueError as error:
                msg = f"--{name}: {error}"
                raise WrongFileError([msg]) from None
        return Study(
            title=_title(options.assay),
            source=options.source.strip(),
            sensitivity=sides[0],
            specificity=sides[1],
        )
    if options.assay is None:
        msg = "give --assay, or --sensitivity, --specificity and --source"
        raise WrongFileError([msg])
    table = next(
        (each for each in read_settings_table().performance if each.assay == options.assay), None
    )
    if table is None:
        msg = (
            f"--assay {options.assay}: settings.toml has no [[performance]] of it: add one with its "
            "source, or give --sensitivity, --specificity and --source"
        )
        raise WrongFileError([msg])
    return Study(
        title=_title(options.assay),
        source=table.source,
        sensitivity=_counted(counts(table.sensitivity)),
        specificity=_counted(counts(table.specificity)),
    )


def _title(assay: str | None) -> str:
    """Return what an assay is called; of one that is not at hand the id."""
    from readbell.assembly import shelf

    if assay is None:
        return "What a result means"
    found = next((each for each in shelf() if each.id == assay), None)
    return assay if found is None else found.title


def _counted(found: tuple[int, int]) -> Observed:
    from readbell.core.statistics.predictive import Observed

    return Observed(hits=found[0], of=found[1])


def _prevalence(said: str) -> float:
    """Return the share that `said` writes.

    Raises:
        WrongFileError: it writes none.
    """
    from readbell.toml_tables import WrongFileError

    text = said.strip()
    try:
        if "/" in text:
            part, whole = text.split("/")
            return int(part) / int(whole)
        if text.endswith("%"):
            return float(text[:-1]) / 100
        return float(text)
    except (ValueError, ZeroDivisionError, OverflowError):
        msg = f"--prevalence {said}: write a share, such as 0.05, 5% or 1/20"
        raise WrongFileError([msg]) from None


def _draw(path: Path, found: Meaning, title: str) -> None:
    from readbell.cli.picture_file import why_no_picture, why_not_drawn
    from readbell.phrases.meaning_words import CAUTIONS, above_picture, groups
    from readbell.reports.meaning_picture import picture_of
    from readbell.toml_tables import WrongFileError

    wrong = why_no_picture(path)
    if wrong is not None:
        raise WrongFileError([wrong])
    parts = [(each.people, each.words) for each in groups(found.per_thousand)]
    drawing = picture_of(title, above_picture(found), parts, CAUTIONS)
    why = why_not_drawn(drawing, path)
    if why is not None:
        raise WrongFileError([why])


def _as_json(found: Meaning, study: Study) -> dict[str, Any]:
    from dataclasses import asdict

    from readbell.core.statistics.proportion import wilson
    from readbell.phrases.meaning_words import CAUTIONS

    def side(counted: Observed) -> dict[str, Any]:
        return {"hits": counted.hits, "of": counted.of} | _share(wilson(counted.hits, counted.of))

    return {
        "assay": study.title,
        "source": study.source,
        "sensitivity": side(study.sensitivity),
        "specificity": side(study.specificity),
        "prevalence": found.prevalence,
        "positive_right": _share(found.positive),
        "negative_right": _share(found.negative),
        "per_thousand": asdict(found.per_thousand),
        "cautions": list(CAUTIONS),
    }


def _share(share: Share) -> dict[str, float]:
    return {"value": share.value, "low": share.low, "high": share.high}


def _has_signs() -> bool:
    """Say whether standard output can write the signs of the picture."""
    try:
        "■□●·".encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True
