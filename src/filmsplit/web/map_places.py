"""Where each roller and contact on the map of a train leads."""

from __future__ import annotations

from collections.abc import Mapping

from filmsplit.figures.train_map import Place
from filmsplit.messages import label
from filmsplit.press import Unit
from filmsplit.press.bodies import joints_of
from filmsplit.web.addresses import contact_address, place_address


def map_places(name: str, unit: Unit) -> Mapping[str, Place]:
    """Every roller and contact of the unit as a place to touch."""
    rollers = {
        each.id: Place(place_address(name, unit.id, roller=each.id), label("web.roller", id=each.id, name=each.name))
        for each in unit.rollers
    }
    contacts = {
        joint.id: Place(
            contact_address(name, unit.id, contact=joint.id), label("web.contact", a=joint.a, b=joint.b), mark="·"
        )
        for joint in joints_of(unit)
        if joint.contact is not None
    }
    return rollers | contacts
