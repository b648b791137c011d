"""Grey objects drawn by the library that draws pages: a picture or a shading over a page of 100 x 100 dots."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import numpy as np
import pikepdf
import pypdfium2
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Name

SIDE = 100


def drawn(pdf: pikepdf.Pdf, content: bytes, **resources: Any) -> NDArray[np.float64]:
    """Shares of light by dot, rows from the top."""
    page = Dictionary(
        Type=Name.Page,
        MediaBox=Array([0, 0, SIDE, SIDE]),
        Resources=Dictionary({f"/{key}": value for key, value in resources.items()}),
        Contents=pdf.make_stream(content),
    )
    pdf.pages.append(pikepdf.Page(pdf.make_indirect(page)))
    held = BytesIO()
    pdf.save(held)
    del pdf.pages[-1]
    with pypdfium2.PdfDocument(held.getvalue()) as document:
        sheet = document[len(document) - 1]
        found = np.array(sheet.render(scale=1, grayscale=True).to_numpy(), dtype=np.float64)
        sheet.close()
    return found.reshape(SIDE, SIDE) / 255


def drawn_picture(pdf: pikepdf.Pdf, picture: Any, behind: bytes = b"") -> NDArray[np.float64]:
    """A picture all over the page."""
    return drawn(pdf, behind + b"q 100 0 0 100 0 0 cm /P Do Q", XObject=Dictionary(P=picture))


def cells(dots: NDArray[np.float64], rows: int, columns: int) -> NDArray[np.float64]:
    """The middles of so many cells, ``(rows, columns)``."""
    down = ((np.arange(rows) + 0.5) * SIDE / rows).astype(int)
    across = ((np.arange(columns) + 0.5) * SIDE / columns).astype(int)
    return dots[np.ix_(down, across)]
