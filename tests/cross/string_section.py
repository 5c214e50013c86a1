"""Sections hung on suspension strings, solved by minimising the total potential energy, independently of the Rust code.

The strings are rigid links of length l that hang from fixed points A; unknown are only their two angles each (theta along
the line, phi across it): the lower end lies at B = A + l (sin theta cos phi, sin phi, -cos theta cos phi). The total potential
energy of wires and strings over these angles is

    V = sum over spans of U(B_next - B) - sum over strings of (q L + G/2 + F/2) . B
    U(c) = max over f of  f.c - integral from 0 to L of (|f - q s| + |f - q s|^2 / (2 EA)) ds,   dU/dc = f

U is the energy of a span that hangs in balance between ends c apart (wire and its load q per unit unstretched length), found
from its complementary energy, which is concave in the force f at the near end. As dU/dc = f, U counts the work of the load from
the far end; q L of the span before a string therefore acts at that string. G and F are weight of and wind on a string, of which
an even link hands half to its end. No closed form of the catenary is used: the integral is Gauss-Legendre quadrature with 64
points. scipy.optimize.minimize (BFGS) goes downhill from plumb strings; scipy.optimize.root then solves for a zero of the
gradient to rounding; the second derivatives at the end must be positive: a minimum.

Clamping in: strings plumb, all spans at one horizontal tension H, still air; that gives each span its unstretched length.

Usage: python string_section.py   (writes ../data/cross/string_section.csv; versions in requirements.txt)
"""

import csv
import pathlib

import numpy as np
import scipy.optimize

SEED = 20_261_126
SECTIONS = 200
GRAVITY = 9.80665
OUTPUT = pathlib.Path(__file__).resolve().parent.parent / "data" / "cross" / "string_section.csv"
NODES, WEIGHTS = np.polynomial.legendre.leggauss(64)
NODES, WEIGHTS = 0.5 * (NODES + 1.0), 0.5 * WEIGHTS


def reach(force, load, length, stiffness):
    """Far end of a wire that starts with a force, and its derivative by the force."""
    tension = force[None, :] - load[None, :] * (length * NODES)[:, None]
    size = np.linalg.norm(tension, axis=1)
    unit = tension / size[:, None]
    weight = WEIGHTS * length
    end = (weight[:, None] * (unit + tension / stiffness)).sum(axis=0)
    give = np.eye(3) * (weight / stiffness + weight / size).sum()
    give -= np.einsum("k,ki,kj->ij", weight / size, unit, unit)
    return end, give


def near_force(chord, load, length, stiffness, guess):
    """The force that maximises f.c less the complementary energy: Newton's method with halved steps."""
    force = guess
    for _ in range(100):
        end, give = reach(force, load, length, stiffness)
        step = np.linalg.solve(give, chord - end)
        share = 1.0
        while (force + share * step) @ chord <= 0.0:
            share *= 0.5
        force = force + share * step
        if np.linalg.norm(step) < 1e-12 * np.linalg.norm(force):
            return force
    raise ArithmeticError("no force")


def stored(chord, force, load, length, stiffness):
    """U: the potential energy of a span in balance."""
    tension = force[None, :] - load[None, :] * (length * NODES)[:, None]
    size = np.linalg.norm(tension, axis=1)
    return force @ chord - (WEIGHTS * length * (size + size**2 / (2 * stiffness))).sum()


def clamped_length(chord, weight, stiffness, horizontal):
    """Unstretched length at a horizontal tension, plumb plane."""
    load = np.array([0.0, 0.0, -weight])

    def misfit(unknown):
        end, _ = reach(np.array([horizontal, 0.0, unknown[0] * horizontal]), load, unknown[1] * chord[0], stiffness)
        return [(end[0] - chord[0]) / chord[0], (end[2] - chord[2]) / chord[0]]

    start = [chord[2] / chord[0] - weight * chord[0] / (2 * horizontal), 1.0]
    found = scipy.optimize.root(misfit, start, tol=1e-14)
    if max(abs(x) for x in misfit(found.x)) > 1e-13:
        raise ArithmeticError("no clamped length")
    return found.x[1] * chord[0]


class Section:
    """A section in one state."""

    def __init__(self, case, growth, lateral, vertical, push):
        rests = np.array(case["rests"])
        chords = np.diff(rests, axis=0)
        self.stiffness = case["stiffness_n"]
        self.lengths = [
            growth * clamped_length(c, case["mass_kg_per_m"] * GRAVITY, self.stiffness, case["clamped_n"]) for c in chords
        ]
        self.load = np.array([0.0, lateral, -vertical])
        self.push = np.array([0.0, 0.5 * push, -0.5 * case["string_weight_n"]])
        self.arm = case["string_length_m"]
        self.tops = rests[1:-1] + [0.0, 0.0, self.arm]
        self.ends = (rests[0], rests[-1])
        self.forces = [np.array([case["clamped_n"], 0.0, 0.0]) for _ in chords]

    def places(self, angles):
        theta, phi = angles[0::2], angles[1::2]
        hang = np.stack([np.sin(theta) * np.cos(phi), np.sin(phi), -np.cos(theta) * np.cos(phi)], axis=1)
        return np.vstack([self.ends[0], self.tops + self.arm * hang, self.ends[1]])

    def solve_spans(self, places):
        chords = np.diff(places, axis=0)
        self.forces = [
            near_force(c, self.load, length, self.stiffness, guess)
            for c, length, guess in zip(chords, self.lengths, self.forces)
        ]
        return chords

    def energy(self, angles):
        places = self.places(angles)
        chords = self.solve_spans(places)
        total = sum(stored(c, f, self.load, n, self.stiffness) for c, f, n in zip(chords, self.forces, self.lengths))
        for k, place in enumerate(places[1:-1]):
            total -= (self.load * self.lengths[k] + self.push) @ place
        return total

    def gradient(self, angles):
        places = self.places(angles)
        self.solve_spans(places)
        theta, phi = angles[0::2], angles[1::2]
        slopes = np.zeros_like(angles)
        for k in range(len(theta)):
            pull = self.forces[k] - self.load * self.lengths[k] - self.forces[k + 1] - self.push
            by_theta = self.arm * np.array([np.cos(theta[k]) * np.cos(phi[k]), 0.0, np.sin(theta[k]) * np.cos(phi[k])])
            by_phi = self.arm * np.array(
                [-np.sin(theta[k]) * np.sin(phi[k]), np.cos(phi[k]), np.cos(theta[k]) * np.sin(phi[k])]
            )
            slopes[2 * k], slopes[2 * k + 1] = pull @ by_theta, pull @ by_phi
        return slopes


def draw(random):
    """One section and state; every number is a double that the CSV file holds exactly."""
    spans = int(random.integers(2, 6))
    typical = 80 * 4 ** random.random()
    x, rests = 0.0, []
    for _ in range(spans + 1):
        rests.append([round(x, 3), 0.0, round(20 + random.uniform(-0.02, 0.02) * typical, 3)])
        x += typical * 0.6 * 2.5 ** random.random()
    mass, diameter = round(random.uniform(0.4, 2.0), 4), round(random.uniform(0.014, 0.032), 5)
    clamped = min(mass * GRAVITY * typical / (8 * 0.012 * 2.5 ** random.random()), 35e3)
    return {
        "rests": rests,
        "mass_kg_per_m": mass,
        "diameter_m": diameter,
        "stiffness_n": round(random.uniform(1e7, 4e7), 0),
        "expansion_per_k": 19.3e-6,
        "clamped_n": round(clamped, 1),
        "string_length_m": round(random.uniform(0.4, 3.5), 3),
        "string_weight_n": round(random.uniform(150, 1500), 1),
        "string_area_m2": round(random.uniform(0.0, 0.6), 3),
        "rise_k": round(random.uniform(-25, 60), 1),
        "wind_m_per_s": 0.0 if random.random() < 0.2 else round(random.uniform(-25, 25), 2),
        "ice_m": 0.0 if random.random() < 0.6 else round(random.uniform(0, 0.01), 4),
    }


def solve(case):
    """Rows of a case, one per span; None where a string is lifted."""
    growth = 1 + case["expansion_per_k"] * case["rise_k"]
    wind, ice, d = case["wind_m_per_s"], case["ice_m"], case["diameter_m"]
    pressure = 0.5 * 1.225 * 1.0 * wind * abs(wind)
    lateral = pressure * (d + 2 * ice)
    vertical = case["mass_kg_per_m"] * GRAVITY + 913.0 * GRAVITY * np.pi * ice * (d + ice)
    section = Section(case, growth, lateral, vertical, pressure * case["string_area_m2"])
    angles = np.zeros(2 * len(section.tops))
    scale = case["clamped_n"] * case["string_length_m"]
    down = scipy.optimize.minimize(
        lambda a: section.energy(a) / scale, angles, jac=lambda a: section.gradient(a) / scale, options={"gtol": 1e-9}
    )
    found = scipy.optimize.root(lambda a: section.gradient(a) / scale, down.x, tol=1e-15)
    slopes = section.gradient(found.x) / scale
    if np.abs(slopes).max() > 1e-11:
        raise ArithmeticError(f"no balance: {slopes}")
    step = 1e-5
    columns = [
        (section.gradient(found.x + step * e) - section.gradient(found.x - step * e)) / (2 * step * scale)
        for e in np.eye(len(found.x))
    ]
    hessian = np.array(columns)
    if np.linalg.eigvalsh(0.5 * (hessian + hessian.T)).min() <= 0.0:
        raise ArithmeticError("no minimum")
    section.gradient(found.x)
    theta, phi = found.x[0::2], found.x[1::2]
    direction = section.load / np.linalg.norm(section.load)
    rows = []
    for k, force in enumerate(section.forces):
        row = {name: value for name, value in case.items() if name != "rests"}
        near, far = case["rests"][k], case["rests"][k + 1]
        row.update(near_x_m=near[0], near_z_m=near[2], far_x_m=far[0], far_z_m=far[2])
        row["unstretched_m"] = section.lengths[k]
        row["horizontal_n"] = float(np.linalg.norm(force - (force @ direction) * direction))
        hung = k < len(theta)
        if hung:
            pull = section.forces[k + 1] - force + section.load * section.lengths[k] + section.push
            hang = (section.places(found.x)[k + 1] - section.tops[k]) / section.arm
            if pull @ hang <= 0.0:
                return None
            row["end_x_m"], row["end_y_m"], row["end_z_m"] = (float(v) for v in section.places(found.x)[k + 1])
        else:
            row["end_x_m"], row["end_y_m"], row["end_z_m"] = case["rests"][-1]
        rows.append(row)
    return rows


def main():
    random = np.random.default_rng(SEED)
    sections, lifted = [], 0
    while len(sections) < SECTIONS:
        rows = solve(draw(random))
        if rows is None:
            lifted += 1
            continue
        sections.append([{"section": len(sections), **row} for row in rows])
    print(f"{len(sections)} sections, {lifted} left out because a string would be lifted")
    OUTPUT.parent.mkdir(parents=True, exist_ok=True)
    with OUTPUT.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, fieldnames=list(sections[0][0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(row for rows in sections for row in rows)


if __name__ == "__main__":
    main()
