"""What is published works where nothing of the checkout is at hand. Slow: in CI and at night."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

from tests.reliability.commands import ROOT, slow

SOURCES = [path.relative_to(ROOT) for path in (ROOT / "fieldsim").rglob("*") if path.is_file()]
NAMELESS = re.compile(r"datetime64\(\"NaT\"\)")


def run(*command: object, cwd: Path) -> str:
    """Run a command without anything of this environment that points to the checkout."""
    hidden = ("PYTHONPATH", "VIRTUAL_ENV", "FIELDSIM_CACHE")
    environment = {name: value for name, value in os.environ.items() if name not in hidden}
    words = [str(word) for word in command]
    result = subprocess.run(words, capture_output=True, text=True, cwd=cwd, env=environment)
    assert result.returncode == 0, (result.stdout + result.stderr)[-3000:]
    return result.stdout


def new_environment(folder: Path) -> Path:
    """Return the Python of a fresh environment."""
    run(sys.executable, "-m", "venv", folder, cwd=folder.parent)
    return folder / "bin" / "python"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The wheel and the source distribution of the checkout."""
    folder = tmp_path_factory.mktemp("built")
    python = new_environment(folder / "builder")
    run(python, "-m", "pip", "install", "--quiet", "hatchling", cwd=folder)
    run(python, "-m", "hatchling", "build", "-d", folder / "dist", cwd=ROOT)
    (wheel,), (source,) = ((folder / "dist").glob(f"*.{end}") for end in ("whl", "tar.gz"))
    return wheel, source


@slow
def test_the_wheel_holds_every_file_of_the_package_and_nothing_else(
    built: tuple[Path, Path],
) -> None:
    held = {name for name in zipfile.ZipFile(built[0]).namelist() if ".dist-info/" not in name}
    expected = {p.as_posix() for p in SOURCES if "__pycache__" not in p.parts}
    demo = {f"fieldsim/demo_data/{path.name}" for path in (ROOT / "data/demo").iterdir()}
    assert held == expected | demo


@slow
def test_the_source_holds_what_the_wheel_is_built_from(built: tuple[Path, Path]) -> None:
    with tarfile.open(built[1]) as source:
        names = {name.partition("/")[2] for name in source.getnames()}
    assert {"pyproject.toml", "LICENSE", "README.md", "data/demo/farm.toml"} <= names
    assert {p.as_posix() for p in SOURCES if "__pycache__" not in p.parts} <= names
    assert not [name for name in names if re.search(r"(^|/)(\.git|\.venv|__pycache__)/", name)]


@slow
@pytest.mark.parametrize("which", [0, 1], ids=["wheel", "source"])
def test_the_demo_runs_from_what_is_published(
    which: int, built: tuple[Path, Path], tmp_path: Path
) -> None:
    python = new_environment(tmp_path / "user")
    run(python, "-m", "pip", "install", "--quiet", built[which], cwd=tmp_path)
    where = run(python, "-c", "import fieldsim; print(fieldsim.__file__)", cwd=tmp_path)
    assert where.startswith(str(tmp_path))
    fieldsim = python.with_name("fieldsim")
    said = run(fieldsim, "demo", "--seasons", 20, "--out", "out", cwd=tmp_path)
    assert "Wrote" in said
    assert (tmp_path / "out" / "report.html").stat().st_size > 10_000
    run(fieldsim, "new", "mine", cwd=tmp_path)
    assert "No faults." in run(fieldsim, "check", "mine/farm.toml", cwd=tmp_path)
    run(python, "-m", "pip", "check", cwd=tmp_path)


def test_no_date_that_there_is_not_stands_without_its_unit() -> None:
    """NumPy 2.5, which Python 3.12 and later take, warns of it and will refuse it."""
    texts = {
        path: (ROOT / path).read_text(encoding="utf-8") for path in SOURCES if path.suffix == ".py"
    }
    assert not [path for path, text in texts.items() if NAMELESS.search(text)]
