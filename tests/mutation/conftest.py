"""Mutants are not made by the tests: see "Mutation testing" in DEVELOPERS.md."""

collect_ignore_glob = ["*.py"]
