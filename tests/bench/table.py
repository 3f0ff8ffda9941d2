#!/usr/bin/python3
"""One table of how long things take, the same work by others beside it, and how the cost grows.

    table.py BUILD

runs the benchmarks of the build folder, the program as a whole process, SciPy on the strip's own matrices and CalculiX
on a solid, one after another. Times are on the clock, medians; a ratio is over the first line of its part.
"""
import datetime
import json
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ[threads] = "1"  # the strip is solved on one, too; must be said before NumPy is loaded

import numpy as np
import scipy.linalg
import scipy.sparse
import scipy.sparse.linalg

UNITS = {"ns": 1e-9, "us": 1e-6, "ms": 1e-3, "s": 1.0}
DESIGNS = pathlib.Path(__file__).parents[2] / "designs"
TONGUE = str(DESIGNS / "01_three_tongues" / "brass_a4.yaml")
TEN_HOLE = str(DESIGNS / "03_ten_hole_brass" / "equal.yaml")


def benchmarks(build, name, wanted=".*", repetitions=5):
    """Median seconds, or what the counter `tongues` says of its rate, by the benchmark's name."""
    command = [build / name, f"--benchmark_filter={wanted}", "--benchmark_format=json", "--benchmark_min_time=0.2",
               f"--benchmark_repetitions={repetitions}", "--benchmark_enable_random_interleaving=true"]
    rows = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)["benchmarks"]
    found = {}
    for row in rows:
        if row.get("run_type") == "iteration":
            seconds = 1.0 / row["tongues"] if "tongues" in row else row["real_time"] * UNITS[row["time_unit"]]
            label = row.get("label", "")
            found.setdefault(row["run_name"] + (f" {label}" if label else ""), []).append(seconds)
    return {key: statistics.median(values) for key, values in found.items()}


def clocked(work, least_runs=5, least_seconds=0.5):
    runs = []
    while len(runs) < least_runs or sum(runs) < least_seconds:
        start = time.perf_counter()
        work()
        runs.append(time.perf_counter() - start)
    return statistics.median(runs)


def process(program, *arguments, runs=7):
    """Median seconds and the greatest resident size in MB of the program as a whole process."""
    seconds, megabytes = [], 0.0
    for _ in range(runs):
        start = time.perf_counter()
        child = subprocess.Popen([program, *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        _, status, usage = os.wait4(child.pid, 0)
        seconds.append(time.perf_counter() - start)
        if status != 0:
            raise SystemExit(f"reedwright {' '.join(arguments)} failed")
        megabytes = max(megabytes, usage.ru_maxrss / 1024.0)
    return statistics.median(seconds), megabytes


def said(seconds):
    for unit, size in (("s", 1.0), ("ms", 1e-3), ("us", 1e-6), ("ns", 1e-9)):
        if seconds >= size or unit == "ns":
            return f"{seconds / size:.3g} {unit}"


def part(title, rows):
    print(f"\n{title}")
    first = rows[0][1]
    for what, seconds, *rest in rows:
        ratio = seconds / first
        ratio = f"{ratio:.0f}" if ratio >= 100 else f"{ratio:.2g}"
        print(f"  {what:<58} {said(seconds):>9} {ratio:>8}" + "".join(f"   {text}" for text in rest))


def growth(found, start):
    """A row for each size, the smallest first."""
    sizes = {int(name.split("/")[1]): seconds for name, seconds in found.items() if name.startswith(start)}
    return [(str(size), sizes[size]) for size in sorted(sizes)]


def others_on_the_same_matrices(build):
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([build / "write_matrices", folder], check=True)
        with open(pathlib.Path(folder) / "flapping.bin", "rb") as file:
            unknowns = int(np.fromfile(file, np.int64, 1)[0])
            lowest = np.fromfile(file, np.float64, 4)[0]
            stiffness = np.fromfile(file, np.float64, unknowns**2).reshape(unknowns, unknowns)
            mass = np.fromfile(file, np.float64, unknowns**2).reshape(unknowns, unknowns)
    sparse = [scipy.sparse.csc_matrix(matrix) for matrix in (stiffness, mass)]

    def dense_answer():
        return scipy.linalg.eigh(stiffness, mass, subset_by_index=[0, 0])[0][0]

    def sparse_answer():
        return scipy.sparse.linalg.eigsh(sparse[0], 1, sparse[1], sigma=0.0)[0][0]

    for answer in (dense_answer, sparse_answer):
        if abs(answer() / lowest - 1.0) > 1e-3:  # the dense one loses digits: its error counts from the highest mode
            raise SystemExit(f"SciPy finds omega^2 {answer()}, the strip {lowest}")
    return unknowns, [("SciPy eigh on its matrices, dense LAPACK, lowest mode", clocked(dense_answer)),
                      ("SciPy eigsh on its matrices, sparse, shifted and inverted", clocked(sparse_answer))]


def main():
    build = pathlib.Path(sys.argv[1]).resolve()
    program = str(build / "reedwright")
    model = next((line.split(":", 1)[1].strip() for line in open("/proc/cpuinfo") if line.startswith("model name")), "?")
    print(f"{model}, {os.cpu_count()} processors, load {os.getloadavg()[0]:.1f} before; {datetime.date.today()}")
    print(f"\n{'what':<60} {'time':>9} {'ratio':>8}")

    strip = benchmarks(build, "vibration_bench")
    one = [("pitch of a tongue of 2 stations, strip tier", strip["pitch/strip_2_stations"]),
           ("with all derivatives", strip["pitch_with_derivatives/strip_2_stations"]),
           ("pitch of a tongue of 5 stations", strip["pitch/strip_5_stations"]),
           ("with all derivatives", strip["pitch_with_derivatives/strip_5_stations"]),
           ("beam tier, 2 stations", strip["pitch/beam_2_stations"]),
           ("depth of a cut for 12 cents", strip["inverse_cut/strip"]),
           ("reedwright pitch FILE, a whole process", process(program, "pitch", TONGUE, runs=25)[0])]
    if (build / "solid_bench").exists():
        solid = benchmarks(build, "solid_bench", repetitions=3)
        one.append(("solid of 20-node bricks in CalculiX, first modes", next(iter(solid.values()))))
    part("One tongue", one)

    unknowns, others = others_on_the_same_matrices(build)
    part(f"The same {unknowns} unknowns", [("meshed, assembled and solved here", strip["strip_that_others_solve"]), *others])

    # What is needed of an element of 24 unknowns, of which 16 are its own.
    counted = (("factorise", "factor", sum(below * (below + 2) for below in range(8, 24))),
               ("factor_solve", "solve with the factor", sum(4 * below + 2 for below in range(8, 24))),
               ("mass_times_shape", "product with the mass", 2 * 24**2))
    part("Arithmetic of a solve, 16 elements and 1: multiplications and additions a second",
         [(f"{what}, {elements} element{'s' if elements > 1 else ''}", strip[f"{name}/elements:{elements}"],
           f"{elements * operations / strip[f'{name}/elements:{elements}'] / 1e9:.1f} thousand million")
          for name, what, operations in counted for elements in (16, 1)])

    wind = benchmarks(build, "wind_bench", "one_blow/Pa:500")
    plan = benchmarks(build, "plan_bench", repetitions=3)
    retune = benchmarks(build, "retune_bench", "twenty_reeds_from_readings", 3)
    scatter = benchmarks(build, "scatter_bench", "^scatter", 3)
    with tempfile.TemporaryDirectory() as folder:
        shop = process(program, "shop", TEN_HOLE, "--out", folder + "/set", "--replace", runs=3)[0]
    work = [("plan of a ten-hole, 20 tongues from their notes", plan["plan_of_ten_holes/real_time"]),
            ("readings of 20 reeds to cuts", next(iter(retune.values()))),
            ("blown at 500 Pa until its cycles repeat", next(iter(wind.values()))),
            ("reedwright shop of the ten-hole, 83 files, a whole process", shop)]
    part("An instrument", work)

    part("Scatter, one tongue of a million", sorted(
        ((f"{name.split(' ')[-1]}, {'1 thread' if 'threads:1' in name else '2 threads'}", seconds,
          f"{1e-6 / seconds:.1f} million/s") for name, seconds in scatter.items()), key=lambda row: -row[1]))

    part("Stations of a taper", growth(strip, "stations/"))
    part("Reeds of a plan", growth(plan, "plan_of_reeds/"))
    samples = []
    for exponent in range(3, 8):
        seconds, megabytes = process(program, "scatter", TONGUE, "--samples", f"1e{exponent}", runs=3)
        samples.append((f"1e{exponent}", seconds, f"{megabytes:.0f} MB at most"))
    part("Samples of a scatter, whole processes", samples)
    print(f"\nload {os.getloadavg()[0]:.1f} after")


if __name__ == "__main__":
    main()
