"""A sheet foreseen, as a person reads it in a terminal."""

from __future__ import annotations

import click

from filmsplit.actions.foresee import MOST_SHOWN, AreaTold, ForeseenAnswer, GhostTold, InkForeseen
from filmsplit.actions.foresee_words import cause_words, place_words
from filmsplit.cli.cures_pages import print_cures
from filmsplit.cli.problems import problem_text
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.messages import label

FALL_OFF = 0.02
"""An area that falls off by less is not mentioned."""


def print_foreseen(found: ForeseenAnswer) -> None:
    """Ink by ink: its ghosts, the strongest first, then areas that fall off or starve."""
    invented = f"  ({label('show.invented')})" if found.invented else ""
    console().print(f"[bold]{found.title or found.press}[/]{invented}")
    key = "foresee.visible_invented" if found.visible_invented else "foresee.visible"
    click.echo(label(key, percent=f"{100 * found.visible:g}"))
    for ink in found.inks:
        _print_ink(ink)
    if found.cures is not None:
        print_cures(found.cures)


def _print_ink(ink: InkForeseen) -> None:
    console().print(f"\n[bold]{label('foresee.ink', ink=ink.ink, unit=ink.unit)}[/]")
    for note in ink.notes:
        click.echo(problem_text(note))
    if not ink.settled:
        return
    if ink.ghosts:
        _print_ghosts(ink)
    elif ink.areas:
        strongest = max(abs(each.strongest) for each in ink.areas)
        click.echo(label("foresee.no_ghost", count=len(ink.areas), percent=f"{100 * strongest:.1f}"))
    else:
        click.echo(label("foresee.no_area"))
    for words in _course_words(ink):
        print_bullet(words, out=console())
    for area in ink.areas:
        for words in _area_words(area):
            print_bullet(words, out=console())


def _course_words(ink: InkForeseen) -> list[str]:
    said = []
    if ink.fighting:
        said.append(label("foresee.fighting", zones=", ".join(map(str, ink.fighting))))
    if ink.course is not None:
        between, along = (f"{100 * each:.1f}" for each in (ink.course.between_sheets, ink.course.along_sheet))
        said.append(label("foresee.between", percent=between, along=along))
        sheets = [
            label("foresee.at_sheet", sheet=at.sheet, film=f"{100 * at.film:.0f}", ghost=f"{100 * at.ghost:.1f}")
            for at in ink.course.start
        ]
        said.append(label("foresee.start", sheets="; ".join(sheets)))
    return said


def _print_ghosts(ink: InkForeseen) -> None:
    names = ("number", "strength", "place", "cause")
    made = table(*((label(f"foresee.{name}"), "right" if name in ("number", "strength") else "left") for name in names))
    for ghost in ink.ghosts[:MOST_SHOWN]:
        made.add_row(str(ghost.number), _strength(ghost), place_words(ghost.at), cause_words(ghost))
    console().print(made)
    if len(ink.ghosts) > MOST_SHOWN:
        click.echo(label("foresee.more", count=len(ink.ghosts) - MOST_SHOWN))


def _strength(ghost: GhostTold) -> str:
    words = label("foresee.dark" if ghost.dark else "foresee.light", percent=f"{100 * abs(ghost.strength):.1f}")
    if ghost.density is not None:
        words = label("foresee.with_density", words=words, density=f"{ghost.density:+.2f}")
    if ghost.delta_e_00 is not None:
        words = label("foresee.with_colour", words=words, difference=f"{ghost.delta_e_00:.1f}")
    return words


def _area_words(area: AreaTold) -> list[str]:
    values = {"place": place_words(area.at), "coverage": round(100 * area.coverage)}
    said = []
    if area.starved:
        said.append(label("foresee.starved", percent=round(100 * area.film_over_aim), **values))
    if abs(area.fall_off) >= FALL_OFF:
        key = "foresee.falls" if area.fall_off < 0 else "foresee.rises"
        said.append(label(key, percent=f"{100 * abs(area.fall_off):.1f}", **values))
    return said
