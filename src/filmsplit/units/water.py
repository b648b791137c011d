"""Temperature, conductivity and hardness of water as other instruments and reports give them."""

from __future__ import annotations

GRAM_PER_MOL_CALCIUM_OXIDE = 40.078 + 15.999
GRAM_PER_MOL_CALCIUM_CARBONATE = 40.078 + 12.011 + 3 * 15.999
"""Standard atomic weights, abridged: Ca 40.078, C 12.011, O 15.999 (IUPAC 2021, memory)."""

MMOL_PER_L_PER_DH = 10.0 / GRAM_PER_MOL_CALCIUM_OXIDE
"""One German degree is 10 mg of calcium oxide in a litre (DIN 38409-6, memory)."""


def fahrenheit_from_celsius(celsius: float) -> float:
    """°F from °C (a temperature, not a difference)."""
    return celsius * 9.0 / 5.0 + 32.0


def celsius_from_fahrenheit(fahrenheit: float) -> float:
    """°C from °F (a temperature, not a difference)."""
    return (fahrenheit - 32.0) * 5.0 / 9.0


def us_from_umho(umho: float) -> float:
    """µS from µmho: the mho is the older name of the siemens, so the number stays."""
    return umho


def umho_from_us(us: float) -> float:
    """µmho from µS: the number stays."""
    return us


def mmol_per_l_from_dh(dh: float) -> float:
    """Hardness in mmol/L of calcium and magnesium, from German degrees."""
    return dh * MMOL_PER_L_PER_DH


def dh_from_mmol_per_l(mmol_per_l: float) -> float:
    """German degrees, from mmol/L of calcium and magnesium."""
    return mmol_per_l / MMOL_PER_L_PER_DH


def ppm_caco3_from_mmol_per_l(mmol_per_l: float) -> float:
    """Hardness as mg/L (ppm) of calcium carbonate, from mmol/L."""
    return mmol_per_l * GRAM_PER_MOL_CALCIUM_CARBONATE


def mmol_per_l_from_ppm_caco3(ppm: float) -> float:
    """mmol/L, from mg/L (ppm) of calcium carbonate."""
    return ppm / GRAM_PER_MOL_CALCIUM_CARBONATE


def ppm_caco3_from_dh(dh: float) -> float:
    """mg/L (ppm) of calcium carbonate, from German degrees."""
    return ppm_caco3_from_mmol_per_l(mmol_per_l_from_dh(dh))


def dh_from_ppm_caco3(ppm: float) -> float:
    """German degrees, from mg/L (ppm) of calcium carbonate."""
    return dh_from_mmol_per_l(mmol_per_l_from_ppm_caco3(ppm))
