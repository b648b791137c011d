"""Colours of light by CIE: XYZ, Lab and sRGB, all relative to white D50 as in ISO 15076-1 and ISO 32000-2, 8.6.5."""

from __future__ import annotations

import numpy as np

from filmsplit.formats.pdf.colour import Numbers

D50 = np.array([0.9642, 1.0, 0.8249])
"""The white of profiles (ISO 15076-1, 7.2.16)."""
BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
"""To the cones' answer (ISO 15076-1, annex E)."""
XYZ_TO_SRGB = np.array(
    [[3.1338561, -1.6168667, -0.4906146], [-0.9787684, 1.9161415, 0.0334540], [0.0719453, -0.2289914, 1.4052427]]
)
"""IEC 61966-2-1 primaries, adapted to D50 by Bradford."""
XYZ_TO_SRGB /= (XYZ_TO_SRGB @ D50)[:, None]  # so that white is white to the last digit
LINEAR = 6.0 / 29.0


def lab_of_xyz(xyz: Numbers) -> Numbers:
    """CIE 1976 (ISO/CIE 11664-4)."""
    share = np.maximum(xyz / D50, 0.0)
    bent = np.where(share > LINEAR**3, np.cbrt(share), share / (3.0 * LINEAR**2) + 4.0 / 29.0)
    x, y, z = bent.T
    return np.stack([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)], axis=1)


def xyz_of_lab(lab: Numbers) -> Numbers:
    """The inverse of ``lab_of_xyz``."""
    lightness, a, b = lab.T
    middle = (lightness + 16.0) / 116.0
    bent = np.stack([middle + a / 500.0, middle, middle - b / 200.0], axis=1)
    straight = np.where(bent > LINEAR, bent**3, 3.0 * LINEAR**2 * (bent - 4.0 / 29.0))
    return np.asarray(straight * D50, dtype=np.float64)


def companded(linear: Numbers) -> Numbers:
    """Light to the steps of sRGB (IEC 61966-2-1)."""
    light = np.clip(linear, 0.0, 1.0)
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def srgb_of_xyz(xyz: Numbers) -> Numbers:
    """Clipped to what sRGB has."""
    return companded(xyz @ XYZ_TO_SRGB.T)


def srgb_of_lab(lab: Numbers) -> Numbers:
    """Clipped to what sRGB has."""
    return srgb_of_xyz(xyz_of_lab(lab))


def adapted(xyz: Numbers, white: Numbers) -> Numbers:
    """XYZ seen under ``white``, as it is seen under D50 (Bradford)."""
    scale = (BRADFORD @ D50) / (BRADFORD @ white)
    matrix = np.linalg.inv(BRADFORD) @ np.diag(scale) @ BRADFORD
    return np.asarray(xyz @ matrix.T, dtype=np.float64)
