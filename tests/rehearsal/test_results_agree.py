"""What is handed on of a cartridge is what the headless contract prints, in every scenario.

The second implementation of the contract knows nothing of results: it says what each cartridge
came to, and `result_of` has to say the same of every one.
"""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from readbell.core.instant import Instant, between, seconds
from readbell.core.results.result import Result, is_reportable, result_of
from readbell.core.results.status import ResultStatus
from readbell.rehearsals import load_script, rehearse
from rehearsal.oracle import play
from rehearsal.random_scenarios import CUSTOM, CUSTOM_ID, scenario
from rehearsal.test_against_the_oracle import three_lines_seen_early

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.core.board.board import Board

STATUSES = {
    "void": {ResultStatus.NO_RESULT},
    "read": {ResultStatus.FINAL, ResultStatus.HELD, ResultStatus.WITHHELD},
    # Held: what was seen early stands, and its lot was on hold when it was seen.
    "lapsed": {ResultStatus.FINAL, ResultStatus.HELD},
}
OPEN = {ResultStatus.RUNNING, ResultStatus.PRELIMINARY}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder in which the assay stands that is not bundled."""
    made = tmp_path_factory.mktemp("results")
    made.joinpath(CUSTOM_ID).write_text(three_lines_seen_early(), encoding="utf-8")
    return made


def board_of(text: str, file: Path) -> tuple[Board, Instant]:
    """Play a scenario; return the board at its end, and when it began."""
    file.write_text(text, encoding="utf-8")
    script = load_script(file)
    run = asyncio.run(rehearse(script, None, None, lambda _: None, lambda *_: None))
    return run.board, Instant(script.scenario.starts)


def as_printed(result: Result, board: Board, starts: Instant) -> dict[str, Any]:
    """Return what the contract would print of a cartridge by its result alone."""

    def after(begin: Instant, at: Instant | None) -> float | None:
        return None if at is None else seconds(between(begin, at))

    applied = result.applied
    drops = Instant(0) if applied is None else applied.said
    # A positive seen early on what nobody ever read has no outcome in print: it is preliminary.
    is_open = result.status is ResultStatus.PRELIMINARY
    return {
        "lot": result.lot,
        "person": board.name(result.subject),
        "outcome": None if is_open or result.outcome is None else str(result.outcome),
        "analytes": {
            each.line: None if is_open or each.outcome is None else str(each.outcome)
            for each in result.analytes
        },
        "applied_s": None if applied is None else after(starts, applied.said),
        "read_s": after(starts, result.read_at),
        "elapsed_s": after(drops, result.read_at),
        "early_positive_s": after(drops, None if result.early is None else result.early.at),
        "operator": board.name(result.read_by),
        "deviations": [
            {"code": each.code, "seconds": seconds(each.span)} for each in result.deviations
        ],
    }


def difference(seed: int, folder: Path) -> str:
    """Say where a result and the oracle part on the scenario of a seed; nothing if they agree."""
    text = scenario(seed)
    board, starts = board_of(text, folder / f"{seed}.toml")
    for row in play(text, CUSTOM)["cartridges"]:
        cartridge = board.labelled(row["cartridge"])
        assert cartridge is not None
        result = result_of(cartridge)
        mine = as_printed(result, board, starts)
        wanted = {key: row[key] for key in mine}
        if mine != wanted:
            return f"seed {seed}, {result.label}:\n  found  {mine}\n  wanted {wanted}\n"
        if result.status not in STATUSES.get(row["stage"], OPEN):
            return f"seed {seed}, {result.label}: {row['stage']} is {result.status}.\n"
        if is_reportable(result) is not (result.status not in UNTOLD):
            return f"seed {seed}, {result.label}: {result.status} and told.\n"
        repeated = None if result.repeat_of is None else board.cartridge(result.repeat_of)
        if (None if repeated is None else repeated.label) != row["repeat_of"]:
            return f"seed {seed}, {result.label}: a repeat of something else.\n"
    return ""


UNTOLD = {
    ResultStatus.RUNNING,
    ResultStatus.NO_RESULT,
    ResultStatus.HELD,
    ResultStatus.WITHHELD,
}


@pytest.mark.parametrize("first", [pytest.param(n, id=f"seeds from {n}") for n in (1, 21, 41)])
def test_each_result_says_what_the_contract_prints(first: int, folder: Path) -> None:
    """Two words for one strip would be one too many."""
    parted = [difference(seed, folder) for seed in range(first, first + 20)]
    assert "".join(parted) == ""


@settings(
    max_examples=15,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow],
)
@given(seed=st.integers(200_000, 900_000))
def test_so_it_does_in_scenarios_nobody_has_seen(seed: int, folder: Path) -> None:
    """Fixed seeds could be satisfied by heart; fresh ones cannot."""
    assert difference(seed, folder) == ""
