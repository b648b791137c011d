"""what the machine is: frozen data, geometry, checked whole"""

from filmsplit.press.contacts import CYLINDER_IDS, Adjuster, Adjusters, Contact, Stripe
from filmsplit.press.cylinder import Cylinder, Cylinders, Impression
from filmsplit.press.fountain import Fountain, Keys, Sweep
from filmsplit.press.press import Assumption, Member, Press, Unit
from filmsplit.press.roller import Core, Cover, Drive, Motion, Point, Roller

__all__ = [
    "CYLINDER_IDS",
    "Adjuster",
    "Adjusters",
    "Assumption",
    "Contact",
    "Core",
    "Cover",
    "Cylinder",
    "Cylinders",
    "Drive",
    "Fountain",
    "Impression",
    "Keys",
    "Member",
    "Motion",
    "Point",
    "Press",
    "Roller",
    "Stripe",
    "Sweep",
    "Unit",
]
