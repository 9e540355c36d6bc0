"""Mutation testing of one room: `python -m tests.mutation.run curves`; see DEVELOPERS.md.

Each mutant lives in memory only, in a fork of this process that has the big libraries loaded.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import importlib.abc
import importlib.machinery
import importlib.util
import json
import os
import random
import resource
import signal
import sys
import tempfile
import time
import tomllib
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
WORKERS = 2
LIBRARIES = (
    "numpy",
    "scipy.special",
    "pandas",
    "xarray",
    "pint",
    "pydantic",
    "numba",
    "hypothesis",
)


UNUSED = ("cacheprovider", "doctest", "logging", "unraisableexception", "faulthandler", "junitxml")
PYTEST = [
    *("-x", "-q", "--assert=plain", "-o", "addopts=", "--hypothesis-seed=1"),
    *("-p", "_hypothesis_pytestplugin"),
    *(f"-pno:{name}" for name in UNUSED),
]


class MutatedLoader(importlib.machinery.SourceFileLoader):
    """Compiles a given source in the place of the file's."""

    source = ""

    def get_code(self, *_: Any) -> Any:
        return compile(self.source, self.path, "exec", dont_inherit=True)


class Finder(importlib.abc.MetaPathFinder):
    """Finds one module: the mutated one."""

    def __init__(self, path: str, source: str) -> None:
        self.name, self.path, self.source = name_of(path), path, source

    def find_spec(self, fullname: str, *_: Any) -> Any:
        if fullname != self.name:
            return None
        loader = MutatedLoader(fullname, str(Path(self.path).resolve()))
        loader.source = self.source
        return importlib.util.spec_from_file_location(fullname, loader.path, loader=loader)


def start(path: str, source: str, tests: list[str], seconds: int) -> int:
    """Run tests against a module's source in a child; return its process id.

    It is stopped after so many seconds of its own: a mutant may loop for ever.
    """
    if child := os.fork():
        return child
    code = 3
    try:
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        null = os.open(os.devnull, os.O_RDWR)
        os.dup2(null, 1)
        os.dup2(null, 2)
        sys.meta_path.insert(0, Finder(path, source))
        import pytest

        code = int(pytest.main([*PYTEST, *tests]))
    except BaseException:
        code = 3
    finally:
        sys.stdout.flush()
        os._exit(code)


def warmed(path: str, tests: list[str]) -> float:
    """Run the tests on the module as it is, here, so that what they load is there for the forks.

    Forget the module again, and all that imports it. Return the seconds of the processor that this
    took; stop where tests fail.
    """
    import pytest

    begun = time.process_time()
    if pytest.main([*PYTEST, *tests]):
        raise SystemExit(f"the tests of {path} fail without a mutant: {' '.join(tests)}")
    forget(dependents(name_of(path)))
    return time.process_time() - begun


def forget(modules: set[str]) -> None:
    """Unload modules, tests, and the names that `fieldsim` has fetched from its rooms."""
    for name in list(sys.modules):
        if name in modules or (name.startswith("tests.") and not name.startswith("tests.mutation")):
            del sys.modules[name]
    root = vars(sys.modules["fieldsim"])
    for name in [n for n in root if not n.startswith("__") and f"fieldsim.{n}" not in sys.modules]:
        del root[name]


def name_of(path: str) -> str:
    return path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def dependents(module: str) -> set[str]:
    """Return a module and all modules of fieldsim that import it, directly or by others."""
    imports = {name_of(str(path)): imported(path) for path in Path("fieldsim").rglob("*.py")}
    found, new = {module}, {module}
    while new:
        new = {name for name, those in imports.items() if those & found} - found
        found |= new
    return found - {"fieldsim"}


def imported(path: Path) -> set[str]:
    """Return what a file imports: modules, the packages they stand in, and names from them."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.ImportFrom):
            names |= {f"{node.module}.{each.name}" for each in node.names}
        elif isinstance(node, ast.Import):
            names |= {each.name for each in node.names}
    parts = [name.split(".") for name in names]
    return {".".join(part[:n]) for part in parts for n in range(2, len(part) + 1)}


def change(source: str, mutant: str) -> str:
    lines = difflib.unified_diff(source.splitlines(), mutant.splitlines(), n=0, lineterm="")
    return "\n".join(f"    {line}" for line in list(lines)[3:])


def main() -> None:
    """Make the mutants of a room, run the tests on each, and print those that survive."""
    rooms = tomllib.loads((HERE / "rooms.toml").read_text())
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("room", choices=list(rooms))
    parser.add_argument("--sample", type=int, help="how many mutants; default: as in rooms.toml")
    parser.add_argument("--seed", type=int, default=1, help="of the sample")
    parser.add_argument("--only", default="", help="modules whose path holds this")
    parser.add_argument("--again", type=Path, help="only the survivors that this file lists")
    parser.add_argument("--out", type=Path, help="write the survivors to this file")
    asked = parser.parse_args()
    room = rooms[asked.room]
    os.environ |= {"OMP_NUM_THREADS": "1", "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    os.environ["HYPOTHESIS_STORAGE_DIRECTORY"] = tempfile.mkdtemp()
    for module in ("tests.conftest", *LIBRARIES, "pytest", "_hypothesis_pytestplugin"):
        importlib.import_module(module)
    from tests.mutation.mutants import Mutant, mutants, mutated

    if room.get("plain"):
        importlib.import_module("tests.mutation.plain")
    shared = room.get("tests", [])
    tests = {path: [*own, *shared] for path, own in room["modules"].items() if asked.only in path}
    every = [mutant for path in tests for mutant in mutants(path)]
    size = asked.sample or room.get("sample", len(every))
    chosen = sorted(random.Random(asked.seed).sample(every, min(size, len(every))))
    if asked.again:
        chosen = [Mutant(*each) for each in json.loads(asked.again.read_text())]
    survived, late = [], 0
    for path in sorted({mutant.path for mutant in chosen}):
        source, seconds = Path(path).read_text(), warmed(path, tests[path])
        print(f"{path}: {seconds:.1f} s", flush=True)
        waiting, running = [mutant for mutant in chosen if mutant.path == path][::-1], {}
        while waiting or running:
            while waiting and len(running) < WORKERS:
                mutant = waiting.pop()
                changed = mutated(mutant, source)
                running[start(path, changed, tests[path], round(3 + 3 * seconds))] = mutant, changed
            child, status = os.wait()
            mutant, changed = running.pop(child)
            code = os.waitstatus_to_exitcode(status)
            late += code in (-signal.SIGXCPU, -signal.SIGKILL)
            if code == 0:
                survived.append(mutant)
                place = f"{path}:{mutant.line} {mutant.operator} {mutant.occurrence}"
                print(f"survived: {place}\n{change(source, changed)}", flush=True)
        if asked.out:
            asked.out.write_text(json.dumps(survived))
    killed = len(chosen) - len(survived)
    share = killed / max(len(chosen), 1)
    print(f"{asked.room}: {len(every)} mutants, {len(chosen)} run, {killed} killed ({share:.1%}), ")
    print(f"{late} of them by time; {len(survived)} survived")


if __name__ == "__main__":
    main()
