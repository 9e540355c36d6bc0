"""``python -m fieldsim`` is the same as ``fieldsim``."""

from fieldsim.cli import main

main()
