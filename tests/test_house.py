"""The house: who may import whom, and how large a room grows. The ranks stand in DEVELOPERS.md."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from importlib.util import resolve_name
from pathlib import Path

import pytest

import fieldsim

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "fieldsim"
LONGEST = 300  # lines
MOST_NAMES = 25  # at the root
VAGUE = {"utils", "util", "core", "common", "helpers", "helper", "misc", "base", "lib"}

# Where the built-in sum adds whole numbers or arrays.
SUMS = {
    *("outcomes/files.py", "days/records/grid.py", "days/records/wide_tables.py"),
    *("explorer/spring_report.py", "explorer/pictures.py", "cli/rerun.py"),
    *("decisions/sizing/shelf_pattern.py", "decisions/investment/investing.py"),
    *("farm/operation_checks.py", "farm/crop_parts.py", "running.py"),
}

# The root re-exports names of all ranks, lazily.
MODULES = sorted(path for path in PACKAGE.rglob("*.py") if path != PACKAGE / "__init__.py")
every_module = pytest.mark.parametrize(
    "path", MODULES, ids=[str(path.relative_to(PACKAGE)) for path in MODULES]
)


@cache
def ranks() -> dict[str, int]:
    """Rank of each room, a package's name ending with a slash, from the table in DEVELOPERS.md."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    house = text.split("\n## The house\n")[1].split("\n## ")[0]
    found: dict[str, int] = {}
    for rank, rooms in re.findall(r"^\| (\d+) \| ([^|]+) \|", house, re.MULTILINE):
        for room in re.findall(r"`([^`]+)`", rooms):
            assert room not in found, f"{room} stands in the table twice"
            found[room] = int(rank)
    return found


def room_of(module: str) -> str:
    """Room that a module stands in, as the table writes it: ``fieldsim.days.copula`` -> days/."""
    name = module.split(".")[1]
    return f"{name}/" if (PACKAGE / name).is_dir() else name


def name_of(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def package_of(path: Path) -> str:
    return name_of(path) if path.name == "__init__.py" else name_of(path).rpartition(".")[0]


def imported(text: str, package: str) -> Iterator[tuple[int, str]]:
    """Line and module of each import of fieldsim's own, wherever in a module of `package`."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            source = resolve_name("." * node.level + (node.module or ""), package)
            # The root holds no code: what is taken from it is a room of its own.
            at_root = source == "fieldsim"
            names = [f"{source}.{a.name}" for a in node.names] if at_root else [source]
        else:
            continue
        yield from ((node.lineno, name) for name in names if name.split(".")[0] == "fieldsim")


def may_import(importer: str, target: str) -> bool:
    """Say whether a module may import another: of lower rank, or of its own package.

    The package of a module that stands in fieldsim/ itself is fieldsim: there, equal rank will do.
    """
    own, other = room_of(importer), room_of(target)
    rank, of_target = ranks()[own], ranks()[other]
    return of_target < rank or own == other or (of_target == rank and not own.endswith("/"))


def test_every_room_has_a_rank_and_every_rank_a_room() -> None:
    rooms = {room_of(name_of(path)) for path in MODULES}
    assert rooms == set(ranks())


@every_module
def test_a_module_imports_only_from_lower_ranks_or_its_own_package(path: Path) -> None:
    wrong = []
    for line, target in imported(path.read_text(encoding="utf-8"), package_of(path)):
        known = target != "fieldsim" and room_of(target) in ranks()
        if not known:
            wrong.append(f"line {line}: {target} is no room; import from where it is defined")
        elif not may_import(name_of(path), target):
            wrong.append(f"line {line}: {target} is not of lower rank")
    assert not wrong


def test_the_import_rule_tells_right_from_wrong() -> None:
    assert may_import("fieldsim.work.plan", "fieldsim.farm.parts")
    assert may_import("fieldsim.work.plan", "fieldsim.work.arrays")
    assert may_import("fieldsim.tables", "fieldsim.errors")
    assert not may_import("fieldsim.farm.files", "fieldsim.work.plan")
    assert not may_import("fieldsim.days.copula", "fieldsim.crops.yield_curve")
    assert not may_import("fieldsim.season", "fieldsim.simulation")
    assert not may_import("fieldsim.report.page", "fieldsim.demo")


def test_imports_are_found_wherever_they_stand() -> None:
    text = """
import fieldsim.farm
from fieldsim import demo
def f():
    from ..work.plan import make_plan
if TYPE_CHECKING:
    from .contract import DaySource
"""
    rooms = [(2, "farm"), (3, "demo"), (5, "work.plan"), (7, "days.contract")]
    expected = [(line, f"fieldsim.{room}") for line, room in rooms]
    assert sorted(imported(text, "fieldsim.days")) == expected


@every_module
def test_a_module_has_at_most_300_lines(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST


@every_module
def test_floats_are_added_alike_by_every_python(path: Path) -> None:
    """From Python 3.12 on sum() of floats rounds otherwise than before; math.fsum never does."""
    called = [
        n.func for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.Call)
    ]
    found = any(isinstance(name, ast.Name) and name.id == "sum" for name in called)
    assert found == (path.relative_to(PACKAGE).as_posix() in SUMS)


def test_no_room_or_module_has_a_vague_name() -> None:
    names = {part for path in MODULES for part in name_of(path).split(".")}
    assert not names & VAGUE


def test_the_root_has_few_names_and_they_all_exist() -> None:
    assert 0 < len(fieldsim.__all__) <= MOST_NAMES
    assert all(hasattr(fieldsim, name) for name in fieldsim.__all__)


@every_module
def test_everything_public_has_a_docstring(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    public = {
        name
        for node in tree.body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__"
        for name in ast.literal_eval(node.value)
    }
    definitions = (ast.FunctionDef, ast.ClassDef)
    silent = [
        node.name
        for node in tree.body
        if isinstance(node, definitions) and node.name in public and not ast.get_docstring(node)
        if not any(ast.unparse(mark) == "overload" for mark in node.decorator_list)
    ]
    assert not silent
    assert ast.get_docstring(tree), "the module itself has none"
