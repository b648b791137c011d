"""Paper that an action writes into a file, as an answer."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

from starlette.responses import Response


def pdf_answer(write: Callable[[Path], object], *, name: str) -> Response:
    """What ``write`` puts into the file it is given, shown by the browser under ``name``; nothing of it is kept."""
    with tempfile.TemporaryDirectory() as folder:
        to = Path(folder) / "paper.pdf"
        write(to)
        shown = {"content-disposition": f'inline; filename="{name}.pdf"'}
        return Response(to.read_bytes(), media_type="application/pdf", headers=shown)
