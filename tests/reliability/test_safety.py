"""What others have written is shown and read, and never run."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import h5py
import numpy as np
import pytest

import fieldsim
from fieldsim.errors import InputError
from tests.farms import SMALL_FARM, SMALL_TABLES, hand_farm
from tests.reliability.commands import NIGHTLY, ROOT, call
from tests.test_report.full_farm import FULL_FARM

PACKAGE = ROOT / "fieldsim"
MODULES = sorted(PACKAGE.rglob("*.py"))
SCRIPT = "<script>alert(1)</script>"
ATTRIBUTE = "\" onload='alert(1)' x=\""
ADDRESS = "javascript:alert(1)"
TEMPLATE = "{{ 7*191 }}{% raw %}${9*9}"
MATHS = r"$\frac{$ ^_ \\ %s {0} #&~"
HOSTILE = [SCRIPT, ATTRIBUTE, ADDRESS, TEMPLATE, MATHS]
# A page of ours names no address at all; these are where a browser would follow or run one.
FOLLOWED = {"href", "src", "action", "formaction", "data", "poster", "background", "srcdoc"}


class Tags(HTMLParser):
    """Every tag and attribute of a page, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_data(self, data: str) -> None:
        self.text += data


def hostile_farm(text: str, sign: str) -> str:
    """Return a farm with a text of others wherever one may stand."""
    quoted = sign.replace("\\", "\\\\").replace('"', '\\"')
    name = re.compile(r'^name = ".*"$', re.MULTILINE)
    text = name.sub(lambda _: f'name = "{quoted}"', text, count=1)
    label = re.compile(r"(^\[options\.\w+\]\n)(?:label = .*\n)?", re.MULTILINE)
    text = label.sub(lambda found: f'{found[1]}label = "{quoted}"\n', text)
    return f"# </pre>{sign}\n{text}"


@pytest.fixture(params=HOSTILE, ids=["script", "attribute", "address", "template", "maths"])
def written(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[str, Path]:
    """What a run of a farm full of such texts writes; its table is called so too."""
    sign = request.param
    table = f"{sign}.csv".replace("/", "|")
    quoted = table.replace("\\", "\\\\").replace('"', '\\"')
    text = hostile_farm(FULL_FARM, sign).replace('table = "days.csv"', f'table = "{quoted}"')
    (tmp_path / "farm.toml").write_text(text, encoding="utf-8")
    (tmp_path / table).write_text(f"# </pre>{sign}\n{SMALL_TABLES['days.csv']}", encoding="utf-8")
    (tmp_path / "soybean_yield.csv").write_text(SMALL_TABLES["soybean_yield.csv"])
    out = tmp_path / "out"
    result = call("run", tmp_path / "farm.toml", "--seasons", 4, "--out", out)
    assert result.exit_code == 0, (result.output, result.exception)
    assert "".join(sign.split()) in "".join(result.output.split())  # shown, as it stands
    return sign, out


def test_texts_of_others_are_shown_on_the_page_and_not_run(written: tuple[str, Path]) -> None:
    sign, out = written
    page = (out / "report.html").read_text(encoding="utf-8")
    seen = Tags(page)
    assert not set(seen.tags) & {"script", "iframe", "object", "embed", "base", "form", "img"}
    assert not [name for name, _ in seen.attributes if name.startswith("on")]
    assert not [name for name, _ in seen.attributes if name in FOLLOWED and name != "href"]
    assert all(value.startswith("#") for name, value in seen.attributes if name == "href")
    assert seen.text.count(sign) > 3
    assert "1337" not in seen.text or "1337" in sign


def test_texts_of_others_are_shown_by_every_command(tmp_path: Path) -> None:
    for sign in (SCRIPT, MATHS):
        text = hostile_farm(SMALL_FARM, sign)
        (tmp_path / "farm.toml").write_text(text, encoding="utf-8")
        for name, table in SMALL_TABLES.items():
            (tmp_path / name).write_text(table, encoding="utf-8")
        for command in ("check", "compare", "days"):
            more = [] if command == "check" else ["--seasons", 100, "--out", tmp_path / "out"]
            result = call(command, tmp_path / "farm.toml", *more)
            assert result.exit_code == 0, (command, result.output, result.exception)


def test_templates_escape() -> None:
    calls = [
        node
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and ast.unparse(node.func).endswith("Environment")
    ]
    assert calls
    for node in calls:
        assert {"autoescape": "True"}.items() <= {
            (word.arg, ast.unparse(word.value)) for word in node.keywords
        }
    for template in PACKAGE.rglob("*.j2"):
        text = template.read_text(encoding="utf-8")
        assert "|safe" not in text.replace(" ", "")
        assert "autoescape" not in text


RUNNING_MODULES = {
    *("pickle", "cPickle", "dill", "cloudpickle", "joblib", "marshal", "shelve", "yaml", "code"),
    *("subprocess", "runpy", "imp", "ctypes", "urllib", "requests", "socket", "ftplib", "smtplib"),
}
# Runs machine code that fieldsim itself has made and kept, as Python does with `__pycache__`.
OWN_CODE = {*("compiled/arguments.py", "compiled/functions.py", "compiled/loading.py")}
RUNNING_NAMES = {"eval", "exec", "compile", "__import__", "execfile", "breakpoint", "input"}
RUNNING_ATTRIBUTES = {
    *("read_pickle", "to_pickle", "system", "popen", "import_module", "literal_eval", "sympify"),
    *("parse_expression", "parse_expr", "lambdify"),
}


def running(text: str) -> list[str]:
    """Return what in a module could run, load or fetch what others have written."""
    found = []
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Import(names=names):
                found += [a.name for a in names if a.name.split(".")[0] in RUNNING_MODULES]
            case ast.ImportFrom(module=str(module)) if module.split(".")[0] in RUNNING_MODULES:
                found.append(module)
            case ast.Name(id=name) if name in RUNNING_NAMES:
                found.append(name)
            case ast.Attribute(attr=name) if name in RUNNING_ATTRIBUTES:
                found.append(name)
            case ast.keyword(arg="allow_pickle" | "shell", value=value):
                if ast.unparse(value) != "False":
                    found.append("allow_pickle or shell")
    return found


def test_what_runs_is_found() -> None:
    assert running(
        "import pickle\nfrom subprocess import run\neval('1')\nnp.load(x, shell=True)"
    ) == [*("pickle", "subprocess", "eval", "allow_pickle or shell")]
    assert running("re.compile('a')\nast.parse('b')") == []


@pytest.mark.parametrize("path", MODULES, ids=[str(p.relative_to(PACKAGE)) for p in MODULES])
def test_nothing_that_was_read_is_run(path: Path) -> None:
    own_code = path.relative_to(PACKAGE).as_posix() in OWN_CODE
    expected = ["ctypes"] if own_code else []
    assert running(path.read_text(encoding="utf-8")) == expected


DAMAGED = """
import sys
import random
from pathlib import Path
from fieldsim.errors import InputError
from fieldsim.outcomes import read_outcomes
from fieldsim.cli.rerun import repeated
whole, damaged = Path(sys.argv[1]), Path(sys.argv[1] + ".damaged")
random.seed(int(sys.argv[2]))
content, told = whole.read_bytes(), 0
for _ in range(int(sys.argv[3])):
    changed = bytearray(content)
    for _ in range(random.choice([1, 1, 5, 50])):
        place = random.randrange(len(changed))
        changed[place] = random.choice([0, 1, 0x7F, 0xFF, random.randrange(256)])
    if random.random() < 0.2:
        del changed[random.randrange(len(changed)):]
    damaged.write_bytes(changed)
    try:
        repeated(read_outcomes(damaged))
    except InputError as error:
        assert error.faults
        told += 1
print(told)
"""


def test_damaged_files_of_outcomes_are_told_and_break_nothing(tmp_path: Path) -> None:
    fieldsim.write_outcomes(fieldsim.simulate(hand_farm(), 2), tmp_path / "a.nc")
    times = 3000 if NIGHTLY else 60
    command = [sys.executable, "-c", DAMAGED, str(tmp_path / "a.nc"), "1", str(times)]
    result = subprocess.run(command, capture_output=True, text=True, cwd=ROOT)
    assert result.returncode == 0, result.stderr[-3000:]
    assert int(result.stdout) > times / 10


def test_a_small_file_that_claims_much_memory_is_refused(tmp_path: Path) -> None:
    with h5py.File(tmp_path / "bomb.nc", "w") as file:
        for name in ("x", "cost"):
            file.create_dataset(name, (10**11,), "f8", chunks=(10**6,), compression=9)
        file["x"].make_scale()  # axes are read as soon as a file is opened
        file["cost"].dims[0].attach_scale(file["x"])
    with pytest.raises(InputError, match=r"it unpacks to 1,600\.0 GB, far more than it holds"):
        fieldsim.read_outcomes(tmp_path / "bomb.nc")


def test_files_that_hold_something_else_are_told(tmp_path: Path) -> None:
    with h5py.File(tmp_path / "links.nc", "w") as file:
        file["loop"] = h5py.SoftLink("/loop")
        file["other"] = h5py.ExternalLink("/etc/passwd", "/")
        file["names"] = np.array([b"a", b"b"])
        file.attrs["farm_text"] = np.zeros((3, 3))
    with h5py.File(tmp_path / "objects.nc", "w") as file:
        file["odd"] = np.zeros(3, np.dtype([("a", "f8"), ("b", "S3")]))
        file["time"] = [1, 2]
        file["time"].attrs["units"] = "parsecs since yesterday"
    (tmp_path / "old.nc").write_bytes(b"CDF\x01" + bytes(200))
    for name in ("links.nc", "objects.nc", "old.nc"):
        result = call("rerun", tmp_path / name)
        assert result.exit_code == 2, (name, result.exception)
        assert name in result.output
