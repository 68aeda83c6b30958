"""The sea state and what a hull makes of it: spectra, periods, heave and pitch, extremes."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

STANDARD_GRAVITY: Final = 9.80665  # m/s2, SI brochure
_GAMMA_THREE_QUARTERS: Final = 1.2254167024651776  # Gamma(3/4)
_GAMMA_FIVE_QUARTERS: Final = 0.9064024770554771  # Gamma(5/4)
_FOURTH_ROOT_OF_FIVE_QUARTERS: Final[float] = 1.25**0.25
_FOURTH_ROOT_OF_PI: Final[float] = np.pi**0.25
_EULER_MASCHERONI: Final = 0.5772156649015329

_PEAKEDNESS = Limit(1.0, 7.0, "range in which the spectrum was fitted")
_DEEP: Final = "water deeper than half a wave length"

# Grid over which a response is integrated, in peak frequencies: to where less than
# 0.1 % of the energy of the sea is left, with steps far finer than the peak is wide.
_GRID: Final = np.linspace(0.2, 6.0, 1161)
_STEP: Final = float(_GRID[1] - _GRID[0])


@published(
    formula="T_z = T_p / (1.25 pi)^(1/4)",
    source="faltinsen-1990",
    where="chapter 2, moments of the two-parameter spectrum in closed form",
    example={"peak_period": "10 s"},
)
def pierson_moskowitz_zero_crossing_period(peak_period: Real) -> Real:
    """Mean zero-crossing period of a fully grown sea.

    The spectrum A w^-5 exp(-B w^-4) has m0 = A/4B, m2 = A sqrt(pi/B)/4 and its peak at
    B = 1.25 wp^4; the period is 2 pi sqrt(m0/m2).

    Parameters
    ----------
    peak_period : [s]
        Period of the spectral peak.

    Returns
    -------
    zero_crossing_period : [s]
        Mean zero-crossing period.
    """
    return peak_period / (_FOURTH_ROOT_OF_FIVE_QUARTERS * _FOURTH_ROOT_OF_PI)


@published(
    formula="T_1 = T_p / (1.25^(1/4) Gamma(3/4))",
    source="faltinsen-1990",
    where="chapter 2, moments of the two-parameter spectrum in closed form",
    example={"peak_period": "10 s"},
)
def pierson_moskowitz_mean_period(peak_period: Real) -> Real:
    """Mean period 2 pi m0/m1 of a fully grown sea.

    Parameters
    ----------
    peak_period : [s]
        Period of the spectral peak.

    Returns
    -------
    mean_wave_period : [s]
        Mean period from the first moment.
    """
    return peak_period / (_FOURTH_ROOT_OF_FIVE_QUARTERS * _GAMMA_THREE_QUARTERS)


@published(
    formula="T_E = T_p Gamma(5/4) / 1.25^(1/4)",
    source="faltinsen-1990",
    where="chapter 2, moments of the two-parameter spectrum in closed form",
    example={"peak_period": "10 s"},
)
def pierson_moskowitz_energy_period(peak_period: Real) -> Real:
    """Energy period 2 pi m(-1)/m0 of a fully grown sea.

    Parameters
    ----------
    peak_period : [s]
        Period of the spectral peak.

    Returns
    -------
    energy_period : [s]
        Energy period.
    """
    return peak_period * _GAMMA_FIVE_QUARTERS / _FOURTH_ROOT_OF_FIVE_QUARTERS


@published(
    formula="T_z = T_p (0.6673 + 0.05037 gamma - 0.006230 gamma^2 + 0.0003341 gamma^3)",
    source="dnv-rp-c205",
    where="section 3.5.5; from memory",
    valid={"peak_enhancement": _PEAKEDNESS},
    example={"peak_period": "10 s", "peak_enhancement": "3.3"},
)
def jonswap_zero_crossing_period(peak_period: Real, peak_enhancement: Real) -> Real:
    """Mean zero-crossing period of a growing sea, by a fit to its spectrum.

    Parameters
    ----------
    peak_period : [s]
        Period of the spectral peak.
    peak_enhancement : [-]
        Peak enhancement factor.

    Returns
    -------
    zero_crossing_period : [s]
        Mean zero-crossing period.
    """
    g = peak_enhancement
    return peak_period * (0.6673 + 0.05037 * g - 0.006230 * g**2 + 0.0003341 * g**3)


@published(
    formula="T_1 = T_p (0.7303 + 0.04936 gamma - 0.006556 gamma^2 + 0.0003610 gamma^3)",
    source="dnv-rp-c205",
    where="section 3.5.5; from memory",
    valid={"peak_enhancement": _PEAKEDNESS},
    example={"peak_period": "10 s", "peak_enhancement": "3.3"},
)
def jonswap_mean_period(peak_period: Real, peak_enhancement: Real) -> Real:
    """Mean period of a growing sea, by a fit to its spectrum.

    Parameters
    ----------
    peak_period : [s]
        Period of the spectral peak.
    peak_enhancement : [-]
        Peak enhancement factor.

    Returns
    -------
    mean_wave_period : [s]
        Mean period from the first moment.
    """
    g = peak_enhancement
    return peak_period * (0.7303 + 0.04936 * g - 0.006556 * g**2 + 0.0003610 * g**3)


@published(
    formula="gamma = 5 quad s <= 3.6; quad e^(5.75 - 1.15 s) quad 3.6 < s < 5; quad 1 quad s >= 5, "
    "\\ s = T_p / sqrt(H_s)",
    source="dnv-rp-c205",
    where="section 3.5.5; from memory",
    valid={"significant_wave_height": Limit(0.1, 20.0), "peak_period": Limit(1.0, 25.0)},
    example={"significant_wave_height": "5 m", "peak_period": "10 s"},
)
def peak_enhancement(significant_wave_height: Real, peak_period: Real) -> Real:
    """Peak enhancement factor to take where none was measured.

    Parameters
    ----------
    significant_wave_height : [m]
        Significant wave height.
    peak_period : [s]
        Period of the spectral peak.

    Returns
    -------
    peak_enhancement : [-]
        Peak enhancement factor, 1 to 5.
    """
    slenderness = peak_period / np.sqrt(significant_wave_height)
    middle = np.exp(5.75 - 1.15 * slenderness)
    return np.where(slenderness <= 3.6, 5.0, np.where(slenderness >= 5.0, 1.0, middle))[()]


@published(
    formula="S = 5/16 H_s^2 omega_p^4 / omega^5 e^(-5/4 (omega_p / omega)^4), quad "
    "omega_p = (2 pi) / T_p",
    source="dnv-rp-c205",
    where="section 3.5.5; from memory",
    example={
        "wave_frequency": "0.7 rad/s",
        "significant_wave_height": "5 m",
        "peak_period": "10 s",
    },
)
def pierson_moskowitz_spectral_density(
    wave_frequency: Real, significant_wave_height: Real, peak_period: Real
) -> Real:
    """Spectral density of the surface of a fully grown sea.

    Parameters
    ----------
    wave_frequency : [rad/s]
        Angular frequency, above zero.
    significant_wave_height : [m]
        Significant wave height.
    peak_period : [s]
        Period of the spectral peak.

    Returns
    -------
    wave_spectral_density : [m2 s]
        Variance of the surface per angular frequency.
    """
    peak = 2.0 * np.pi / peak_period
    tail = 5.0 / 16.0 * significant_wave_height**2 * peak**4 / wave_frequency**5
    return tail * np.exp(-1.25 * (peak / wave_frequency) ** 4)


@published(
    formula='S = (1 - 0.287 ln gamma) S_"PM" gamma^(exp(-1/2 ((omega - omega_p) / '
    '(sigma omega_p))^2)), \\ S_"PM" = 5/16 H_s^2 omega_p^4 / omega^5 '
    "e^(-5/4 (omega_p / omega)^4), quad omega_p = (2 pi) / T_p, \\ "
    "sigma = 0.07 quad omega <= omega_p; quad 0.09 quad omega > omega_p",
    source="dnv-rp-c205",
    where="section 3.5.5; from memory",
    valid={"peak_enhancement": _PEAKEDNESS},
    example={
        "wave_frequency": "0.7 rad/s",
        "significant_wave_height": "5 m",
        "peak_period": "10 s",
        "peak_enhancement": "3.3",
    },
)
def jonswap_spectral_density(
    wave_frequency: Real,
    significant_wave_height: Real,
    peak_period: Real,
    peak_enhancement: Real,
) -> Real:
    """Spectral density of the surface of a growing sea.

    Parameters
    ----------
    wave_frequency : [rad/s]
        Angular frequency, above zero.
    significant_wave_height : [m]
        Significant wave height.
    peak_period : [s]
        Period of the spectral peak.
    peak_enhancement : [-]
        Peak enhancement factor.

    Returns
    -------
    wave_spectral_density : [m2 s]
        Variance of the surface per angular frequency.
    """
    peak = 2.0 * np.pi / peak_period
    width = np.where(wave_frequency <= peak, 0.07, 0.09)
    shape = np.exp(-0.5 * ((wave_frequency - peak) / (width * peak)) ** 2)
    grown = pierson_moskowitz_spectral_density(wave_frequency, significant_wave_height, peak_period)
    return (1.0 - 0.287 * np.log(peak_enhancement)) * grown * peak_enhancement**shape


@published(
    formula="lambda = (g T_w^2) / (2 pi)",
    source="faltinsen-1990",
    where="chapter 2, dispersion in deep water",
    validity_note=_DEEP,
    example={"wave_period": "10 s"},
)
def deep_water_wave_length(wave_period: Real, gravity: Real = STANDARD_GRAVITY) -> Real:
    """Length of a wave in deep water.

    Parameters
    ----------
    wave_period : [s]
        Period of the wave.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    deep_water_wave_length : [m]
        Distance from crest to crest.
    """
    return gravity * wave_period**2 / (2.0 * np.pi)


@published(
    formula="S_z = (2 pi H_s) / (g T_z^2)",
    source="dnv-rp-c205",
    where="section 3.5, average wave steepness; from memory",
    validity_note=_DEEP,
    example={"significant_wave_height": "5 m", "zero_crossing_period": "8 s"},
    caution="Steeper than about 1/10 is not a sea state: read the pair of values again.",
)
def wave_steepness(
    significant_wave_height: Real, zero_crossing_period: Real, gravity: Real = STANDARD_GRAVITY
) -> Real:
    """Significant height over the deep-water length at the zero-crossing period.

    Parameters
    ----------
    significant_wave_height : [m]
        Significant wave height.
    zero_crossing_period : [s]
        Mean zero-crossing period.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    wave_steepness : [-]
        Average steepness of the sea.
    """
    length = deep_water_wave_length(zero_crossing_period, gravity)
    return significant_wave_height / length


@published(
    formula="V_w = 0.836 N_B^(3/2)",
    source="wmo-8",
    where="Beaufort scale of wind; the law is from memory",
    valid={"beaufort_number": Limit(0.0, 12.0)},
    example={"beaufort_number": "8"},
)
def beaufort_wind_speed(beaufort_number: Real) -> Real:
    """Wind speed of a Beaufort number; halves give the edges between two numbers.

    Parameters
    ----------
    beaufort_number : [-]
        Number on the Beaufort scale.

    Returns
    -------
    wind_speed : [m/s]
        Mean wind speed at 10 m above the sea.
    """
    return 0.836 * beaufort_number**1.5


@published(
    formula="N_B = (V_w / 0.836)^(2/3)",
    source="wmo-8",
    where="Beaufort scale of wind; the law is from memory",
    valid={"wind_speed": Limit(0.0, 36.0)},
    example={"wind_speed": "18 m/s"},
)
def beaufort_number(wind_speed: Real) -> Real:
    """Beaufort number of a wind speed, not rounded.

    Parameters
    ----------
    wind_speed : [m/s]
        Mean wind speed at 10 m above the sea.

    Returns
    -------
    beaufort_number : [-]
        Number on the Beaufort scale.
    """
    return (wind_speed / 0.836) ** (2.0 / 3.0)


def _box_response(
    wave_frequency: Real,
    breadth: Real,
    draught: Real,
    block_coefficient: Real,
    gravity: Real,
) -> Real:
    """Return forcing over impedance common to heave and pitch of a box at zero speed.

    Sectional damping A and added mass equal to the displaced mass; the Smith factor
    exp(-kT) thins the wave's pressure with depth.
    """
    number = wave_frequency**2 / gravity
    width = breadth * block_coefficient
    decay = np.exp(-number * draught)
    damping = (2.0 * np.sin(0.5 * number * width) * decay) ** 2 / (number * width)
    forcing = np.sqrt((1.0 - number * draught) ** 2 + damping**2)
    impedance = np.sqrt((1.0 - 2.0 * number * draught) ** 2 + damping**2)
    return decay * forcing / impedance


_BOX_FORMULA: Final = (
    "kappa = e^(-k d_h), quad k = omega^2 / g, quad "
    "A^2 / (k B C_B) = (2 sin(k B C_B / 2) e^(-k d_h))^2 / (k B C_B), \\ "
    "f = sqrt((1 - k d_h)^2 + (A^2 / (k B C_B))^2), quad "
    "eta = 1 / sqrt((1 - 2 k d_h)^2 + (A^2 / (k B C_B))^2), quad "
    "k_e = k abs(cos theta)"
)
_BOX_NOTE: Final = "box-shaped single hull, zero speed, deep water; no roll coupling"
_BOX_EXAMPLE: Final = {
    "wave_frequency": "0.55 rad/s",
    "relative_wave_direction": "20 deg",
    "hull_length": "210 m",
    "breadth": "36 m",
    "draught": "12 m",
    "block_coefficient": "0.75",
}


@published(
    formula="h = kappa f eta sin(k_e L_h / 2) / (k_e L_h / 2), \\ " + _BOX_FORMULA,
    source="jensen-2004",
    where="heave in closed form, speed zero; from memory",
    valid={"block_coefficient": Limit(0.5, 1.0), "wave_frequency": Limit(0.05, 3.0)},
    validity_note=_BOX_NOTE,
    example=_BOX_EXAMPLE,
    caution="An estimate for planning: the vessel's own response tables go first.",
)
def heave_response(
    wave_frequency: Real,
    relative_wave_direction: Real,
    hull_length: Real,
    breadth: Real,
    draught: Real,
    block_coefficient: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Heave amplitude amidships per wave amplitude, for a hull taken as a box.

    Parameters
    ----------
    wave_frequency : [rad/s]
        Angular frequency of the wave.
    relative_wave_direction : [rad]
        Where the waves come from, clockwise from the bow.
    hull_length : [m]
        Length of the hull at the waterline.
    breadth : [m]
        Greatest breadth at the waterline.
    draught : [m]
        Draught of the hull.
    block_coefficient : [-]
        Displaced volume over length, breadth and draught.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    heave_response : [-]
        Heave amplitude over wave amplitude.
    """
    number = wave_frequency**2 / gravity * np.abs(np.cos(relative_wave_direction))
    # sin(x)/x by numpy's own, which is 1 in beam seas where x is zero
    span = np.abs(np.sinc(number * hull_length / (2.0 * np.pi)))
    return span * _box_response(wave_frequency, breadth, draught, block_coefficient, gravity)


@published(
    formula="p = 24 / ((k_e L_h)^2 L_h) kappa f eta "
    "(sin(k_e L_h / 2) - (k_e L_h) / 2 cos(k_e L_h / 2)), \\ " + _BOX_FORMULA,
    source="jensen-2004",
    where="pitch in closed form, speed zero; from memory",
    valid={"block_coefficient": Limit(0.5, 1.0), "wave_frequency": Limit(0.05, 3.0)},
    validity_note=_BOX_NOTE,
    example=_BOX_EXAMPLE,
    caution="An estimate for planning: the vessel's own response tables go first.",
)
def pitch_response(
    wave_frequency: Real,
    relative_wave_direction: Real,
    hull_length: Real,
    breadth: Real,
    draught: Real,
    block_coefficient: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Pitch amplitude per wave amplitude, for a hull taken as a box.

    Parameters
    ----------
    wave_frequency : [rad/s]
        Angular frequency of the wave.
    relative_wave_direction : [rad]
        Where the waves come from, clockwise from the bow.
    hull_length : [m]
        Length of the hull at the waterline.
    breadth : [m]
        Greatest breadth at the waterline.
    draught : [m]
        Draught of the hull.
    block_coefficient : [-]
        Displaced volume over length, breadth and draught.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    pitch_response : [rad/m]
        Pitch amplitude over wave amplitude.
    """
    number = wave_frequency**2 / gravity * np.abs(np.cos(relative_wave_direction))
    x = number * hull_length / 2.0
    # (sin x - x cos x)/x^2 loses its digits near zero, where it is x/3 - x^3/30
    safe = np.where(x > 1e-2, x, 1.0)
    exact = (np.sin(safe) - safe * np.cos(safe)) / safe**2
    shape = np.where(x > 1e-2, exact, x / 3.0 - x**3 / 30.0 + x**5 / 840.0)
    slope = 6.0 / hull_length * np.abs(shape)
    return slope * _box_response(wave_frequency, breadth, draught, block_coefficient, gravity)


def _trailing(value: Real) -> Array:
    return np.asarray(value, dtype=np.float64)[..., None]


@published(
    formula="h_s = 2 sqrt(integral h(omega, theta, L_h, B, d_h, C_B, g)^2 "
    "S(omega, H_s, T_p, gamma) dif omega)",
    source="jensen-2004",
    where="heave in closed form over the spectrum of DNV-RP-C205; from memory",
    valid={"peak_enhancement": _PEAKEDNESS, "block_coefficient": Limit(0.5, 1.0)},
    validity_note=_BOX_NOTE + "; long-crested sea; energy from 0.2 to 6 peak frequencies",
    example={
        "significant_wave_height": "4 m",
        "peak_period": "11 s",
        "peak_enhancement": "1.5",
        **{name: text for name, text in _BOX_EXAMPLE.items() if name != "wave_frequency"},
    },
    caution="An estimate for planning: the vessel's own response tables go first.",
)
def significant_heave_amplitude(
    significant_wave_height: Real,
    peak_period: Real,
    peak_enhancement: Real,
    relative_wave_direction: Real,
    hull_length: Real,
    breadth: Real,
    draught: Real,
    block_coefficient: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Significant heave amplitude amidships (half the significant heave) in a sea state.

    Parameters
    ----------
    significant_wave_height : [m]
        Significant wave height.
    peak_period : [s]
        Period of the spectral peak.
    peak_enhancement : [-]
        Peak enhancement factor.
    relative_wave_direction : [rad]
        Where the waves come from, clockwise from the bow.
    hull_length : [m]
        Length of the hull at the waterline.
    breadth : [m]
        Greatest breadth at the waterline.
    draught : [m]
        Draught of the hull.
    block_coefficient : [-]
        Displaced volume over length, breadth and draught.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    significant_heave_amplitude : [m]
        Mean of the highest third of the heave amplitudes.
    """
    sea = [_trailing(v) for v in (significant_wave_height, peak_period, peak_enhancement)]
    hull = [_trailing(v) for v in (hull_length, breadth, draught, block_coefficient, gravity)]
    peak = 2.0 * np.pi / _trailing(peak_period)
    density = jonswap_spectral_density(peak * _GRID, *sea)
    response = heave_response(peak * _GRID, _trailing(relative_wave_direction), *hull)
    power: Array = np.asarray(response**2 * density)
    ends = 0.5 * (power[..., 0] + power[..., -1])
    variance = (np.sum(power, axis=-1) - ends) * _STEP * peak[..., 0]
    amplitude: Array = 2.0 * np.sqrt(variance)
    return amplitude


@published(
    formula="H_s = 4 sqrt(m_0)",
    source="faltinsen-1990",
    where="chapter 2, narrow-banded sea",
    validity_note="narrow-banded Gaussian surface",
    example={"surface_variance": "1.5 m2"},
)
def significant_height_of_variance(surface_variance: Real) -> Real:
    """Significant wave height of a sea from the variance of its surface.

    Parameters
    ----------
    surface_variance : [m2]
        Variance of the surface elevation.

    Returns
    -------
    significant_wave_height : [m]
        Significant wave height.
    """
    return 4.0 * np.sqrt(surface_variance)


@published(
    formula='x_"max" = x_s sqrt(ln(N_c) / 2)',
    source="faltinsen-1990",
    where="chapter 2, Rayleigh distribution of peaks",
    valid={"number_of_cycles": Limit(2.0, 1e9)},
    validity_note="narrow-banded Gaussian response in a steady sea",
    example={"significant_amplitude": "1.2 m", "number_of_cycles": "1000"},
)
def most_probable_maximum(significant_amplitude: Real, number_of_cycles: Real) -> Real:
    """Most probable greatest amplitude among a number of cycles.

    With Rayleigh peaks one in N exceeds x where exp(-2 (x/xs)^2) = 1/N.

    Parameters
    ----------
    significant_amplitude : [m]
        Significant amplitude, twice the standard deviation.
    number_of_cycles : [-]
        Cycles in the time looked at.

    Returns
    -------
    most_probable_maximum : [m]
        Most probable greatest amplitude; about 63 % of such times see a greater one.
    """
    return significant_amplitude * np.sqrt(np.log(number_of_cycles) / 2.0)


@published(
    formula="overline(x) = x_s / 2 (sqrt(2 ln N_c) + 0.5772 / sqrt(2 ln N_c))",
    source="faltinsen-1990",
    where="after Longuet-Higgins (1952); from memory",
    valid={"number_of_cycles": Limit(10.0, 1e9)},
    validity_note="narrow-banded Gaussian response in a steady sea",
    example={"significant_amplitude": "1.2 m", "number_of_cycles": "1000"},
)
def expected_maximum(significant_amplitude: Real, number_of_cycles: Real) -> Real:
    """Mean of the greatest amplitude among a number of cycles.

    Parameters
    ----------
    significant_amplitude : [m]
        Significant amplitude, twice the standard deviation.
    number_of_cycles : [-]
        Cycles in the time looked at.

    Returns
    -------
    expected_maximum : [m]
        Mean greatest amplitude.
    """
    root = np.sqrt(2.0 * np.log(number_of_cycles))
    return 0.5 * significant_amplitude * (root + _EULER_MASCHERONI / root)


@published(
    formula="P_x = e^(-2 (x / x_s)^2)",
    source="faltinsen-1990",
    where="chapter 2, Rayleigh distribution of peaks",
    validity_note="narrow-banded Gaussian response in a steady sea",
    example={"amplitude_limit": "1.5 m", "significant_amplitude": "1.2 m"},
)
def exceedance_probability(amplitude_limit: Real, significant_amplitude: Real) -> Real:
    """Share of cycles whose amplitude exceeds a limit.

    Parameters
    ----------
    amplitude_limit : [m]
        Amplitude not to be exceeded.
    significant_amplitude : [m]
        Significant amplitude, twice the standard deviation.

    Returns
    -------
    exceedance_probability : [-]
        Probability that one cycle exceeds the limit.
    """
    return np.exp(-2.0 * (amplitude_limit / significant_amplitude) ** 2)


@published(
    formula="P_N = 1 - (1 - P_x)^(N_c)",
    source="definition",
    where="independent cycles",
    valid={"exceedance_probability": Limit(0.0, 1.0), "number_of_cycles": Limit(1.0, 1e9)},
    validity_note="cycles taken as independent, which errs to the safe side",
    example={"exceedance_probability": "0.001", "number_of_cycles": "1000"},
)
def exceedance_probability_within(exceedance_probability: Real, number_of_cycles: Real) -> Real:
    """Probability that at least one of a number of cycles exceeds a limit.

    Parameters
    ----------
    exceedance_probability : [-]
        Probability that one cycle exceeds it.
    number_of_cycles : [-]
        Cycles in the time looked at.

    Returns
    -------
    exceedance_probability_within : [-]
        Probability of at least one exceedance.
    """
    # a certain exceedance makes the logarithm minus infinity, which is right: guard the warning
    single = np.minimum(exceedance_probability, 1.0 - 1e-16)
    return -np.expm1(number_of_cycles * np.log1p(-single))
