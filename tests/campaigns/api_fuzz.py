"""Many requests made from the API's own description, those that compute too: no answer of 500 or above.

Run: python tests/campaigns/api_fuzz.py [REQUESTS FOR EACH ACTION]
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
USUAL = "60"


def main() -> int:
    """The test of the suite with more requests; its exit code."""
    many = sys.argv[1] if len(sys.argv) > 1 else USUAL
    command = [sys.executable, "-m", "pytest", "-n", "0", "-q", "tests/web/test_api_fuzz.py", "--durations=5"]
    return subprocess.run(command, cwd=ROOT, check=False, env={**os.environ, "FILMSPLIT_FUZZ": many}).returncode


if __name__ == "__main__":
    sys.exit(main())
