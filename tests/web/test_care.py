"""The register and what lies ahead, in the pages: what the command line says, since both ask the same actions."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape

from filmsplit.actions.care import due
from filmsplit.actions.jobs import today
from filmsplit.actions.readings import Told, record
from filmsplit.actions.register import Daybook, listed
from filmsplit.actions.shop import Shop, kept_press
from filmsplit.actions.year_plan import year_plan
from filmsplit.actions.year_plan_paper import month_rows, sum_rows
from filmsplit.messages import label
from reports.pages import pages
from web.served import Visit


def aged(visit: Visit) -> Daybook:
    """The Heron's F1, read through two years in which it hardened by 14 points a year."""
    book = Daybook(Shop(visit.folder).records, today())
    for number in range(7):
        on = today() - timedelta(days=700 - 100 * number)
        value = round(25 + 14 * 100 * number / 365, 1)
        record(
            [Told(where="heron-F1", kind="hardness", values=(value,) * 3, temperature_c=23.0)],
            book=Daybook(book.records, on),
        )
    return book


def words(text: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def test_an_empty_shop_says_how_to_begin(visit: Visit) -> None:
    assert label("web_register.none") in visit.page("/rollers")
    assert label("web_due.nothing") in visit.page("/due")
    assert "care-no-rollers" not in visit.page("/due/year.pdf", status=422)


def test_the_register_is_every_roller_the_gravest_first(at_heron: Visit) -> None:
    book = aged(at_heron)
    text = at_heron.page("/rollers")
    marks = re.findall(r'<th scope="row"><a href="/rollers/[^"]+">([^<]+)</a>', text)
    assert sorted(marks) == sorted(each.roller.mark for each in listed(book=book))
    assert marks[0] == "heron-F1"
    assert re.findall(r"<td><strong>(\w+)</strong>", text)[0] == label("verdict.act")


def test_the_register_of_one_press_leads_to_its_papers(at_heron: Visit) -> None:
    at_heron.send("/presses/bring", press="wagtail")
    at_heron.send("/presses/wagtail/register")
    one, both = at_heron.page("/rollers?on=wagtail"), at_heron.page("/rollers")
    assert "heron-F1" not in one
    assert "heron-F1" in both
    assert "labels.pdf" not in both
    found = re.findall(r'href="(/rollers/on/wagtail/\w+\.pdf)"', one)
    assert len(found) == 2
    for address in found:
        answer = at_heron.client.get(address)
        assert answer.headers["content-type"] == "application/pdf"
        assert "wagtail" in " ".join(page.text for page in pages(answer.content))
    at_heron.page("/rollers?on=nowhere", status=404)
    at_heron.page("/rollers/on/nowhere/labels.pdf", status=404)


def test_what_is_due_is_what_the_board_says(at_heron: Visit) -> None:
    book = aged(at_heron)
    board = due(str(kept_press(Shop(at_heron.folder), "heron").path), book=book)
    text = at_heron.page("/due")
    rows = re.findall(r'<tr><th scope="row">([^<]+)</th><td class="state">(.*?)</td>', text)
    assert [name for name, _ in rows] == [label(f"web_task.{each.task.name.lower()}") for each in board]
    late = [each.overdue_days(book.day) for each in board]
    assert [("<strong>" in said) for _, said in rows] == [each is None or each > 0 for each in late]
    assert any("<strong>" in said for _, said in rows)


def test_the_year_is_that_of_its_paper(at_heron: Visit) -> None:
    book = aged(at_heron)
    plan = year_plan([str(kept_press(Shop(at_heron.folder), "heron").path)], book=book)
    text = words(at_heron.page("/due"))
    for name, value in sum_rows(plan):
        assert f"{name} {value}" in text
    for month, lines in month_rows(plan):
        assert month in text
        assert all(" ".join(said.split()) in text for _, said in lines)
    paper = at_heron.client.get("/due/year.pdf")
    assert paper.headers["content-type"] == "application/pdf"
    assert plan.begin.isoformat() in " ".join(page.text for page in pages(paper.content))
