"""Elastic catenary and change of state on 1,000 generated spans, solved independently of the Rust code.

The boundary-value equations of H. M. Irvine, Cable Structures (1981), section 2.4, are written here in space, for an
unknown force at the near end, not for the plane of the load. The wire carries q = -load per unit unstretched length:

    T(s) = T0 + q s                                                    force in the wire at unstretched length s
    r(s) = integral of T/|T| (1 + |T|/EA) ds
         = (T0 s + q s^2/2)/EA + h/|q| (asinh(a(s)/|h|) - asinh(a(0)/|h|)) + e/|q| (|T(s)| - |T0|)
    e = q/|q|,  a = T.e,  h = T - a e                                  (h does not depend on s)

State 1: in still air, with horizontal tension H1; unknown are the vertical force at the near end and the unstretched
length. State 2: another temperature, with wind and ice; unknown are the three components of T0 in r(L0 (1 + alpha dT)) =
chord. scipy.optimize.root solves in double precision; mpmath's Newton method then refines to 40 digits.

Sag at fraction t: distance, along the load, from the point t of the chord to the wire.

Usage: python elastic_catenary.py   (writes ../data/cross/elastic_catenary.csv; versions in requirements.txt)
"""

import csv
import math
import pathlib

import mpmath
import numpy
import scipy.optimize
from mpmath import mpf

SEED = 20_261_125
SPANS = 1_000
GRAVITY = mpf("9.80665")
FRACTIONS = [k / 10 for k in range(1, 10)]
RESIDUAL = mpf("1e-25")  # m, accepted misfit of the refined boundary values
HERE = pathlib.Path(__file__).resolve().parent
CATALOGUE = HERE.parent.parent / "assets" / "conductors.csv"
OUTPUT = HERE.parent / "data" / "cross" / "elastic_catenary.csv"

mpmath.mp.dps = 40


def conductors():
    """Catalogue rows with a strength: id, diameter, mass, EA, expansion, strength in SI."""
    with CATALOGUE.open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            if row["rated_strength_kn"]:
                yield {
                    "conductor": row["id"],
                    "diameter_m": float(row["diameter_mm"]) * 1e-3,
                    "mass_kg_per_m": float(row["mass_kg_per_m"]),
                    "stiffness_n": float(row["modulus_gpa"]) * 1e9 * float(row["area_mm2"]) * 1e-6,
                    "expansion_per_k": float(row["expansion_per_degc"]),
                    "strength_n": float(row["rated_strength_kn"]) * 1e3,
                }


def position(start_force, carried, stiffness, s, m):
    """r(s) and T(s); m is math or mpmath."""
    q = m.sqrt(sum(x * x for x in carried))
    e = [x / q for x in carried]
    a0 = sum(f * x for f, x in zip(start_force, e))
    across = [f - a0 * x for f, x in zip(start_force, e)]
    h = m.sqrt(sum(x * x for x in across))
    force = [f + x * s for f, x in zip(start_force, carried)]
    t0 = m.sqrt(sum(f * f for f in start_force))
    t = m.sqrt(sum(f * f for f in force))
    turn = (m.asinh((a0 + q * s) / h) - m.asinh(a0 / h)) / q
    r = [
        (f * s + x * s * s / 2) / stiffness + c * turn + u * (t - t0) / q
        for f, x, c, u in zip(start_force, carried, across, e)
    ]
    return r, force


def unstretched_length(span, rise, weight, stiffness, tension):
    """State 1: near-end force (x and z) and length for a given horizontal tension."""

    def misfit(unknown, m):
        vertical, length = unknown
        force = [tension if m is math else mpf(tension), vertical, 0 * vertical]
        r, _ = position(force, [0 * vertical, weight, 0 * vertical], stiffness, length, m)
        return [r[0] - span, r[1] - rise]

    chord = math.hypot(span, rise)
    guess = [tension * rise / span - weight * chord / 2, chord * (1 + (weight * span / tension) ** 2 / 24)]
    scale = numpy.array([float(tension), chord])
    start = numpy.array([float(g) for g in guess]) / scale
    rough = scipy.optimize.root(lambda u: [float(x) for x in misfit(u * scale, math)], start, tol=1e-13)
    return refine(lambda *u: misfit(u, mpmath), list(rough.x * scale))[1]


def refine(misfit, start):
    """Newton's method in 40 digits; refuses a root that does not fit."""
    root = mpmath.findroot(misfit, [mpf(float(x)) for x in start], tol=mpf("1e-60"), maxsteps=40, verify=False)
    fit = misfit(*root)
    if max(abs(x) for x in fit) > RESIDUAL:
        raise ArithmeticError(f"not refined: {fit}")
    return list(root)


def loaded_state(chord, carried, stiffness, length):
    """State 2: the force at the near end."""

    def misfit(force, m):
        r, _ = position(list(force), carried, stiffness, length, m)
        return [x - c for x, c in zip(r, chord)]

    start = parabola_start([float(x) for x in chord], [float(x) for x in carried], float(stiffness), float(length))
    scale = float(numpy.linalg.norm(start))
    numbers = ([float(x) for x in chord], [float(x) for x in carried], float(stiffness), float(length))

    def rough_misfit(u):
        r, _ = position(list(u * scale), numbers[1], numbers[2], numbers[3], math)
        return [x - c for x, c in zip(r, numbers[0])]

    rough = scipy.optimize.root(rough_misfit, start / scale, tol=1e-13)
    return refine(lambda *u: misfit(u, mpmath), list(rough.x * scale))


def parabola_start(chord, carried, stiffness, length):
    """First guess: the tension along the chord that takes up the slack as a parabola does, by bisection."""
    chord, carried = numpy.array(chord), numpy.array(carried)
    distance = numpy.linalg.norm(chord)
    pull = numpy.linalg.norm(carried - carried.dot(chord) / distance**2 * chord)

    def spare(tension):
        return distance * (1 + (pull * distance / tension) ** 2 / 24) - length * (1 + tension / stiffness)

    tension = scipy.optimize.brentq(spare, 1e-3 * pull * distance, 1e3 * (pull * distance + stiffness * 1e-3))
    return tension * chord / distance - carried * length / 2


def sags(force, chord, carried, stiffness, length):
    """Sag at each fraction, and the point at 0.5 in space, by a root for the unstretched length at which the wire lies under that point."""
    q = mpmath.sqrt(sum(x * x for x in carried))
    e = [x / q for x in carried]
    a0 = sum(f * x for f, x in zip(force, e))
    across = [f - a0 * x for f, x in zip(force, e)]
    h = mpmath.sqrt(sum(x * x for x in across))
    n = [x / h for x in across]
    run = sum(c * x for c, x in zip(chord, n))
    result, middle = [], None
    for t in FRACTIONS:
        t = mpf(t)

        def short(s):
            r, _ = position(force, carried, stiffness, s, mpmath)
            return sum(x * y for x, y in zip(r, n)) - t * run

        s = mpmath.findroot(short, (t * length, t * length * mpf("1.0001")), solver="secant", tol=mpf("1e-60"), verify=False)
        if abs(short(s)) > RESIDUAL:
            raise ArithmeticError("sag not refined")
        r, _ = position(force, carried, stiffness, s, mpmath)
        result.append(sum((t * c - x) * y for x, c, y in zip(r, chord, e)))
        if t == 0.5:
            middle = r
    return result, middle


def draw(random, catalogue):
    """One span and its two states; every number is a double that the CSV file holds exactly."""
    case = dict(catalogue[random.integers(len(catalogue))])
    span = float(numpy.round(20 * 40 ** random.random(), 3))
    slope = 0.0 if random.random() < 0.3 else random.uniform(-0.3, 0.3)
    weight = case["mass_kg_per_m"] * float(GRAVITY)
    sag_share = 0.004 * 15 ** random.random()
    tension = min(weight * span / (8 * sag_share), 0.25 * case["strength_n"])
    case.update(
        span_m=span,
        rise_m=float(numpy.round(slope * span, 3)),
        tension_n=float(numpy.round(tension, 1)),
        temperature_1_degc=float(numpy.round(random.uniform(-20, 40), 1)),
        temperature_2_degc=float(numpy.round(random.uniform(-40, 120), 1)),
        wind_m_per_s=0.0 if random.random() < 0.2 else float(numpy.round(random.uniform(-40, 40), 2)),
        ice_m=0.0 if random.random() < 0.5 else float(numpy.round(random.uniform(0, 0.025), 4)),
        air_density_kg_per_m3=float(numpy.round(random.uniform(0.9, 1.4), 3)),
        drag=float(numpy.round(random.uniform(0.8, 1.2), 2)),
        ice_density_kg_per_m3=float(numpy.round(random.uniform(500, 917), 0)),
    )
    return case


def solve(case):
    """Adds the solution of state 2 to a case; None if the wire would be above its strength."""
    c = {k: mpf(v) for k, v in case.items() if k != "conductor"}
    weight = c["mass_kg_per_m"] * GRAVITY
    ice = c["ice_density_kg_per_m3"] * GRAVITY * mpmath.pi * c["ice_m"] * (c["diameter_m"] + c["ice_m"])
    wind = c["wind_m_per_s"]
    width = c["diameter_m"] + 2 * c["ice_m"]
    lateral = c["air_density_kg_per_m3"] / 2 * wind * abs(wind) * c["drag"] * width
    length_1 = unstretched_length(c["span_m"], c["rise_m"], weight, c["stiffness_n"], c["tension_n"])
    length_2 = length_1 * (1 + c["expansion_per_k"] * (c["temperature_2_degc"] - c["temperature_1_degc"]))
    chord = [c["span_m"], mpf(0), c["rise_m"]]  # x along, y to the left, z up
    carried = [mpf(0), -lateral, weight + ice]
    force = loaded_state(chord, carried, c["stiffness_n"], length_2)
    _, end = position(force, carried, c["stiffness_n"], length_2, mpmath)
    q = mpmath.sqrt(lateral**2 + (weight + ice) ** 2)
    along = sum(f * x for f, x in zip(force, carried)) / q
    near = mpmath.sqrt(sum(f * f for f in force))
    far = mpmath.sqrt(sum(f * f for f in end))
    if max(near, far) > c["strength_n"]:
        return None
    found = {
        "unstretched_1_m": length_1,
        "horizontal_2_n": mpmath.sqrt(near**2 - along**2),
        "near_tension_2_n": near,
        "far_tension_2_n": far,
    }
    sag, middle = sags(force, chord, carried, c["stiffness_n"], length_2)
    found.update({f"sag_{round(10 * t)}_m": s for t, s in zip(FRACTIONS, sag)})
    found["left_5_m"], found["up_5_m"] = middle[1], middle[2]
    return {**case, **{name: float(value) for name, value in found.items()}}


def main():
    random = numpy.random.default_rng(SEED)
    catalogue = list(conductors())
    rows = []
    while len(rows) < SPANS:
        row = solve(draw(random, catalogue))
        if row:
            rows.append(row)
    OUTPUT.parent.mkdir(parents=True, exist_ok=True)
    with OUTPUT.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, fieldnames=list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


if __name__ == "__main__":
    main()
