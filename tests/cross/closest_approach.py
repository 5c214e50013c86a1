"""Closest approach on 200 generated scenarios, found by brute force and local polish, independently of the Rust code.

Wire: one span, known by its horizontal tension. The elastic catenary (H. M. Irvine, Cable Structures, 1981, section 2.4)
is solved in the plane of chord and load for the unknowns a = H/w and near-end slope p1, vectorised, by Newton's method:

    run  = a (asinh p2 - asinh p1 + e (p2 - p1)),           p2 = p1 + L0/a,  e = a w/EA
    rise = a (sqrt(1+p2^2) - sqrt(1+p1^2) + e (p2^2 - p1^2)/2)

Machine: slew, luff, telescope; a boom (capsule) and, by kind, a hung ball on a swinging rope or a box at the boom's tip.
Free are the joints, the temperature, the wind across the span and the place along the wire. 30,000 random samples, then
L-BFGS-B from the best of them and Nelder-Mead from the best of these. What it finds is attained, so it is never below the
true minimum.

Usage: python closest_approach.py   (writes ../data/cross/closest_approach.json; versions in requirements.txt)
"""

import json
import math
import pathlib

import numpy
import scipy.optimize

SEED = 20_261_126
SCENARIOS = 200
SAMPLES = 30_000
STARTS = 4
GRAVITY = 9.80665
OUTPUT = pathlib.Path(__file__).resolve().parent.parent / "data" / "cross" / "closest_approach.json"


def shape(run, rise, length, load, stiffness):
    """a and p1, elementwise."""
    chord = numpy.hypot(run, rise)
    slack = length - chord
    # Start: the parabola's cubic in the tension by bisection, on (length (1 + H/EA) - chord) H^2 = w^2 chord^3/24.
    low, high = numpy.full_like(length, 1e-3) * load * run, stiffness * 0.03 + 0 * length
    for _ in range(16):
        middle = numpy.sqrt(low * high)
        much = (slack + length * middle / stiffness) * middle**2 > load**2 * chord**3 / 24
        low, high = numpy.where(much, low, middle), numpy.where(much, middle, high)
    a = low / load
    p1 = rise / run - length / (2 * a)
    for _ in range(40):
        p2, e = p1 + length / a, a * load / stiffness
        s1, s2 = numpy.sqrt(1 + p1**2), numpy.sqrt(1 + p2**2)
        x = a * (numpy.arcsinh(p2) - numpy.arcsinh(p1)) + a * e * (p2 - p1)
        y = a * (s2 - s1) + a * e * (p2**2 - p1**2) / 2
        f, g = x - run, y - rise
        # derivatives; d(p2)/da = -length/a^2, e/a = load/stiffness
        d2 = -length / a**2
        fa = x / a + e * (p2 - p1) + a * (1 / s2 + e) * d2
        ga = y / a + e * (p2**2 - p1**2) / 2 + a * (p2 / s2 + e * p2) * d2
        fp = a * (1 / s2 - 1 / s1)
        gp = a * (p2 / s2 - p1 / s1 + e * (p2 - p1))
        det = fa * gp - fp * ga
        da, dp = (f * gp - fp * g) / det, (fa * g - f * ga) / det
        damp = numpy.minimum(1, 0.5 * a / numpy.maximum(numpy.abs(da), 1e-300))
        a, p1 = a - damp * da, p1 - damp * dp
        if numpy.all(numpy.abs(da) < 1e-13 * a):
            break
    if not numpy.all(numpy.hypot(f, g) < 1e-8):
        raise ArithmeticError("shape not found")
    return a, p1


def unstretched(run, rise, tension, weight, stiffness):
    """Length at a horizontal tension: the near slope by a root, then L0 = a (p2 - p1)."""
    a, e = tension / weight, tension / stiffness

    def far(p1):
        goal = run / a + math.asinh(p1) + e * p1
        return scipy.optimize.brentq(lambda p: math.asinh(p) + e * p - goal, p1, p1 + 50, xtol=1e-15, rtol=1e-15)

    def miss(p1):
        p2 = far(p1)
        return a * (math.hypot(1, p2) - math.hypot(1, p1) + e * (p2**2 - p1**2) / 2) - rise

    p1 = scipy.optimize.brentq(miss, rise / run - 5, rise / run + 2, xtol=1e-15, rtol=1e-15)
    return a * (far(p1) - p1)


class Problem:
    """Distance as a function of shares 0..1 of: joints, temperature, wind, place."""

    def __init__(self, c):
        self.c = c
        w = c["wire"]
        self.start, self.end = numpy.array(w["from_m"]), numpy.array(w["to_m"])
        self.chord = self.end - self.start
        self.level = math.hypot(self.chord[0], self.chord[1])
        self.left = numpy.array([-self.chord[1], self.chord[0], 0]) / self.level
        self.weight = w["mass_kg_per_m"] * GRAVITY
        self.length = unstretched(self.level, self.chord[2], w["tension_n"], self.weight, w["stiffness_n"])
        speed = w["wind_m_per_s"]
        self.ranges = numpy.array(c["machine"]["ranges"] + [w["temperature_degc"], [-speed, speed], [0, 1]])

    def wire_points(self, degc, wind, place):
        w = self.c["wire"]
        length = self.length * (1 + w["expansion_per_k"] * (degc - w["known_degc"]))
        push = 0.5 * w["air_kg_per_m3"] * w["drag"] * w["diameter_m"] * wind * numpy.abs(wind)
        load = numpy.hypot(push, self.weight)
        drop = (push[:, None] * self.left - self.weight * numpy.array([0, 0, 1])) / load[:, None]
        rise = -drop @ self.chord
        forward = self.chord + drop * rise[:, None]
        run = numpy.linalg.norm(forward, axis=1)
        a, p1 = shape(run, rise, length, load, w["stiffness_n"])
        e = a * load / w["stiffness_n"]
        p = p1 + place * length / a
        x = a * (numpy.arcsinh(p) - numpy.arcsinh(p1) + e * (p - p1))
        y = a * (numpy.sqrt(1 + p**2) - numpy.sqrt(1 + p1**2) + e * (p**2 - p1**2) / 2)
        return self.start + forward * (x / run)[:, None] - drop * y[:, None]

    def distance(self, shares):
        """Surface to surface for rows of shares, m; negative where a rod or ball overlaps."""
        v = self.ranges[:, 0] + numpy.clip(shares, 0, 1) * (self.ranges[:, 1] - self.ranges[:, 0])
        points = self.wire_points(v[:, -3], v[:, -2], v[:, -1])
        m = self.c["machine"]
        base = numpy.array(m["base_m"]) + numpy.array([0, 0, m["pivot_m"]])
        turn, luff, reach = v[:, 0] - m["heading_rad"], v[:, 1], v[:, 2]
        along = numpy.stack([-numpy.sin(turn) * numpy.cos(luff), numpy.cos(turn) * numpy.cos(luff), numpy.sin(luff)], 1)
        tip = base + along * reach[:, None]
        best = segment(points, numpy.broadcast_to(base, tip.shape), tip) - m["boom_radius_m"]
        if m["kind"] == "hung ball":
            az, swing, rope = v[:, 3], v[:, 4], v[:, 5]
            # turn about z of the swing about x of (0, 0, -rope): (0, sin, -cos) turned
            hang = numpy.stack([-numpy.sin(az) * numpy.sin(swing), numpy.cos(az) * numpy.sin(swing), -numpy.cos(swing)], 1)
            ball = tip + hang * rope[:, None]
            best = numpy.minimum(best, numpy.linalg.norm(points - ball, axis=1) - m["ball_radius_m"])
            best = numpy.minimum(best, segment(points, tip, ball) - 0.02)
        if m["kind"] == "box":
            right = numpy.stack([numpy.cos(turn), numpy.sin(turn), 0 * turn], 1)
            up = numpy.cross(right, along)
            away = points - tip
            local = numpy.stack([(away * axis).sum(1) for axis in (right, along, up)], 1)
            beyond = numpy.maximum(numpy.abs(local) - numpy.array(m["box_half_m"]), 0)
            best = numpy.minimum(best, numpy.linalg.norm(beyond, axis=1))
        return best - 0.5 * self.c["wire"]["diameter_m"]

    def solve(self, random):
        shares = random.random((SAMPLES, len(self.ranges)))
        ends = random.random(shares.shape) < 0.15
        shares[ends] = numpy.round(shares[ends])
        found = self.distance(shares)
        order = numpy.argsort(found)
        starts, best = [], (found[order[0]], shares[order[0]])
        for index in order[:4000]:
            if all(numpy.abs(shares[index] - s).max() > 0.15 for s in starts):
                starts.append(shares[index])
            if len(starts) == STARTS:
                break
        for s in starts:
            r = scipy.optimize.minimize(self.with_slope, s, jac=True, method="L-BFGS-B", bounds=[(0, 1)] * len(s),
                                        options={"maxiter": 80, "ftol": 1e-13, "gtol": 1e-9})
            best = min(best, (float(self.distance(r.x[None])[0]), numpy.clip(r.x, 0, 1)), key=lambda b: b[0])
        for scale in (0.03, 0.003):
            simplex = numpy.vstack([best[1], best[1] + numpy.where(best[1] > 0.5, -scale, scale) * numpy.eye(len(s))])
            r = scipy.optimize.minimize(lambda u: float(self.distance(u[None])[0]), best[1], method="Nelder-Mead",
                                        options={"initial_simplex": simplex, "xatol": 1e-9, "fatol": 1e-9,
                                                 "maxfev": 300, "adaptive": True})
            best = min(best, (float(r.fun), numpy.clip(r.x, 0, 1)), key=lambda b: b[0])
        return best

    def with_slope(self, u):
        step, n = 1e-7, len(u)
        rows = numpy.vstack([u, *(numpy.clip(u + sign * step * axis, 0, 1) for axis in numpy.eye(n) for sign in (1, -1))])
        f = self.distance(rows)
        width = numpy.array([rows[1 + 2 * k][k] - rows[2 + 2 * k][k] for k in range(n)])
        return f[0], (f[1::2] - f[2::2]) / width


def segment(p, a, b):
    along = b - a
    t = numpy.clip(((p - a) * along).sum(1) / (along**2).sum(1), 0, 1)
    return numpy.linalg.norm(p - a - along * t[:, None], axis=1)


def draw(random):
    """A scenario; every number is a double that the file holds exactly."""
    uniform = lambda low, high, digits=3: float(numpy.round(random.uniform(low, high), digits))
    level, bearing = float(numpy.round(25 * 10 ** random.random(), 2)), random.uniform(0, 6.28)
    start = [uniform(-20, 20), uniform(-20, 20), uniform(9, 16)]
    rise = 0.0 if random.random() < 0.4 else uniform(-0.35, 0.35) * level
    to = [round(start[0] + level * math.cos(bearing), 3), round(start[1] + level * math.sin(bearing), 3), round(start[2] + rise, 3)]
    diameter = uniform(0.007, 0.03, 4)
    area = 0.6 * diameter**2
    mass = float(numpy.round(area * random.uniform(2700, 6000), 4))
    chord = math.dist(start, to)
    tension = float(numpy.round(mass * GRAVITY * chord / (8 * 0.006 * 8 ** random.random()), 0))
    cold = uniform(-20, 20, 1)
    wire = {
        "from_m": start, "to_m": to, "diameter_m": diameter, "mass_kg_per_m": mass,
        "stiffness_n": float(numpy.round(area * random.uniform(5.5e10, 9e10), 0)), "expansion_per_k": uniform(1.2e-5, 2.3e-5, 7),
        "tension_n": tension, "known_degc": uniform(0, 25, 1), "temperature_degc": [cold, cold + uniform(5, 70, 1)],
        "wind_m_per_s": uniform(0, 25, 1), "air_kg_per_m3": 1.225, "drag": uniform(0.9, 1.1, 2),
    }
    kind = ["boom", "hung ball", "box"][random.integers(3)]
    share, aside = random.uniform(0.1, 0.9), uniform(6, 30) * random.choice([-1, 1])
    base = [
        round(start[0] + share * (to[0] - start[0]) - aside * math.sin(bearing), 2),
        round(start[1] + share * (to[1] - start[1]) + aside * math.cos(bearing), 2),
        round(min(start[2], to[2]) - uniform(8, 12), 2),
    ]
    short = uniform(4, 9, 2)
    slew = random.uniform(-3.1, 3.1, 2) if random.random() < 0.5 else numpy.array([-math.pi, math.pi])
    ranges = [sorted(float(s) for s in slew), [uniform(-0.1, 0.4), uniform(0.5, 1.35)], [short, short + uniform(0, 12, 2)]]
    if kind == "hung ball":
        rope = uniform(1, 4, 2)
        ranges += [[-math.pi, math.pi], [0.0, uniform(0, 0.2)], [rope, rope + uniform(0, 5, 2)]]
    machine = {
        "kind": kind, "base_m": base, "pivot_m": uniform(1, 3), "heading_rad": uniform(-3, 3), "boom_radius_m": uniform(0.1, 0.5),
        "ball_radius_m": uniform(0.3, 1.5), "box_half_m": [uniform(0.2, 2), uniform(0.2, 2), uniform(0.2, 1)], "ranges": ranges,
    }
    return {"wire": wire, "machine": machine}


def main():
    random = numpy.random.default_rng(SEED)
    cases = []
    while len(cases) < SCENARIOS:
        case = draw(random)
        distance, shares = Problem(case).solve(random)
        if distance > 0.05 or random.random() < 0.1:
            cases.append({**case, "distance_m": max(distance, 0.0)})
    OUTPUT.parent.mkdir(parents=True, exist_ok=True)
    lines = ",\n".join(json.dumps(case) for case in cases)
    OUTPUT.write_text(f"[\n{lines}\n]\n", encoding="utf-8")


if __name__ == "__main__":
    main()
