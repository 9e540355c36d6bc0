"""The licences of what fieldsim needs at run time, from the metadata of what is installed.

``python -m tests.reliability.licences`` prints the table that stands in DEVELOPERS.md.
"""

from __future__ import annotations

import re
from importlib.metadata import Distribution, PackageNotFoundError, distribution

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

EXTRAS = ("", "cluster", "notebooks")
CLASSIFIER = re.compile(r"License :: (?:OSI Approved :: )?(.+)")
# Licences that ask for no more than their notice, or, MPL, for changes of their own files.
ALLOWED = {
    *("0BSD", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "CC0-1.0", "HPND", "ISC", "MIT"),
    *("MIT-CMU", "MPL-2.0", "PSF-2.0", "Python-2.0", "Unlicense", "Zlib", "CNRI-Python", "BSL-1.0"),
    "Apache-2.0 WITH LLVM-exception",
}
SPELLED = {  # as older metadata write them
    "3-clause bsd": "BSD-3-Clause",
    "apache license, version 2.0": "Apache-2.0",
    "apache software license": "Apache-2.0",
    "apache license 2.0": "Apache-2.0",
    "apache 2.0": "Apache-2.0",
    "bsd": "BSD-3-Clause",
    "bsd 3-clause": "BSD-3-Clause",
    "bsd 3-clause license": "BSD-3-Clause",
    "bsd license": "BSD-3-Clause",
    "isc license (iscl)": "ISC",
    "mit license": "MIT",
    "mozilla public license 2.0 (mpl 2.0)": "MPL-2.0",
    "python software foundation license": "PSF-2.0",
    "psf": "PSF-2.0",
    "the unlicense (unlicense)": "Unlicense",
}


def needed(extra: str = "") -> dict[str, Distribution]:
    """Return all that fieldsim, or one of its extras, needs, and what that needs, by name."""
    found: dict[str, Distribution] = {}
    wanted = [("fieldsim", frozenset({extra}))]
    seen = set()
    while wanted:
        name, extras = wanted.pop()
        if (name, extras) in seen:
            continue
        seen.add((name, extras))
        try:
            held = distribution(name)
        except PackageNotFoundError:
            raise SystemExit(
                f"{name} is not installed: install fieldsim[cluster,notebooks]"
            ) from None
        found[name] = held
        for text in held.requires or ():
            part = Requirement(text)
            if part.marker is None or any(part.marker.evaluate({"extra": e}) for e in extras):
                wanted.append((canonicalize_name(part.name), frozenset(part.extras | {""})))
    del found["fieldsim"]
    return dict(sorted(found.items()))


def licence_of(held: Distribution) -> str:
    """Return a licence as an SPDX expression where its words are known, else its words."""
    told = held.metadata
    if told.get("License-Expression"):
        return told["License-Expression"]
    classes = [CLASSIFIER.fullmatch(text) for text in told.get_all("Classifier") or ()]
    words = [match[1] for match in classes if match and match[1] != "OSI Approved"]
    if not words:
        words = [(told.get("License") or "none told").strip().splitlines()[0]]
    return " OR ".join(SPELLED.get(word.lower(), word) for word in words)


def not_allowed(expression: str) -> list[str]:
    """Return the licences of an SPDX expression that are not allowed; none where a choice is."""
    inner = re.search(r"\(([^()]*)\)", expression)
    if inner is not None:  # a choice of licences in brackets stands for the one to be taken
        wrong = not_allowed(inner[1])
        whole = expression.replace(inner[0], wrong[0] if wrong else "MIT")
        return not_allowed(whole)
    choices = [
        [part.strip() for part in re.split(r"\bAND\b", choice) if part.strip() not in ALLOWED]
        for choice in re.split(r"\bOR\b", expression)
    ]
    return min(choices, key=len)


def table() -> str:
    """Return the licences as a table of Markdown: a row for each licence."""
    rows: dict[str, list[str]] = {}
    told: set[str] = set()
    for extra in EXTRAS:
        for name, held in needed(extra).items():
            if name not in told:
                told.add(name)
                mark = f" ({extra})" if extra else ""
                rows.setdefault(licence_of(held), []).append(f"{name} {held.version}{mark}")
    lines = ["| licence | packages |", "|---|---|"]
    lines += [
        f"| {licence} | {', '.join(sorted(names))} |" for licence, names in sorted(rows.items())
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    print(table())
