"""R1 by SciPy's global optimisers, timed beside the certified search in the same run on the same machine.

Every contender starts from the scenario's numbers: change of state, tables and splines are counted. The optimisers find a
number without a proof; the search proves a bracket. Each optimiser is tried with many settings and seeds. Two times are
given: the luckiest run within 1 cm of the optimum, and the fastest setting that gets there with every seed (nobody knows
beforehand which seed is lucky; shgo and direct use none).

Usage: cargo build --release -p wideberth-tests --example r1
       OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 python r1.py   (versions in requirements.txt)
"""

import itertools
import math
import pathlib
import platform
import statistics
import subprocess
import sys
import time

import numpy
import scipy
import scipy.interpolate
import scipy.optimize
import scipy.spatial

OPTIMUM_M, NEAR_M = 3.659, 0.01
ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = ROOT / "target" / "release" / "examples" / "r1"

SPAN, HEIGHT, WIRES = 90.0, 10.5, (-1.1, 0.0, 1.1)
DIAMETER, WEIGHT, STIFFNESS, EXPANSION = 0.0101, 0.2161 * 9.80665, 79e9 * 62.4e-6, 18.9e-6
PRESSURE = 0.5 * 1.225 * DIAMETER
PIVOT, RADIUS = (45.0, -19.0, 2.5), 0.4
BOUNDS = [(-math.pi, math.pi), (math.radians(10), math.radians(75)), (8, 14), (-10, 75), (-20, 20), (0, 90)]


def constants(grid):
    """a = H/w on a grid of temperature and wind: level elastic catenary, L0 = 2a sinh y, y = (l - L0 w/EA)/(2a)."""
    degc, wind = numpy.linspace(-10, 75, grid), numpy.linspace(0, 20, grid)
    a0 = 3900 / WEIGHT
    length = SPAN
    for _ in range(30):
        length = 2 * a0 * math.sinh((SPAN - length * 3900 / STIFFNESS) / (2 * a0))
    length = length * (1 + EXPANSION * (degc[:, None] - 15)) * numpy.ones(grid)
    load = numpy.hypot(WEIGHT, PRESSURE * wind**2) * numpy.ones((grid, 1))
    # The residual falls and is convex in a, so Newton's method from the slack side settles.
    a = numpy.full_like(length, 60.0)
    for _ in range(16):
        y = (SPAN / a - length * load / STIFFNESS) / 2
        miss = 2 * a * numpy.sinh(y) - length
        slope = 2 * numpy.sinh(y) - numpy.cosh(y) * SPAN / a
        a = a - miss / slope
    return degc, wind, a


class Objective:
    """Smallest surface distance over the three wires for slew, luff, length, temperature, wind, place along the span."""

    def __init__(self, grid=12):
        degc, wind, a = constants(grid)
        self.spline = scipy.interpolate.RectBivariateSpline(degc, wind, a, kx=3, ky=3)
        self.calls = 0

    def many(self, x):
        """Columns of x are points."""
        x = numpy.atleast_2d(x.T).T if x.ndim == 1 else x
        self.calls += x.shape[1]
        slew, luff, reach, degc, wind, place = x
        a = self.spline.ev(degc, numpy.abs(wind))
        push = PRESSURE * wind * numpy.abs(wind)
        load = numpy.hypot(WEIGHT, push)
        strain = a * load / STIFFNESS
        p, q = numpy.sinh((place - 45) / (a * (1 + strain))), numpy.sinh(45 / (a * (1 + strain)))
        sag = a * (numpy.sqrt(1 + q * q) - numpy.sqrt(1 + p * p) + strain * (q * q - p * p) / 2)
        # The boom points north at slew 0; the left of the span along x is north.
        cos = numpy.cos(luff)
        ux, uy, uz = -numpy.sin(slew) * cos, numpy.cos(slew) * cos, numpy.sin(luff)
        dx, dz = place - PIVOT[0], HEIGHT - sag * WEIGHT / load - PIVOT[2]
        aside = sag * push / load - PIVOT[1]
        best = numpy.inf
        for y in WIRES:
            dy = aside + y
            t = numpy.minimum(numpy.maximum(dx * ux + dy * uy + dz * uz, 0), reach)
            best = numpy.minimum(best, (dx - t * ux) ** 2 + (dy - t * uy) ** 2 + (dz - t * uz) ** 2)
        return numpy.sqrt(best) - RADIUS - DIAMETER / 2

    def one(self, x):
        """The same for one point, with plain floats: an array costs more than it saves here."""
        self.calls += 1
        slew, luff, reach, degc, wind, place = (float(v) for v in x)
        a = float(self.spline.ev(degc, abs(wind)))
        push = PRESSURE * wind * abs(wind)
        load = math.hypot(WEIGHT, push)
        strain = a * load / STIFFNESS
        p, q = math.sinh((place - 45) / (a * (1 + strain))), math.sinh(45 / (a * (1 + strain)))
        sag = a * (math.hypot(1, q) - math.hypot(1, p) + strain * (q * q - p * p) / 2)
        cos = math.cos(luff)
        ux, uy, uz = -math.sin(slew) * cos, math.cos(slew) * cos, math.sin(luff)
        dx, dz = place - PIVOT[0], HEIGHT - sag * WEIGHT / load - PIVOT[2]
        best = math.inf
        for y in WIRES:
            dy = sag * push / load + y - PIVOT[1]
            t = min(max(dx * ux + dy * uy + dz * uz, 0.0), reach)
            best = min(best, math.hypot(dx - t * ux, dy - t * uy, dz - t * uz))
        return best - RADIUS - DIAMETER / 2


def evolution(seed, strategy, size, generations, polish):
    f = Objective()
    return f, scipy.optimize.differential_evolution(
        f.many, BOUNDS, strategy=strategy, popsize=size, maxiter=generations, tol=0, polish=polish, rng=seed,
        vectorized=True, updating="deferred")


def annealing(seed, steps, local):
    f = Objective()
    return f, scipy.optimize.dual_annealing(f.one, BOUNDS, maxiter=steps, no_local_search=not local, rng=seed)


def simplicial(_seed, points, rounds, sampling):
    f = Objective()
    return f, scipy.optimize.shgo(f.one, BOUNDS, n=points, iters=rounds, sampling_method=sampling)


def rectangles(_seed, calls, biased):
    f = Objective()
    return f, scipy.optimize.direct(f.one, BOUNDS, maxfun=calls, maxiter=100_000, locally_biased=biased, vol_tol=0, len_tol=1e-9)


CONTENDERS = {
    "differential_evolution": (evolution, range(8), itertools.product(
        ("best1bin", "rand1bin", "currenttobest1bin"), (2, 4, 8, 15), (1, 3, 5, 10, 20), (True, False))),
    "dual_annealing": (annealing, range(8), itertools.product((1, 3, 10, 30, 100), (True, False))),
    "shgo": (simplicial, range(1), (
        *itertools.product((32, 64, 128, 256), (1, 2), ("sobol",)), (None, 1, "simplicial"), (64, 1, "simplicial"), (128, 1, "simplicial"))),
    "direct": (rectangles, range(1), itertools.product((200, 500, 1000, 2000, 5000, 20_000), (True, False))),
}


# SciPy's own settings: what somebody gets who does not know the answer beforehand.
AS_SHIPPED = {
    "differential_evolution": (lambda seed: shipped(scipy.optimize.differential_evolution, rng=seed), range(5), ((),)),
    "dual_annealing": (lambda seed: shipped(scipy.optimize.dual_annealing, rng=seed), range(5), ((),)),
    "shgo": (lambda _seed: shipped(scipy.optimize.shgo), range(1), ((),)),
    "direct": (lambda _seed: shipped(scipy.optimize.direct), range(1), ((),)),
}


def shipped(optimiser, **options):
    f = Objective()
    return f, optimiser(f.one, BOUNDS, **options)


def attempt(solve, seed, setting):
    """Seconds, and the result within 1 cm of the optimum or nothing."""
    started = time.perf_counter()
    try:
        f, result = solve(seed, *setting)
    except scipy.spatial.QhullError:  # too few points for this sampling
        return math.inf, None
    seconds = time.perf_counter() - started
    return seconds, (float(result.fun), f.calls) if result.x is not None and abs(result.fun - OPTIMUM_M) <= NEAR_M else None


def race(solve, seeds, settings):
    """Over all settings: the fastest single run within 1 cm (with a lucky seed), and the fastest setting, by its median,
    that comes within 1 cm with every seed: (seconds, (distance, calls), setting), or None."""
    lucky = steady = None
    for setting in settings:
        runs = []
        for seed in seeds:
            seconds, found = attempt(solve, seed, setting)
            if found and (lucky is None or seconds < lucky[0]):
                lucky = (seconds, found, setting, seed)
            runs.append((seconds, found))
            if not found and seed >= 2:
                break
        if all(found for _, found in runs):
            seconds = statistics.median(s for s, _ in runs)
            if steady is None or seconds < steady[0]:
                steady = (seconds, runs[0][1], setting)
    # Again, the least counts: the machine may have been busy.
    if lucky:
        lucky = (min([lucky[0]] + [attempt(solve, lucky[3], lucky[2])[0] for _ in range(10)]), *lucky[1:3])
    if steady:
        again = [statistics.median(attempt(solve, seed, steady[2])[0] for seed in seeds) for _ in range(3)]
        steady = (min([steady[0], *again]), *steady[1:])
    return lucky, steady


def main():
    print(f"Python {platform.python_version()}, NumPy {numpy.__version__}, SciPy {scipy.__version__}")
    ours = []
    for tolerance in ("1e-2", "1e-3"):
        text = subprocess.run([PROGRAM, tolerance, "200"], check=True, capture_output=True, text=True).stdout.split()
        ours.append((tolerance, float(text[0]) * 1e-9, text[1], text[2]))
    rows = []
    for name, (solve, seeds, settings) in AS_SHIPPED.items():
        rows.append((f"{name}, as shipped", race(solve, seeds, settings)[1]))
        print(f"{name}, as shipped: {rows[-1][1]}", flush=True)
    if "--as-shipped" in sys.argv:
        CONTENDERS.clear()
    for name, (solve, seeds, settings) in CONTENDERS.items():
        lucky, steady = race(solve, seeds, settings)
        rows += [(f"{name}, luckiest run", lucky), (f"{name}, every seed", steady)]
        print(f"{name}: {lucky} {steady}", flush=True)
    # Once more after the others, in case the machine was busy the first time.
    again = float(subprocess.run([PROGRAM, "1e-3", "200"], check=True, capture_output=True, text=True).stdout.split()[0]) * 1e-9
    proven = min(ours[1][1], again)
    print("\n| contender | answer | time | calls | times slower |\n|---|---|---|---|---|")
    for tolerance, seconds, low, high in ours:
        print(f"| certified search, {tolerance} m | {low}..{high} m, proven | {seconds * 1e3:.3f} ms | | |")
    for name, best in rows:
        if best:
            print(f"| {name} {best[2]} | {best[1][0]:.4f} m | {best[0] * 1e3:.1f} ms | {best[1][1]} | {best[0] / proven:.0f} |")
        else:
            print(f"| {name} | not within 1 cm | | | |")


if __name__ == "__main__":
    main()
