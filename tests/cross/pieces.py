"""Wires under loads that differ along them, on 160 generated spans, solved independently of the Rust code.

No closed form is used: scipy.integrate.solve_ivp (DOP853) follows the wire from its near end, with s the unstretched length,

    r' = stretch(|T|) T/|T|,   T' = -q,   stretch(T) = min(1 + T/K, (1 - shorter)(1 + T/K_core))

and scipy.optimize.root finds the force at the near end for which the wire ends at the far attachment. The load q per
unstretched length is weight and ice downward, and the wind's push 1/2 rho C_d D |w_n| w_n with w_n the part of the wind
square to the chord ("chord") or to the wire itself at every place ("own").

Usage: python pieces.py   (writes ../data/cross/pieces.csv; versions in requirements.txt)
"""

import csv
import math
import pathlib

import numpy
import scipy.integrate
import scipy.optimize

SEED = 20_261_201
SPANS = 160
OWN = 40  # the last so many meet the wind by their own direction
GRAVITY = 9.80665
SHARES = [k / 10 for k in range(1, 10)]
HERE = pathlib.Path(__file__).resolve().parent
CATALOGUE = HERE.parent.parent / "assets" / "conductors.csv"
OUTPUT = HERE.parent / "data" / "cross" / "pieces.csv"
PIECES = 4


def conductors():
    """Catalogue rows: id, diameter, mass, EA in SI."""
    with CATALOGUE.open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            yield {
                "conductor": row["id"],
                "diameter_m": float(row["diameter_mm"]) * 1e-3,
                "mass_kg_per_m": float(row["mass_kg_per_m"]),
                "stiffness_n": float(row["modulus_gpa"]) * 1e9 * float(row["area_mm2"]) * 1e-6,
            }


def load(case, along, piece):
    """Force per unstretched length, N/m."""
    wind = numpy.array([case[f"wind_{axis}_{piece}"] for axis in "xyz"])
    ice = case[f"ice_{piece}_m"]
    width = case["diameter_m"] + 2 * ice
    square = wind - along * along.dot(wind)
    push = case["air_density_kg_per_m3"] / 2 * case["drag"] * width * numpy.linalg.norm(square) * square
    sleeve = case["ice_density_kg_per_m3"] * math.pi * ice * (case["diameter_m"] + ice)
    return push - numpy.array([0, 0, GRAVITY * (case["mass_kg_per_m"] + sleeve)])


def follow(case, force, dense=False):
    """Points at the shares and the far end, m."""
    chord = numpy.array([case["span_m"], case["aside_m"], case["rise_m"]])
    level = chord / numpy.linalg.norm(chord)
    stiffness, core, shorter = case["stiffness_n"], case["core_n"], case["shorter"]

    def stretch(tension):
        whole = 1 + tension / stiffness
        return min(whole, (1 - shorter) * (1 + tension / core)) if core else whole

    state = numpy.concatenate([numpy.zeros(3), force])
    start, found = 0.0, {}
    for piece in range(PIECES):
        end = case[f"to_{piece}"] * case["unstretched_m"]
        if end <= start:
            continue
        even = load(case, level, piece)

        def rates(_, y):
            tension = numpy.linalg.norm(y[3:])
            way = y[3:] / tension
            q = load(case, way, piece) if case["incidence"] == "own" else even
            return numpy.concatenate([stretch(tension) * way, -q])

        wanted = [share for share in SHARES if start < share * case["unstretched_m"] <= end]
        run = scipy.integrate.solve_ivp(
            rates, (start, end), state, method="DOP853", rtol=1e-12, atol=1e-12, max_step=case["unstretched_m"] / 60,
            t_eval=sorted({*(share * case["unstretched_m"] for share in wanted), end}),
        )
        if not run.success:
            raise ArithmeticError(run.message)
        for share in wanted:
            found[share] = run.y[:3, numpy.argmin(abs(run.t - share * case["unstretched_m"]))]
        state, start = run.y[:, -1], end
    return found, state[:3], state[3:]


def guess(case):
    """A force at the near end for a parabola under the mean load."""
    chord = numpy.array([case["span_m"], case["aside_m"], case["rise_m"]])
    length = case["unstretched_m"]
    distance = numpy.linalg.norm(chord)
    level = chord / distance
    total, near, start = numpy.zeros(3), numpy.zeros(3), 0.0
    for piece in range(PIECES):
        share = case[f"to_{piece}"] - start
        q = load(case, level, piece) * length * share
        total += q
        near += q * (1 - start - share / 2)
        start = case[f"to_{piece}"]
    pull = numpy.linalg.norm(total - total.dot(level) * level)

    def spare(tension):
        stretched = 1 + tension / case["stiffness_n"]
        if case["core_n"]:
            stretched = min(stretched, (1 - case["shorter"]) * (1 + tension / case["core_n"]))
        return distance * (1 + (pull / tension) ** 2 / 24) - length * stretched

    tension = scipy.optimize.brentq(spare, 1e-3 * pull, 1e3 * pull + case["stiffness_n"])
    return tension * level + near


def draw(random, catalogue, number):
    case = dict(catalogue[random.integers(len(catalogue))])
    span = float(numpy.round(20 * 20 ** random.random(), 3))
    sag = 0.008 * 8 ** random.random() * span
    rise = 0.0 if random.random() < 0.3 else float(numpy.round(random.uniform(-0.3, 0.3) * span, 3))
    aside = float(numpy.round(random.uniform(-0.1, 0.1) * span, 3))
    distance = math.sqrt(span**2 + rise**2 + aside**2)
    case.update(
        incidence="own" if number >= SPANS - OWN else "chord", span_m=span, aside_m=aside, rise_m=rise,
        unstretched_m=float(numpy.round(distance * (1 + 8 / 3 * (sag / distance) ** 2), 4)),
        core_n=0.0, shorter=0.0,
        air_density_kg_per_m3=float(numpy.round(random.uniform(0.9, 1.4), 3)),
        drag=float(numpy.round(random.uniform(0.8, 1.2), 2)),
        ice_density_kg_per_m3=float(numpy.round(random.uniform(500, 917), 0)),
    )
    if random.random() < 0.35:
        case["core_n"] = float(numpy.round(random.uniform(0.2, 0.6) * case["stiffness_n"], 0))
        case["shorter"] = float(numpy.round(random.uniform(0.0, 0.0015), 6))
    ends = sorted(numpy.round(random.random(PIECES - 1), 4))
    count = random.integers(1, PIECES + 1)
    ends = [float(end) for end in ends[: count - 1]] + [1.0] * (PIECES - count + 1)
    for piece in range(PIECES):
        speed, bearing = random.uniform(0, 25), random.uniform(0, 2 * math.pi)
        case[f"to_{piece}"] = ends[piece]
        case[f"wind_x_{piece}"] = float(numpy.round(speed * math.cos(bearing), 3))
        case[f"wind_y_{piece}"] = float(numpy.round(speed * math.sin(bearing), 3))
        case[f"wind_z_{piece}"] = float(numpy.round(random.uniform(-1, 1), 3))
        case[f"ice_{piece}_m"] = 0.0 if random.random() < 0.5 else float(numpy.round(random.uniform(0, 0.015), 4))
    return case


def solve(case):
    """Adds the solution; none where the wire is strained by more than 2 % or no force was found."""
    chord = numpy.array([case["span_m"], case["aside_m"], case["rise_m"]])
    start = guess(case)
    scale = numpy.linalg.norm(start)
    root = scipy.optimize.root(lambda u: follow(case, u * scale)[1] - chord, start / scale, tol=1e-14)
    force = root.x * scale
    points, end, far = follow(case, force)
    if numpy.linalg.norm(end - chord) > 1e-9:
        return None
    if max(numpy.linalg.norm(force), numpy.linalg.norm(far)) > 0.02 * case["stiffness_n"]:
        return None
    found = {f"near_{axis}_n": force[k] for k, axis in enumerate("xyz")}
    for share in SHARES:
        found.update({f"{axis}_{round(10 * share)}_m": points[share][k] for k, axis in enumerate("xyz")})
    return {**case, **{name: float(value) for name, value in found.items()}}


def main():
    random = numpy.random.default_rng(SEED)
    catalogue = list(conductors())
    rows = []
    while len(rows) < SPANS:
        row = solve(draw(random, catalogue, len(rows)))
        if row:
            rows.append(row)
    with OUTPUT.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, fieldnames=list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


if __name__ == "__main__":
    main()
