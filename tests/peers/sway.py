"""A span of 300 m in wind for 60 s by SciPy's implicit solvers, timed beside the Rust code in the same run.

The peer is the chain of tests/cross/sway.py (24 elements where the Rust code has 40) in NumPy, in a wind that is the same
everywhere; the Rust code also makes gusts along the span. Tolerances are those at which the peer keeps the place of the
middle to about a centimetre.

Usage: cargo build --release -p wideberth-tests --example sway
       OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 python sway.py   (versions in requirements.txt)
"""

import importlib.util
import math
import pathlib
import platform
import subprocess
import time

import numpy
import scipy
import scipy.integrate

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = ROOT / "target" / "release" / "examples" / "sway"
SECONDS = 60.0

spec = importlib.util.spec_from_file_location("cross_sway", ROOT / "tests" / "cross" / "sway.py")
cross = importlib.util.module_from_spec(spec)
spec.loader.exec_module(cross)


def follow(method, rtol):
    chain = cross.Chain(300.0, 0.0, 300.45)
    start = chain.rest(15.0)
    size, mass = start.size, cross.MASS * chain.piece

    def change(t, state):
        wind = 15.0 + 4.0 * math.sin(2 * math.pi * 0.22 * t)
        places, speeds = state[:size].reshape(-1, 3), state[size:].reshape(-1, 3)
        return numpy.concatenate([state[size:], (chain.force(places, speeds, wind) / mass).ravel()])

    state = numpy.concatenate([start.ravel(), numpy.zeros(size)])
    times = numpy.linspace(0.0, SECONDS, 3001)
    found = scipy.integrate.solve_ivp(change, (0.0, SECONDS), state, method=method, t_eval=times, rtol=rtol, atol=rtol)
    if not found.success:
        raise RuntimeError(found.message)


def main():
    print(f"Python {platform.python_version()}, NumPy {numpy.__version__}, SciPy {scipy.__version__}")
    ours = float(subprocess.run([PROGRAM, "10"], check=True, capture_output=True, text=True).stdout.split()[0]) * 1e-9
    print("\n| contender | time | times slower |\n|---|---|---|")
    print(f"| this program, 40 elements, gusts included | {ours * 1e3:.1f} ms | |")
    for method, rtol in (("BDF", 1e-4), ("LSODA", 1e-4), ("Radau", 1e-4), ("DOP853", 1e-4)):
        started = time.perf_counter()
        follow(method, rtol)
        seconds = time.perf_counter() - started
        print(f"| solve_ivp {method}, 24 elements, {rtol:g} | {seconds:.2f} s | {seconds / ours:.0f} |", flush=True)


if __name__ == "__main__":
    main()
