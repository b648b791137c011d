"""other units, for people; nothing below needs it"""

from filmsplit.units.gears import diametral_pitch_from_module, module_from_diametral_pitch
from filmsplit.units.reading import parse_length_mm
from filmsplit.units.writing import LengthSystem, format_length

__all__ = [
    "LengthSystem",
    "diametral_pitch_from_module",
    "format_length",
    "module_from_diametral_pitch",
    "parse_length_mm",
]
