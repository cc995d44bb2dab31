"""Sea water at one atmosphere: salinity, density, conductivity and what instruments show."""

from __future__ import annotations

import math
from collections.abc import Callable

from tankkeeper.core.errors import out_of_range
from tankkeeper.core.units import HARD_RANGES, Quantity, check_range, sg_reference

# Reference Salinity in g/kg is K times practical salinity: IOC, SCOR and IAPSO, The
# international thermodynamic equation of seawater - 2010, IOC Manuals and Guides 56, 2010.
K = 35.16504 / 35.0
USUAL_TEMPERATURE_C = 25.0
# Cubic expansion of hydrometer glass per kelvin, from memory.
GLASS_EXPANSION_PER_K = 2.5e-5
SODIUM_LINE_NM = 589.3
# Conductivity of practical salinity 35 at 15 degC (IPTS-68), one atmosphere, mS/cm.
_STANDARD_MS_CM = 42.914
_T68_PER_T90 = 1.00024
_PSS_A = (0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081)
_PSS_B = (0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144)


def check_salinity(practical_salinity: float, field: str = "salinity") -> None:
    """Refuse a practical salinity outside 0 to 42."""
    limits = HARD_RANGES["salinity"]
    if not limits.low <= practical_salinity <= limits.high:
        raise out_of_range(field, practical_salinity, limits.low, limits.high)


def check_temperature(temperature_c: float, field: str = "temperature") -> None:
    """Refuse a water temperature outside 0 to 40 degC, where the closed forms hold."""
    if not 0.0 <= temperature_c <= 40.0:
        raise out_of_range(field, temperature_c, 0.0, 40.0)


def reference_salinity(practical_salinity: float) -> float:
    """Return grams of sea salt per kilogram of water."""
    return K * practical_salinity


def fresh_density_kg_m3(temperature_c: float) -> float:
    """Return the density of fresh water, kg/m3, 0-40 degC (EOS-80, as `density_kg_m3`)."""
    check_temperature(temperature_c)
    return _fresh_density(_T68_PER_T90 * temperature_c)


def _fresh_density(t: float) -> float:
    return 999.842594 + t * (
        6.793952e-2 + t * (-9.095290e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9)))
    )


def density_kg_m3(practical_salinity: float, temperature_c: float) -> float:
    """Return the density of sea water at one atmosphere, kg/m3.

    Millero & Poisson, International one-atmosphere equation of state of seawater, Deep-Sea
    Research 28A, 1981; practical salinity 0-42, 0-40 degC.

    >>> round(density_kg_m3(35.0, 25.0), 2)
    1023.34
    """
    check_salinity(practical_salinity)
    check_temperature(temperature_c)
    s, t = practical_salinity, _T68_PER_T90 * temperature_c
    first = 0.824493 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)))
    second = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6)
    return _fresh_density(t) + first * s + second * s * math.sqrt(s) + 4.8314e-4 * s * s


def _standard_ratio(t: float) -> float:
    """Return C(35, t, 0) / C(35, 15, 0), t on IPTS-68 (PSS-78)."""
    return 0.6766097 + t * (2.00564e-2 + t * (1.104259e-4 + t * (-6.9698e-7 + t * 1.0031e-9)))


def _salinity_of_ratio(ratio: float, t: float) -> float:
    """Return practical salinity of a conductivity ratio against C(35, 15, 0) (PSS-78)."""
    root = math.sqrt(ratio / _standard_ratio(t))
    main = sum(a * root**i for i, a in enumerate(_PSS_A))
    warmth = (t - 15.0) / (1.0 + 0.0162 * (t - 15.0))
    return main + warmth * sum(b * root**i for i, b in enumerate(_PSS_B))


def practical_from_conductivity(
    conductivity_ms_cm: float, temperature_c: float = USUAL_TEMPERATURE_C
) -> float:
    """Return practical salinity from conductivity at `temperature_c`, by default at 25 degC.

    PSS-78: Fofonoff & Millard, UNESCO Technical Papers in Marine Science 44, 1983; made for
    practical salinity 2-42, -2 to 35 degC; below 2 good to about 0.01.
    """
    check_range("conductivity", conductivity_ms_cm)
    check_temperature(temperature_c)
    ratio = conductivity_ms_cm / _STANDARD_MS_CM
    practical = _salinity_of_ratio(ratio, _T68_PER_T90 * temperature_c)
    highest = HARD_RANGES["salinity"].high
    if practical > highest + 1e-9:
        high = conductivity_ms_cm_of(highest, temperature_c)
        raise out_of_range("conductivity", conductivity_ms_cm, 0.0, high)
    return min(practical, highest)  # the last bits of a value that came from 42 itself


def conductivity_ms_cm_of(
    practical_salinity: float, temperature_c: float = USUAL_TEMPERATURE_C
) -> float:
    """Return conductivity in mS/cm at `temperature_c`; the inverse of the PSS-78 form."""
    check_salinity(practical_salinity)
    check_temperature(temperature_c)
    t = _T68_PER_T90 * temperature_c
    if practical_salinity <= _salinity_of_ratio(0.0, t):
        return 0.0
    ratio = _solve(lambda ratio: _salinity_of_ratio(ratio, t), practical_salinity, 0.0, 3.0)
    return ratio * _STANDARD_MS_CM


def _solve(rising: Callable[[float], float], target: float, low: float, high: float) -> float:
    """Return where a rising function meets `target`, by bisection to the last bits."""
    for _ in range(60):
        middle = 0.5 * (low + high)
        if rising(middle) < target:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _salinity_where(field: str, shown: Callable[[float], float], value: float) -> float:
    """Return the practical salinity at which an instrument would show `value`."""
    low, high = shown(0.0), shown(42.0)
    if not low <= value <= high:
        raise out_of_range(field, value, low, high)
    return _solve(shown, value, 0.0, 42.0)


def specific_gravity(
    practical_salinity: float,
    sample_c: float = USUAL_TEMPERATURE_C,
    reference_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return density at `sample_c` over that of fresh water at `reference_c`.

    >>> round(specific_gravity(35.0), 4)
    1.0264
    """
    return density_kg_m3(practical_salinity, sample_c) / fresh_density_kg_m3(reference_c)


def practical_from_specific_gravity(
    gravity: float,
    sample_c: float = USUAL_TEMPERATURE_C,
    reference_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return the practical salinity that has this specific gravity."""
    check_range("specific_gravity", gravity)
    return _salinity_where(
        "specific_gravity", lambda s: specific_gravity(s, sample_c, reference_c), gravity
    )


def hydrometer_shown(practical_salinity: float, sample_c: float, marked_c: float) -> float:
    """Return what a glass hydrometer marked for `marked_c` shows when floated at `sample_c`."""
    swelling = 1.0 + GLASS_EXPANSION_PER_K * (sample_c - marked_c)
    return specific_gravity(practical_salinity, sample_c, marked_c) * swelling


def practical_from_hydrometer(shown: float, sample_c: float, marked_c: float) -> float:
    """Return the practical salinity at which the hydrometer shows this figure."""
    check_range("specific_gravity", shown)
    return _salinity_where(
        "specific_gravity", lambda s: hydrometer_shown(s, sample_c, marked_c), shown
    )


def refractive_index(
    practical_salinity: float, temperature_c: float, wavelength_nm: float = SODIUM_LINE_NM
) -> float:
    """Return the refractive index of sea water relative to air.

    Quan & Fry, Empirical equation for the index of refraction of seawater, Applied Optics
    34(18), 1995, 3477-3480; 0-30 degC, salinity 0-35 (to 42 extrapolated), 400-700 nm.
    """
    check_salinity(practical_salinity)
    if not 0.0 <= temperature_c <= 30.0:
        raise out_of_range("temperature", temperature_c, 0.0, 30.0)
    if not 400.0 <= wavelength_nm <= 700.0:
        raise out_of_range("wavelength", wavelength_nm, 400.0, 700.0)
    s, t, nm = practical_salinity, temperature_c, wavelength_nm
    salt = (1.779e-4 - 1.05e-6 * t + 1.6e-8 * t * t) * s
    colour = (15.868 + 0.01155 * s - 0.00423 * t) / nm - 4382.0 / nm**2 + 1.1455e6 / nm**3
    return 1.31405 + salt - 2.02e-6 * t * t + colour


def practical_from_refractive_index(index: float, temperature_c: float) -> float:
    """Return practical salinity from the refractive index at the sodium line."""
    if not 1.330 <= index <= 1.345:
        raise out_of_range("refractive_index", index, 1.330, 1.345)
    return _salinity_where("refractive_index", lambda s: refractive_index(s, temperature_c), index)


def practical_from_brine_scale(reading: float) -> float:
    """Return practical salinity, good to 0.25, from a refractometer with a sodium chloride scale.

    Straight line near 35, from the sea water index of Quan & Fry 1995 and the sodium chloride
    index of the CRC Handbook (from memory); readings of 25-45 only.
    """
    if not 25.0 <= reading <= 45.0:
        raise out_of_range("refractometer", reading, 25.0, 45.0)
    return 33.35 + 0.984 * (reading - 35.0)


def calibrated(shown: float, offset: float) -> float:
    """Return a salinity reading corrected by the offset (true less shown) of its instrument."""
    corrected = shown + offset
    check_salinity(corrected)
    return corrected


def practical_salinity_from(quantity: Quantity) -> float:
    """Return practical salinity from a typed salinity, specific gravity or conductivity."""
    if quantity.unit == "practical":
        check_salinity(quantity.value)
        return quantity.value
    reference = sg_reference(quantity.unit)
    if reference is not None:
        sample_c = quantity.sample_temperature_c
        sample_c = reference.sample_c if sample_c is None else sample_c
        return practical_from_specific_gravity(quantity.value, sample_c, reference.reference_c)
    if quantity.unit == "mS/cm":
        return practical_from_conductivity(quantity.value)
    raise ValueError(f"{quantity.unit!r} is not a unit of salinity")


def salinity_in_unit(
    practical_salinity: float, unit: str, sample_temperature_c: float | None = None
) -> float:
    """Return practical salinity as a number of `unit`; inverse of `practical_salinity_from`."""
    if unit == "practical":
        return practical_salinity
    reference = sg_reference(unit)
    if reference is not None:
        sample_c = reference.sample_c if sample_temperature_c is None else sample_temperature_c
        return specific_gravity(practical_salinity, sample_c, reference.reference_c)
    if unit == "mS/cm":
        return conductivity_ms_cm_of(practical_salinity)
    raise ValueError(f"{unit!r} is not a unit of salinity")
