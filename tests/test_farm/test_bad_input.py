from __future__ import annotations

import pytest

from tests.farms import ALWAYS, SMALL_TABLES, messages
from tests.test_farm.cases import Case, read_cases

TABLES = {**SMALL_TABLES, "chain.csv": ALWAYS}
CASES = [*read_cases("bad_entries.txt"), *read_cases("bad_fit.txt")]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name.replace(" ", "_"))
def test_bad_input_is_told_where_it_is_what_is_allowed_and_what_to_write(case: Case) -> None:
    assert messages(*case.changes, tables=TABLES) == case.messages


def test_each_case_of_bad_input_is_one_of_its_own() -> None:
    assert len({case.name for case in CASES}) == len({case.changes for case in CASES}) == len(CASES)
