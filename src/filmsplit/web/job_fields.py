"""What is filled in about a job, as the actions are told it: texts bounded, figures read, a press looked up."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.datastructures import ImmutableMultiDict

from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.shop import KeptPress, Shop, kept_press
from filmsplit.actions.work import WorkAsked
from filmsplit.messages import Problem, Refusal, label
from filmsplit.web.job_work_fields import PASSES, WORK, codes_in, files_in, passes_in
from filmsplit.web.length_fields import in_mm

LONGEST = 200
LONGEST_LIST = 1200
"""Characters of a list by zone: more than 80 zones of figures."""
LISTS = frozenset({"coverage", "keys", "densities", "percents", "set_keys", "remarks", WORK, PASSES})
UNREAD = frozenset({"-", "–", "?"})

Sent = Mapping[str, str]


def bounded(sent: Sent) -> dict[str, str]:
    """Every field without blanks around it, none longer than anything a person types, lengths in mm. Several files are
    one field.
    """
    files = " ".join(sent.getlist(WORK)) if isinstance(sent, ImmutableMultiDict) else ""
    told = {**sent, WORK: files} if files else sent
    return in_mm(
        {name[:LONGEST]: text.strip()[: LONGEST_LIST if name in LISTS else LONGEST] for name, text in told.items()}
    )


def place_in(shop: Shop, sent: Sent) -> tuple[KeptPress, str]:
    """The press and the unit chosen. The name is looked up, never made into a path; :class:`Refusal` if unknown."""
    press, _, unit = sent.get("where", "").partition("/")
    if not press:
        raise Refusal(Problem("web-job-no-place"))
    kept = kept_press(shop, press)
    if kept.press is None:
        raise Refusal(kept.problems)
    return kept, unit


def number_in(sent: Sent, name: str, *, words: str) -> float | None:
    """A figure, ``None`` where nothing was typed; :class:`Refusal` where it is none."""
    text = sent.get(name, "")
    return _number(text, words) if text else None


def count_in(sent: Sent, name: str, *, words: str) -> int | None:
    """A whole number, ``None`` where nothing was typed; :class:`Refusal` where it is none."""
    text = sent.get(name, "").replace(" ", "")
    if text and not (text.isascii() and text.isdecimal() and len(text) <= len("10000000")):
        raise Refusal(Problem("web-job-number", {"field": words, "given": text[:40]}))
    return int(text) if text else None


def list_in(sent: Sent, name: str, *, words: str) -> tuple[float | None, ...]:
    """Figures by zone, ``None`` for a dash; :class:`Refusal` naming the first that is none."""
    texts = sent.get(name, "").replace(";", " ").split()
    return tuple(None if each in UNREAD else _number(each, words) for each in texts)


def whole_list_in(sent: Sent, name: str, *, words: str) -> tuple[float, ...]:
    """As :func:`list_in`, but a dash is refused too."""
    found = list_in(sent, name, words=words)
    if None in found:
        raise Refusal(Problem("web-job-number", {"field": words, "given": "-"}))
    return tuple(each for each in found if each is not None)


def work_in(sent: Sent, *, shop: Shop | None = None) -> WorkAsked:
    """The work: the shop's kept files where some are told, otherwise the typed coverage. :class:`Refusal`."""
    if codes_in(sent):
        if shop is None:
            raise Refusal(Problem("work-not-kept", {"code": codes_in(sent)[0]}))
        return files_in(sent, shop, number=lambda name: number_in(sent, name, words=label(f"web_works.{name}")))
    return WorkAsked(what=(sent.get("coverage", ""),), only_typed=True, inks=(sent["ink"],) if sent.get("ink") else ())


def asked_in(sent: Sent, *, unit: str) -> JobAsked:
    """What is told of the job besides its work."""
    saturation = number_in(sent, "saturation", words=label("web_jobs.saturation"))
    rate = number_in(sent, "rate", words=label("web_jobs.rate"))
    if (saturation is None) != (rate is None):
        raise Refusal(Problem("web-job-constants"))
    return JobAsked(
        title=sent.get("title", ""),
        stock=sent.get("stock", ""),
        run=count_in(sent, "run", words=label("web_jobs.run")),
        unit=unit or None,
        passes=passes_in(sent) if codes_in(sent) else (),
        aim_um=number_in(sent, "aim", words=label("web_jobs.aim")),
        density=number_in(sent, "density", words=label("web_jobs.density")),
        constants=None if saturation is None or rate is None else (saturation, rate),
    )


def _number(text: str, words: str) -> float:
    typed = text.replace(",", ".")
    digits = typed.removeprefix("-").replace(".", "", 1)
    if not (digits.isascii() and digits.isdecimal()):
        raise Refusal(Problem("web-job-number", {"field": words, "given": text[:40]}))
    return float(typed)
