"""What pyproject.toml promises: its Pythons, and that the least versions can be had together."""

import re
import sys
import tomllib
from pathlib import Path

from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name
from packaging.version import Version

PROJECT = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text())["project"]


def pythons() -> list[str]:
    """Return the supported minor versions of Python, the least first."""
    wanted = SpecifierSet(PROJECT["requires-python"])
    return [f"3.{minor}" for minor in range(8, 40) if f"3.{minor}.0" in wanted]


def check(resolved: Path) -> list[str]:
    """Return the least versions of pyproject.toml that a resolver had to raise."""
    lines = re.findall(r"^([\w.-]+)==(\S+)", resolved.read_text(), re.MULTILINE)
    have = {canonicalize_name(name): Version(version) for name, version in lines}
    optional = PROJECT["optional-dependencies"]
    texts = [
        *PROJECT["dependencies"],
        *(t for e in ("cluster", "notebooks", "test") for t in optional[e]),
    ]
    faults = []
    for part in map(Requirement, texts):
        least = [Version(s.version) for s in part.specifier if s.operator == ">="]
        found = have.get(canonicalize_name(part.name))
        if least and found != least[0]:
            faults.append(f"{part}: the least that can be had with the others is {found}")
    return faults


if __name__ == "__main__":
    if sys.argv[1] == "pythons":
        print(*pythons())
    else:
        sys.exit("\n".join(check(Path(sys.argv[2]))) or 0)
