"""A year of hours for three wires by NumPy and by SciPy, timed beside the Rust example in the same run.

The same hours as tests/examples/heat.rs: air, wind, current and sun as plain waves; temperature by the heat balance of IEEE
Std 738-2012, then sag and height at the middle of a level span of 300 m. Contenders:

  brentq   scipy.optimize.brentq hour by hour on a plain Python function: temperature alone, a thousandth of a kelvin
  numpy    a straight port: all hours and wires at once, Newton's method on arrays for temperature and for the catenary

Usage: cargo build --release -p wideberth-tests --example heat
       OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 python heat.py   (versions in requirements.txt)
"""

import math
import pathlib
import platform
import subprocess
import time

import numpy
import scipy
import scipy.optimize

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = ROOT / "target" / "release" / "examples" / "heat"
HOURS, ELEVATION, DIAMETER, EMISSIVITY, ABSORPTIVITY = 8760, 200.0, 0.02814, 0.7, 0.9
R25, R75 = 7.283e-5, 8.688e-5
CLEAR = [-42.2391, 63.8044, -1.9220, 3.46921e-2, -3.61118e-4, 1.94318e-6, -4.07608e-9]
AZIMUTHS = numpy.array([0.0, 0.5, 1.5])
SPAN, HEIGHTS, WEIGHT, STIFFNESS, EXPANSION = 300.0, numpy.array([22.0, 24.0, 26.0]), 1.628 * 9.80665, 77e9 * 468.6e-6, 18.9e-6


def hours():
    h = numpy.arange(HOURS, dtype=float)
    day, clock = numpy.floor(h / 24) + 1, h % 24
    ambient = 12 - 14 * numpy.cos(2 * math.pi * day / 365) - 6 * numpy.cos(2 * math.pi * (clock - 3) / 24)
    wind = 2.5 * (1 + numpy.sin(0.37 * h))
    angle = math.pi / 2 * numpy.abs(numpy.sin(0.11 * h))
    current = 500 + 300 * numpy.cos(2 * math.pi * (clock - 17) / 24)
    return day, clock, ambient, wind, angle, current


def solar(day, clock):
    """Gain of each wire, W/m."""
    latitude, turn = math.radians(45), numpy.radians(15 * (clock - 12))
    declination = numpy.radians(23.46 * numpy.sin(2 * math.pi * (284 + day) / 365))
    altitude = numpy.arcsin(
        math.cos(latitude) * numpy.cos(declination) * numpy.cos(turn) + math.sin(latitude) * numpy.sin(declination)
    )
    south = math.sin(latitude) * numpy.cos(turn) - math.cos(latitude) * numpy.tan(declination)
    azimuth = math.pi + numpy.arctan2(numpy.sin(turn), south)
    flux = numpy.where(altitude > 0, numpy.maximum(numpy.polyval(CLEAR[::-1], numpy.degrees(altitude)), 0), 0)
    flux = flux * (1 + 1.148e-4 * ELEVATION - 1.108e-8 * ELEVATION**2)
    cosine = numpy.cos(altitude)[:, None] * numpy.cos(azimuth[:, None] - AZIMUTHS)
    return ABSORPTIVITY * DIAMETER * flux[:, None] * numpy.sqrt(1 - cosine**2)


def surplus(t, ambient, wind, turn, current, sun, m=numpy):
    """Gain less loss, W/m; m is math or numpy."""
    film, rise = (t + ambient) / 2, t - ambient
    viscosity = 1.458e-6 * (film + 273) ** 1.5 / (film + 383.4)
    density = (1.293 - 1.525e-4 * ELEVATION + 6.379e-9 * ELEVATION**2) / (1 + 0.00367 * film)
    conductivity = 2.424e-2 + 7.477e-5 * film - 4.407e-9 * film**2
    reynolds = DIAMETER * density * wind / viscosity
    slow = turn * (1.01 + 1.35 * reynolds**0.52) * conductivity * rise
    fast = turn * 0.754 * reynolds**0.6 * conductivity * rise
    still = 3.645 * m.sqrt(density) * DIAMETER**0.75 * rise**1.25
    greatest = max(slow, fast, still) if m is math else numpy.maximum(numpy.maximum(slow, fast), still)
    radiation = 17.8 * DIAMETER * EMISSIVITY * (((t + 273) / 100) ** 4 - ((ambient + 273) / 100) ** 4)
    return sun + current**2 * (R25 + (R75 - R25) / 50 * (t - 25)) - greatest - radiation


def turn_factor(angle):
    return 1.194 - numpy.cos(angle) + 0.194 * numpy.cos(2 * angle) + 0.368 * numpy.sin(2 * angle)


def by_brentq():
    day, clock, ambient, wind, angle, current = hours()
    sun, turn = solar(day, clock), turn_factor(angle)
    columns = [column.tolist() for column in (ambient, wind, turn, current)]
    found = numpy.empty((HOURS, 3))
    for k in range(3):
        for index, (a, v, c, i, s) in enumerate(zip(*columns, sun[:, k].tolist())):
            found[index, k] = scipy.optimize.brentq(surplus, a, 250.0, args=(a, v, c, i, s, math), xtol=1e-3)
    return found


def temperatures():
    day, clock, ambient, wind, angle, current = hours()
    column = lambda x: x[:, None]
    state = (column(ambient), column(wind), column(turn_factor(angle)), column(current), solar(day, clock))
    t = column(ambient) + 25 * numpy.ones(3)
    for _ in range(8):
        value = surplus(t, *state)
        step = 1e-4
        t = numpy.maximum(t - value * step / (surplus(t + step, *state) - value), column(ambient) + 1e-6)
    return t


def length():
    """Unstretched length at 15 degC under 28 kN."""
    a, found = 28_000 / WEIGHT, SPAN
    for _ in range(30):
        found = 2 * a * math.sinh((SPAN - found * 28_000 / STIFFNESS) / (2 * a))
    return found


def by_numpy():
    t = temperatures()
    unstretched = length() * (1 + EXPANSION * (t - 15))
    # The residual falls and is convex in a, so Newton's method from the slack side settles.
    a = numpy.full_like(unstretched, 500.0)
    for _ in range(12):
        y = (SPAN / a - unstretched * WEIGHT / STIFFNESS) / 2
        miss = 2 * a * numpy.sinh(y) - unstretched
        a = a - miss / (2 * numpy.sinh(y) - numpy.cosh(y) * SPAN / a)
    slope = unstretched / (2 * a)
    sag = a * (numpy.sqrt(1 + slope**2) - 1 + a * WEIGHT / STIFFNESS * slope**2 / 2)
    return t, sag, (HEIGHTS - sag).min()


def least(function, repeats):
    times, found = [], None
    for _ in range(repeats):
        start = time.perf_counter()
        found = function()
        times.append(time.perf_counter() - start)
    return min(times), found


def main():
    line = subprocess.run([PROGRAM], capture_output=True, text=True, check=True).stdout.split()
    solve_ns, year_us, mean, hottest, sag, height = map(float, line)
    numpy_s, (t, sags, lowest) = least(by_numpy, 10)
    brentq_s, exact = least(by_brentq, 2)
    assert abs(t.mean() - mean) < 1e-5 and abs(t.max() - hottest) < 1e-5, (t.mean(), t.max(), mean, hottest)
    assert abs(sags.max() - sag) < 1e-5 and abs(lowest - height) < 1e-5, (sags.max(), lowest, sag, height)
    assert numpy.abs(exact - t).max() < 2e-3
    ours_s, ours_each = year_us * 1e-6, solve_ns * 1e-9
    each = brentq_s / (3 * HOURS)
    print(f"Python {platform.python_version()}, NumPy {numpy.__version__}, SciPy {scipy.__version__}")
    print("| contender | 8,760 hours, three wires | one steady temperature | times slower |")
    print("|---|---|---|---|")
    print(f"| this program: temperature, sag, height | {ours_s * 1e3:.1f} ms | {solve_ns:.0f} ns | |")
    print(f"| NumPy port: temperature, sag, height | {numpy_s * 1e3:.1f} ms | | {numpy_s / ours_s:.1f} |")
    print(f"| SciPy brentq: temperature alone, to 1e-3 K | {brentq_s * 1e3:.0f} ms | {each * 1e6:.1f} us | {each / ours_each:.0f} |")
    print(f"mean {mean:.3f} degC, hottest {hottest:.3f} degC, greatest sag {sag:.4f} m, lowest {height:.4f} m: all agree")


if __name__ == "__main__":
    main()
