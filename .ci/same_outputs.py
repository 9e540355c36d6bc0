"""Hold two folders that tests.reliability.outputs wrote together, byte for byte."""

import sys
from pathlib import Path

folders = [Path(word) for word in sys.argv[1:3]]
files = [{path.name: path.read_bytes() for path in folder.iterdir()} for folder in folders]
named = [folder.name.removeprefix("out-") for folder in folders]
faults = [
    f"{name}: only one of the two has it" for name in sorted(files[0].keys() ^ files[1].keys())
]
for name in sorted(files[0].keys() & files[1].keys()):
    lines = [held[name].decode().splitlines() for held in files]
    apart = [pair for pair in zip(*lines, strict=False) if pair[0] != pair[1]]
    if files[0][name] != files[1][name]:
        shown = apart[0] if apart else ("more lines", "fewer lines")
        faults.append(f"{name}: {len(apart)} lines differ\n  {shown[0][:300]}\n  {shown[1][:300]}")
if faults:
    sys.exit("\n".join([f"{named[0]} and {named[1]} do not write the same:", *faults]))
print(f"{named[0]} and {named[1]}: {len(files[0])} outputs, the same bytes")
