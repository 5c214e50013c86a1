"""A swaying span in time by SciPy's solve_ivp, solved independently of the Rust code.

A chain of 24 elements of equal unstretched length, a mass at each inner node,
elements that only pull, weight, and wind on the part of the felt wind across the wire:

    m x'' = sum of pulls - m g z + 1/2 rho Cd d s |v_n| v_n,   pull = EA max(l/L - 1, 0) along the element

The start is the rest in a steady wind, found by scipy.optimize.root; the explicit Runge-Kutta method DOP853
then follows the chain to a relative tolerance of 1e-9 under v(t) = mean + swing sin(2 pi f t).

Usage: python sway.py   (writes ../data/cross/sway.csv; versions in requirements.txt)
"""

import csv
import math
import pathlib

import numpy
import scipy.integrate
import scipy.optimize

GRAVITY, MASS, DIAMETER, STIFFNESS = 9.80665, 1.628, 0.0281, 36_082_200.0
PRESSURE = 0.5 * 1.225 * 1.0 * DIAMETER
ELEMENTS, SECONDS, EVERY = 24, 20.0, 0.5
# run m, rise m, unstretched length m, wind at the start, mean, swing m/s, frequency Hz
CASES = [
    (300.0, 0.0, 300.45, 25.0, 0.0, 0.0, 0.0),
    (300.0, 0.0, 300.45, 15.0, 15.0, 8.0, 0.22),
    (120.0, 6.0, 120.30, 10.0, 12.0, 6.0, 0.4),
    (200.0, -20.0, 201.60, 0.0, 18.0, 5.0, 0.1),
    (400.0, 30.0, 402.80, 20.0, 10.0, 10.0, 0.15),
    (60.0, 0.0, 60.15, 20.0, 0.0, 0.0, 0.0),
]
OUTPUT = pathlib.Path(__file__).resolve().parent.parent / "data" / "cross" / "sway.csv"


class Chain:
    def __init__(self, run, rise, unstretched):
        self.end = numpy.array([run, 0.0, rise])
        self.piece = unstretched / ELEMENTS

    def pulls(self, places):
        nodes = numpy.vstack([numpy.zeros(3), places, self.end])
        ways = numpy.diff(nodes, axis=0)
        long = numpy.linalg.norm(ways, axis=1)
        pull = STIFFNESS * numpy.maximum(long / self.piece - 1.0, 0.0)
        forces = ways * (pull / long)[:, None]
        return forces[1:] - forces[:-1], nodes

    def force(self, places, speeds, wind):
        forces, nodes = self.pulls(places)
        along = nodes[2:] - nodes[:-2]
        along /= numpy.linalg.norm(along, axis=1)[:, None]
        felt = numpy.array([0.0, wind, 0.0]) - speeds
        across = felt - along * numpy.sum(felt * along, axis=1)[:, None]
        forces = forces + across * (PRESSURE * self.piece * numpy.linalg.norm(across, axis=1))[:, None]
        forces[:, 2] -= MASS * self.piece * GRAVITY
        return forces

    def hang(self, pull, load):
        """Nodes of a chain that starts with a pull at the near end and carries a load at each inner node."""
        place, places = numpy.zeros(3), []
        for _ in range(ELEMENTS):
            tension = numpy.linalg.norm(pull)
            place = place + pull / tension * self.piece * (1 + tension / STIFFNESS)
            places.append(place)
            pull = pull - load
        return numpy.array(places)

    def rest(self, wind):
        """Shooting for an even load first, then MINPACK's hybrid method for the load that follows the wire's lean."""
        load = self.piece * numpy.array([0.0, PRESSURE * wind * abs(wind), -MASS * GRAVITY])
        for across in (10_000.0, 20_000.0, 5_000.0, 40_000.0):
            first = numpy.array([across, 0.0, 0.0]) + 0.5 * ELEMENTS * load + across * self.end / self.end[0] * [0, 0, 1]
            found = scipy.optimize.root(lambda pull: self.hang(pull, load)[-1] - self.end, first, options={"xtol": 1e-13})
            if numpy.max(numpy.abs(found.fun)) < 1e-6:
                break
        start = self.hang(found.x, load)[:-1]
        still = numpy.zeros_like(start)
        miss = lambda x: self.force(x.reshape(-1, 3), still, wind).ravel()
        settled = scipy.optimize.root(miss, start.ravel(), method="hybr", options={"xtol": 1e-13, "maxfev": 100_000})
        if numpy.max(numpy.abs(settled.fun)) > 1e-4:
            raise RuntimeError(f"no rest: {settled.message}, {numpy.max(numpy.abs(settled.fun))} N")
        return settled.x.reshape(-1, 3)

    def follow(self, start, wind):
        size = start.size
        mass = MASS * self.piece

        def change(t, state):
            places, speeds = state[:size].reshape(-1, 3), state[size:].reshape(-1, 3)
            return numpy.concatenate([state[size:], (self.force(places, speeds, wind(t)) / mass).ravel()])

        times = numpy.arange(0.0, SECONDS + 1e-9, EVERY)
        state = numpy.concatenate([start.ravel(), numpy.zeros(size)])
        found = scipy.integrate.solve_ivp(
            change, (0.0, SECONDS), state, method="DOP853", t_eval=times, rtol=1e-9, atol=1e-9)
        if not found.success:
            raise RuntimeError(found.message)
        return times, found.y[:size].T.reshape(len(times), -1, 3)


def main():
    with OUTPUT.open("w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(["case", "run_m", "rise_m", "unstretched_m", "start_m_per_s", "mean_m_per_s", "swing_m_per_s",
                       "frequency_hz", "time_s", "node", "x_m", "y_m", "z_m"])
        for number, case in enumerate(CASES):
            run, rise, unstretched, before, mean, swing, frequency = case
            chain = Chain(run, rise, unstretched)
            start = chain.rest(before)
            times, places = chain.follow(start, lambda t: mean + swing * math.sin(2 * math.pi * frequency * t))
            for time, nodes in zip(times, places):
                for node in (ELEMENTS // 4, ELEMENTS // 2, 3 * ELEMENTS // 4):
                    rows.writerow([number, *case, time, node, *(f"{v:.9f}" for v in nodes[node - 1])])
            print(number, flush=True)


if __name__ == "__main__":
    main()
