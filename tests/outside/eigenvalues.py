"""The eigenvalues of the strip's own matrices by LAPACK, against those of its inverse iteration.

    eigenvalues.py WRITE_MATRICES

runs the helper program WRITE_MATRICES (write_matrices.cpp) in a fresh folder. For each of its cases the full
generalised eigenproblem K v = omega^2 M v is solved, and the four lowest omega^2 must agree.

How well they can: a Cholesky factor in double precision belongs to a stiffness that is wrong by some eps |K|, which
moves every omega^2 by up to about eps cond(K) omega_1^2, K scaled to a diagonal of ones. With cond(K) near 1e9 that
is 2e-7 of the first omega^2 (1e-4 cent), and it fades to the asked 1e-9 in the higher modes. The reference must be
better than that. So M v = mu K v is solved for the greatest mu = 1 / omega^2 (the other way round, LAPACK's error
counts from the highest frequency, and the lowest modes drown in it), and each omega^2 is then the Rayleigh quotient of
its vector in extended precision, whose error is of second order in the vector's.
"""
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
import scipy.linalg

MODES = 4
CASES = 5
ASKED = 1e-9


def read(path):
    """The eigenvalues found by the program, stiffness and mass."""
    with open(path, "rb") as file:
        unknowns = int(np.fromfile(file, np.int64, 1)[0])
        found = np.fromfile(file, np.float64, MODES)
        stiffness = np.fromfile(file, np.float64, unknowns**2).reshape(unknowns, unknowns)
        mass = np.fromfile(file, np.float64, unknowns**2).reshape(unknowns, unknowns)
        if file.read(1):
            raise SystemExit(f"{path.name}: longer than {unknowns} unknowns ask for")
    return found, stiffness, mass


def rayleigh_quotient(vector, stiffness, mass):
    vector, stiffness, mass = (array.astype(np.longdouble) for array in (vector, stiffness, mass))
    return float((vector @ (stiffness @ vector)) / (vector @ (mass @ vector)))


def reference(stiffness, mass):
    """The lowest omega^2, and the condition number of the scaled stiffness."""
    scale = 1.0 / np.sqrt(np.diag(stiffness))
    both = np.outer(scale, scale)
    count = len(scale)
    greatest = [count - MODES, count - 1]
    _, vectors = scipy.linalg.eigh(mass * both, stiffness * both, subset_by_index=greatest)
    lowest = [rayleigh_quotient(scale * vector, stiffness, mass) for vector in vectors.T[::-1]]
    return np.array(lowest), np.linalg.cond(stiffness * both)


def agrees(path):
    found, stiffness, mass = read(path)
    expected, condition = reference(stiffness, mass)
    error = found / expected - 1.0
    allowed = ASKED + np.finfo(float).eps * condition * expected[0] / expected
    good = bool(np.all(np.abs(error) <= allowed))
    print(f"{path.stem}: {len(mass)} unknowns, cond(K) {condition:.1e}", "agrees" if good else "DISAGREES")
    for mode in range(MODES):
        frequency = np.sqrt(expected[mode]) / (2.0 * np.pi)
        print(f"  mode {mode + 1}: {frequency:12.5f} Hz, "
              f"omega^2 off by {error[mode]:+.1e}, allowed {allowed[mode]:.1e}")
    return good


def main():
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([sys.argv[1], folder], check=True)
        paths = sorted(pathlib.Path(folder).glob("*.bin"))
        if len(paths) != CASES:
            raise SystemExit(f"{len(paths)} cases instead of {CASES}")
        if not all([agrees(path) for path in paths]):
            raise SystemExit(1)


if __name__ == "__main__":
    main()
