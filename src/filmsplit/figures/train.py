"""The drawing of a train to scale from the operator's side."""

from __future__ import annotations

from filmsplit.figures.classes import CONTACTS, EXTRAS, Extra
from filmsplit.figures.drawing import FAINT, INK, Drawing, finish, group, line
from filmsplit.figures.layout import Layout, Note, Wanted, lay_out
from filmsplit.figures.legend import draw_legend
from filmsplit.figures.lines import Tells, draw_rows
from filmsplit.figures.members import draw_cylinder, draw_ghost, draw_roller, used_hatches
from filmsplit.figures.routes import draw_rides
from filmsplit.figures.signs import contact_sign, hatch_patterns
from filmsplit.figures.stage import Nip, Stage, gap_angles
from filmsplit.figures.surroundings import draw_fountain, draw_pan, draw_sheet, fountain_body, pan_bodies
from filmsplit.figures.titles import alt_text, draw_foot, draw_title, title_of
from filmsplit.messages import label
from filmsplit.press import Press, Unit


def draw_train(  # noqa: PLR0913 - each is asked for by name
    press: Press,
    unit: Unit | None = None,
    *,
    tells: str = Tells.EVERYTHING.value,
    ink_path: bool = True,
    contacts: bool = True,
    paper: str | None = None,
) -> Drawing:
    """Draw one unit of ``press``, or all of them side by side; centres should be surveyed.

    ``tells`` is everything, purpose, make-up, motion or drive; ``paper`` is A4, A3, A2 or Letter (left out: the
    smallest of the A sizes that is large enough). ``Refusal`` where the paper is too small for any scale.
    """
    wanted = Wanted(Tells(tells), ink_path, contacts, paper)
    units = press.units if unit is None else (unit,)
    layout = lay_out(press, units, wanted)
    parts = [_hatches(layout, wanted.tells)]
    parts += [part for stage in layout.stages for part in _draw_stage(stage, wanted.tells)]
    parts += [group(draw_rides(list(rides), kind)) for kind, rides in layout.rides]
    if contacts:
        parts.append(group([mark for stage in layout.stages for nip in stage.nips for mark in _nip_signs(nip)]))
    parts += _draw_notes(layout.notes)
    parts += draw_title(press, units, layout.page, words=label("figure.view", scale=f"{layout.page.scale:g}"))
    parts.append(group(draw_legend(list(layout.entries), layout.page.legend, layout.page.columns)))
    parts += draw_foot(layout.page, _remarks(layout))
    return finish(
        [part for part in parts if part],
        size_mm=(layout.page.width_mm, layout.page.height_mm),
        title=title_of(press, units),
        alt=alt_text(press, layout.stages, wanted.tells),
    )


def _hatches(layout: Layout, tells: Tells) -> str:
    return hatch_patterns({hatch for stage in layout.stages for hatch in used_hatches(stage, tells)})


def _remarks(layout: Layout) -> list[str]:
    """What could not be drawn, said in words: nothing is left out in silence."""
    undrawn = [id for stage in layout.stages for id in stage.undrawn]
    remarks = [label("figure.undrawn", ids=", ".join(undrawn))] if undrawn else []
    lost = [*layout.lost_names, *layout.lost_targets]
    return [*remarks, label("figure.homeless", words="; ".join(lost))] if lost else remarks


def _draw_stage(stage: Stage, tells: Tells) -> list[str]:
    gaps = gap_angles(stage)
    cylinders = [
        part
        for id in ("impression", "blanket", "plate")
        for part in draw_cylinder(stage.bodies[id], stage, gaps.get(id))
    ]
    fountain = fountain_body(stage)
    around = draw_fountain(stage, fountain)[0] if fountain is not None else []
    around += [part for body in pan_bodies(stage) for part in draw_pan(stage, body)[0]]
    rollers = [part for body in stage.rollers for part in draw_roller(body, tells)]
    ghosts = [part for body in stage.rollers for part in draw_ghost(stage, body)]
    return [group(cylinders), group(around), group(rollers), group(ghosts), group(draw_sheet(stage)[0])]


def _nip_signs(nip: Nip) -> list[str]:
    contact = nip.joint.contact
    if contact is None:
        return []
    signs = [contact_sign(CONTACTS[nip.joint.kind].sign, nip.at, nip.across_deg)]
    if contact.throws_off:
        signs.append(contact_sign(EXTRAS[Extra.THROWS_OFF].sign, nip.at, nip.across_deg))
    return signs


def _draw_notes(notes: tuple[Note, ...]) -> list[str]:
    leaders = [
        line([note.leader[0], note.leader[1]], stroke=FAINT, stroke_width=0.22)
        for note in notes
        if note.leader is not None
    ]
    words = [part for note in notes for part in draw_rows(note.rows, note.box, align=note.align)]
    return [group(leaders), group(words, fill=INK)]
