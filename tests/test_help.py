"""``help(fieldsim)`` leads through a run, and every public name says all there is to say."""

from __future__ import annotations

import doctest
import inspect
import itertools
import pydoc

import pytest

import fieldsim


def sections(name: str) -> set[str]:
    lines = (inspect.getdoc(getattr(fieldsim, name)) or "").splitlines()
    return {line for line, below in itertools.pairwise(lines) if set(below) == {"-"}}


def test_help_shows_the_guided_tour() -> None:
    shown = pydoc.render_doc(fieldsim, renderer=pydoc.plaintext)
    tour = [line.strip() for line in (fieldsim.__doc__ or "").splitlines() if line.strip()]
    assert len(tour) > 30
    assert [line for line in tour if line not in shown] == []


def test_the_tour_runs_and_names_the_public_functions() -> None:
    assert doctest.testmod(fieldsim).failed == 0
    for name in fieldsim.__all__:
        if name not in ("Farm", "FieldsimError", "InputError", "parse_farm", "figure_at", "day_use",
                        "read_farm"):  # fmt: skip
            assert f"`{name}`" in fieldsim.__doc__ or f"fieldsim.{name}" in fieldsim.__doc__, name


@pytest.mark.parametrize("name", [name for name in fieldsim.__all__ if name != "FieldsimError"])
def test_every_public_name_has_its_parameters_results_and_an_example(name: str) -> None:
    of, found = getattr(fieldsim, name), sections(name)
    assert "Examples" in found
    signature = inspect.signature(of)
    assert ("Parameters" in found) == bool(signature.parameters)
    if inspect.isfunction(of) and signature.return_annotation != "None":
        assert "Returns" in found
