#!/usr/bin/env python3
"""Write down what every file under data/ holds, or see that it is as written.

    scripts/make_manifest.py [--check] [FOLDER]

Takes part of a second; run it after each change of a table. The checks and `fitcheck tables check`
compare with data/manifest.json.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from fitcheck.table_check import MANIFEST, manifest_text  # noqa: E402


def main(words: list[str]) -> int:
    """Write the manifest, or with --check compare; 1 where a file is not as it is written."""
    named = [word for word in words if word != "--check"]
    folder = Path(named[0]) if named else ROOT / "data"
    path, text = folder / MANIFEST, manifest_text(str(folder))
    if "--check" not in words:
        path.write_text(text, encoding="utf-8")
        print(f"{path}: {len(text.splitlines()) - 2} files")
        return 0
    try:
        written = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        written = {}
    found = json.loads(text)
    unlike = [name for name in sorted({*written, *found}) if written.get(name) != found.get(name)]
    for name in unlike:
        print(f"data/{name}: not as data/{MANIFEST} has it", file=sys.stderr)
    if unlike:
        print("Run scripts/make_manifest.py once the change is meant", file=sys.stderr)
    return 1 if unlike else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
