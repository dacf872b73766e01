"""An import that is killed leaves the list before it, whole, and the store sound."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
# The script does a hundred when it is run by itself.
KILLS = 5


def test_a_killed_import_leaves_the_old_list(shop: str) -> None:
    done = subprocess.run(
        [
            sys.executable,
            str(ROOT / "scripts" / "kill_imports"),
            f"--kills={KILLS}",
            "--lines=5000",
            f"--store={shop}",
        ],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith(f"{KILLS} imports of 5000 lines killed: the old list was whole")
