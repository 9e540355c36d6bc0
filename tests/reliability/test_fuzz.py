"""Whatever a farm and its tables hold: a farm that runs, or faults that say where and what.

500 cases by default, 2,000 where CI is set, and 100,000 where FIELDSIM_NIGHTLY is: 50 parts of
2,000, each begun anew, so that none remembers all cases before it and one that fails stops no
other.
"""

from __future__ import annotations

import io
import resource
import signal
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from rich.console import Console

import fieldsim
from fieldsim.cli.tables import print_farm
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm, parse_farm
from fieldsim.farm.shelf import parse_shelf
from tests.reliability.commands import NIGHTLY, SLOW, call
from tests.reliability.corpus import CASES, SHELF, Case, bytes_of, documents, tables

TIMES = 1 if SLOW else 0.25
in_parts = pytest.mark.usefixtures("part")
MOST_SECONDS = 5.0  # of processor time for a case
MOST_MEMORY = 2 * 1024**2  # kilobytes


@pytest.fixture(scope="module", autouse=True)
def _compiled() -> None:
    """Compile what a run needs: the time it takes is no case's."""
    for case in CASES.values():
        fieldsim.simulate(parse_farm(case.text, case.tables, "farm.toml"), 2, threads=1)


@pytest.fixture(scope="module", params=range(50 if NIGHTLY else 1))
def part(request: pytest.FixtureRequest) -> int:
    """One part of the cases."""
    return int(request.param)


def cases(count: int) -> settings:
    """Return the settings of a test with so many cases in CI."""
    return settings(
        max_examples=int(count * TIMES),
        deadline=None,
        phases=[phase for phase in Phase if phase is not Phase.explain],  # it takes a tracer
        suppress_health_check=list(HealthCheck),
        print_blob=True,
    )


@contextmanager
def in_time() -> Iterator[None]:
    """Break off what takes more than its time."""

    def hang(*_: object) -> None:
        raise TimeoutError(f"more than {MOST_SECONDS} s")

    before = signal.signal(signal.SIGVTALRM, hang)
    signal.setitimer(signal.ITIMER_VIRTUAL, MOST_SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss < MOST_MEMORY


def assert_faults(faults: tuple[Fault, ...]) -> None:
    assert faults
    assert len(set(faults)) == len(faults)
    for fault in faults:
        assert fault.file, fault
        assert fault.problem, fault
        assert fault.repair, fault
        said = str(fault)
        assert "Input should" not in said  # pydantic's own words, or Python's
        assert "Value error" not in said
        assert "object at 0x" not in said
        assert len(said) < 3000


def assert_read(text: str, given_tables: dict[str, str]) -> Farm | None:
    """Read a farm: None where its faults are told; a farm that was checked and run otherwise."""
    with in_time():
        try:
            farm = parse_farm(text, given_tables, "farm.toml")
        except InputError as error:
            assert_faults(error.faults)
            return None
        print_farm(farm, Console(file=io.StringIO(), width=80))
        outcomes = fieldsim.simulate(farm, 2, threads=1)
        fieldsim.compare(outcomes)
    assert outcomes.lost_revenue.notnull().all()
    assert outcomes.labor_cost.notnull().all()
    return farm


@pytest.mark.parametrize("name", CASES)
def test_every_farm_of_the_corpus_is_right(name: str) -> None:
    assert assert_read(CASES[name].text, CASES[name].tables) is not None
    assert assert_read(tomli_w.dumps(CASES[name].document), CASES[name].tables) is not None


def test_the_shelf_of_the_corpus_is_right() -> None:
    assert parse_shelf(SHELF).tractors


@in_parts
@cases(900)
@given(documents())
def test_a_changed_document_is_read_or_its_faults_are_told(
    given_farm: tuple[dict[str, Any], dict[str, str]],
) -> None:
    document, given_tables = given_farm
    assert_read(tomli_w.dumps(document), given_tables)


@in_parts
@cases(500)
@given(st.sampled_from(sorted(CASES)), st.data())
def test_a_changed_table_is_read_or_its_faults_are_told(name: str, data: st.DataObject) -> None:
    case = CASES[name]
    which = data.draw(st.sampled_from(sorted(case.tables)))
    changed = data.draw(tables(case.tables[which]))
    assert_read(case.text, case.tables | {which: changed})


@in_parts
@cases(200)
@given(tables(SHELF))
def test_a_changed_shelf_is_read_or_its_faults_are_told(text: str) -> None:
    with in_time():
        try:
            shelf = parse_shelf(text, "machines.csv")
        except InputError as error:
            assert_faults(error.faults)
        else:
            assert shelf.implements or shelf.tractors


@in_parts
@cases(400)
@given(st.sampled_from(sorted(CASES)), st.data())
def test_changed_files_are_checked_or_their_faults_are_told(name: str, data: st.DataObject) -> None:
    case: Case = CASES[name]
    texts = {"farm.toml": case.text, **case.tables}
    which = data.draw(st.sampled_from(sorted(texts)))
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        for file, text in texts.items():
            (folder / file).write_text(text, encoding="utf-8")
        (folder / which).write_bytes(data.draw(bytes_of(texts[which])))
        with in_time():
            result = call("check", folder / "farm.toml")
    assert result.exit_code in (0, 2), result.exception
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert ("No faults." in result.output) == (result.exit_code == 0)
    if result.exit_code == 2:
        assert which in result.output or folder.name in result.output
