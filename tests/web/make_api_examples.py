"""Write the examples that stand in the API's description, as a shop with the invented Heron answers.

Run: python tests/web/make_api_examples.py
"""

from __future__ import annotations

import json
import tempfile
from datetime import date
from pathlib import Path
from typing import Any
from unittest.mock import patch

import filmsplit.web.api
from filmsplit.web.session import TOKEN_HEADER
from web.served import Visit

FILE = Path(filmsplit.web.api.__file__).parent / "examples.json"
MOST_IN_A_LIST = 2
MOST_LETTERS = 300

FORM_ROLLER = {"press": "heron", "unit": "A", "place": "F1"}
JOB = {
    "press": "heron",
    "title": "Leaflet, black",
    "ink": "black",
    "sheets": 2000,
    "keys": [1, 1.2, 1.5, 1.6, 1.8, 1.6, 1.5, 1.2, 1, 1],
    "coverage_percent": [5, 8, 12, 15, 20, 15, 12, 8, 5, 5],
    "sweep": 5,
    "aim_density": 1.4,
    "saturation": 2.0,
    "rate_per_um": 1.1,
    "sheet_length_mm": 420,
    "sheet_width_mm": 297,
}
SENT: dict[str, tuple[str, dict[str, Any] | None]] = {
    "GET /api/session": ("/api/session", None),
    "POST /api/presses/bring": ("/api/presses/bring", {"press": "heron"}),
    "GET /api/presses": ("/api/presses", None),
    "GET /api/presses/{name}": ("/api/presses/heron", None),
    "POST /api/presses/{name}/register": ("/api/presses/heron/register", None),
    "POST /api/readings": (
        "/api/readings",
        {
            "readings": [
                {"kind": "hardness", "at": FORM_ROLLER, "values": [27, 28, 27, 27.5, 28], "temperature_c": 23},
                {
                    "kind": "stripe",
                    "at": {"press": "heron", "unit": "A", "members": ["F1", "plate"]},
                    "values": [3.6, 3.5, 3.6],
                    "temperature_c": 24,
                    "person": "Kim",
                },
            ]
        },
    ),
    "GET /api/readings": ("/api/readings?roller=heron-F1", None),
    "POST /api/readings/{number}/strike": ("/api/readings/1/strike", {"reason": "the gauge was not set to zero"}),
    "POST /api/presses/{name}/solution/titration": (
        "/api/presses/heron/solution/titration",
        {
            "readings": [{"dose_percent": dose, "conductivity_us_per_cm": 310 + 380 * dose} for dose in range(5)],
            "person": "Kim",
        },
    ),
    "POST /api/presses/{name}/solution": (
        "/api/presses/heron/solution",
        {
            "where": "tank",
            "fresh": True,
            "conductivity_us_per_cm": 1450,
            "ph": 4.9,
            "temperature_c": 14,
            "dose_percent": 3,
            "person": "Kim",
        },
    ),
    "GET /api/presses/{name}/solution": ("/api/presses/heron/solution", None),
    "GET /api/today": ("/api/today", None),
    "GET /api/presses/{name}/due": ("/api/presses/heron/due", None),
    "GET /api/presses/{name}/marks": ("/api/presses/heron/marks?at_mm=12&at_mm=181.7&at_mm=351.3", None),
    "GET /api/presses/{name}/units/{unit}/map": ("/api/presses/heron/units/A/map", None),
    "GET /api/presses/{name}/units/{unit}/rollers/{roller}": ("/api/presses/heron/units/A/rollers/F1", None),
    "GET /api/presses/{name}/units/{unit}/contacts/{a}/{b}": ("/api/presses/heron/units/A/contacts/F1/plate", None),
    "GET /api/rollers": ("/api/rollers?press=heron", None),
    "GET /api/rollers/{mark}": ("/api/rollers/heron-F1", None),
    "GET /api/rollers/{mark}/order": ("/api/rollers/heron-F1/order?inks=oil&wash=mineral", None),
    "POST /api/jobs": ("/api/jobs", JOB),
    "GET /api/jobs": ("/api/jobs?words=leaflet", None),
    "GET /api/jobs/{code}": ("/api/jobs/CODE", None),
    "POST /api/jobs/{code}/correct": (
        "/api/jobs/CODE/correct",
        {"densities": [1.35, 1.4, 1.42, 1.4, 1.5, 1.4, 1.38, 1.4, 1.4, None]},
    ),
    "POST /api/jobs/set": (
        "/api/jobs/set",
        {"press": "heron", "coverage_percent": [5, 8, 12, 15, 20, 15, 12, 8, 5, 5], "run": 2000},
    ),
    "GET /api/words": ("/api/words?asked=vibrator", None),
}
"""By method and path as they stand in the description: what is sent, in an order in which a shop grows."""


def answers(visit: Visit) -> dict[str, dict[str, Any]]:
    """Send everything, and give back what is sent and what comes back."""
    found: dict[str, dict[str, Any]] = {}
    for number, (name, (address, body)) in enumerate(SENT.items()):
        code = found["POST /api/jobs"]["response"]["job"]["code"] if "CODE" in address else ""
        headers = {TOKEN_HEADER: visit.token(), "Idempotency-Key": f"example-{number}"}
        method = name.split()[0]
        answer = visit.client.request(method, address.replace("CODE", code), json=body, headers=headers)
        assert answer.status_code == 200, (name, answer.text)
        found[name] = ({"request": body} if body is not None else {}) | {"response": answer.json()}
    return found


def shortened(value: Any) -> Any:
    """An example that can be read: no list longer than a few, no text longer than a few lines."""
    if isinstance(value, dict):
        return {name: shortened(item) for name, item in value.items()}
    if isinstance(value, list):
        return [shortened(item) for item in value[:MOST_IN_A_LIST]]
    return value[:MOST_LETTERS] if isinstance(value, str) else value


def main() -> None:
    """Write the file."""
    with tempfile.TemporaryDirectory() as folder, patch("filmsplit.web.clock.today") as today:
        today.return_value = date(2030, 3, 4)
        found = answers(Visit(Path(folder)))
    for example in found.values():
        example["response"] = shortened(example["response"])
    found["GET /api/session"]["response"]["token"] = "0" * 64
    FILE.write_text(json.dumps(found, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
