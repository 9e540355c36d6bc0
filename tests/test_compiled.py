"""Compiled functions are handed what they are called with, whatever its kind."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
from numba.core.registry import cpu_target

from fieldsim.compiled import compiled, inlined, making
from fieldsim.compiled.arguments import c_types, handed_over, kind_of

RECORD = np.dtype([("area", np.float64), ("day", np.int64)])


@pytest.fixture(autouse=True)
def kept_nowhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FIELDSIM_CACHE", str(tmp_path))


class Inner(NamedTuple):
    table: Any
    count: int


class Given(NamedTuple):
    records: Any
    inner: Inner
    share: float
    late: bool


@inlined
def shared(area: float, share: float) -> float:
    return area * share


@compiled
def fill(given: Any, first: int, found: Any) -> None:
    for i in range(found.shape[0]):
        for j in range(found.shape[1]):
            record = given.records[i]
            found[i, j] = shared(record.area, given.share) + given.inner.table[j, i]
            found[i, j] += 1000 * record.day + 100_000 * given.inner.count + 1_000_000 * first
            if given.late:
                found[i, j] = -found[i, j]


def by_hand(given: Given, first: int) -> np.ndarray[Any, Any]:
    of_records = given.records["area"] * given.share + 1000 * given.records["day"]
    found = of_records[:, None] + given.inner.table.T
    found = found + 100_000 * given.inner.count + 1_000_000 * first
    return -found if given.late else found


@pytest.mark.parametrize("late", [False, True, np.bool_(True)])
@pytest.mark.parametrize("table", ["its own", "turned", "every other"])
def test_arrays_records_tuples_and_numbers_are_handed_over(late: bool, table: str) -> None:
    numbers = np.arange(24.0).reshape(4, 6)
    tables = {
        "its own": numbers[:, :3].copy(),
        "turned": numbers.reshape(6, 4)[:3].T,
        "every other": numbers[:, ::2],
    }
    records = np.array([(1.5, 3), (2.5, 4), (0.25, 7)], RECORD)
    given = Given(records, Inner(tables[table], np.int64(2)), np.float64(0.5), late)  # type: ignore[arg-type]
    found = np.zeros((3, 4))
    fill(given, 6, found)
    np.testing.assert_array_equal(found, by_hand(given, 6))
    turned = np.zeros((4, 3)).T
    fill(given, -1, turned)
    np.testing.assert_array_equal(turned, by_hand(given, -1))


def test_there_is_a_value_for_every_c_type_of_an_argument() -> None:
    given = Given(np.zeros(2, RECORD), Inner(np.zeros((2, 3)), 1), 0.5, late=True)
    values, kinds = list(handed_over(given)), list(c_types(kind_of(given)))
    assert len(values) == len(kinds) == 7 + 9 + 3
    # What numba itself takes, an array as five parts and two for each of its dimensions.
    model = cpu_target.target_context.data_model_manager[making._type_of(kind_of(given))]
    assert len(list(flat(model.get_argument_type()))) == len(kinds)


def flat(types: Any) -> Any:
    for part in types if isinstance(types, tuple) else [types]:
        yield from flat(part) if isinstance(part, tuple) else [part]


@pytest.mark.parametrize("wrong", [[1.0], "text", None, {"a": 1}, 1j])
def test_anything_else_is_refused(wrong: Any) -> None:
    with pytest.raises(TypeError, match=f"arrays and numbers, not {type(wrong).__name__}"):
        fill(wrong, 1, np.zeros((1, 1)))


def test_a_function_that_does_not_come_to_its_end_is_told() -> None:
    @compiled
    def fails(numbers: Any) -> None:
        if numbers[0] > 1.0:
            raise ValueError

    fails(np.zeros(1))
    with pytest.raises(RuntimeError, match="fails failed in compiled code"):
        fails(np.full(1, 2.0))


def test_code_is_made_once_for_all_threads(monkeypatch: pytest.MonkeyPatch) -> None:
    made = []
    make = making.make

    def counted(*arguments: Any) -> Any:
        made.append(arguments)
        return make(*arguments)

    monkeypatch.setattr(making, "make", counted)

    @compiled
    def ones(numbers: Any) -> None:
        numbers[:] = 1.0

    rows = np.zeros((8, 5))
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(ones, rows))
    assert (rows == 1.0).all()
    assert len(made) == 1


def test_a_part_is_a_plain_function_for_python() -> None:
    assert shared(3.0, 0.5) == 1.5
    assert shared.__name__ == "shared"


def test_plain_python_where_numba_is_not_to_compile(monkeypatch: pytest.MonkeyPatch) -> None:
    def function(numbers: Any) -> None:
        numbers += 1

    monkeypatch.setenv("NUMBA_DISABLE_JIT", "1")
    assert compiled(function) is function
    monkeypatch.setenv("NUMBA_DISABLE_JIT", "0")
    assert compiled(function) is not function
