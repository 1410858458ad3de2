"""Photon transport against the standard multi-layer algorithm in plain C, on two-layer skin."""

import math
import os
import shutil
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path
from time import thread_time

import numpy as np
from timing import by_turns, once

from cubital.calc import Layer, Medium, photon_paths, photon_run, reweighted_reflectance
from cubital.calc.light.transport.launching import Bins, Job, Scene

SOURCE = Path(__file__).with_name("standard_multilayer.c")
SKIN = (Layer(Medium(0.2, 10.0, 0.85, 1.4), 0.1), Layer(Medium(0.03, 15.0, 0.9, 1.4), 10.0))
RINGS = Bins(0.1, 100)
TURNS = 5
PLAIN_PHOTONS = 40_000  # a turn of the plain program
BATCH, BATCHES = 100, 2000  # of ours: many batches, for the variance
PHOTONS = 400_000  # a turn of the whole thing
NAN = math.nan
MEMORY = (
    "import resource, sys; from cubital.calc import *\n"
    "skin = [Layer(Medium(0.2, 10.0, 0.85, 1.4), 0.1), Layer(Medium(0.03, 15.0, 0.9, 1.4), 10.0)]\n"
    "photon_run(skin, photons=int(sys.argv[1]), seed=1, radial_bin_mm=0.1, radial_bins=100)\n"
    "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)"
)
FIRST = (
    "import time; from cubital.calc import *; start = time.perf_counter()\n"
    "photon_run([Layer(Medium(0.1, 5.0, 0.8, 1.4), 1.0)], photons=1000, seed=1, cores=1)\n"
    "print(time.perf_counter() - start)"
)


def rows() -> list[tuple[str, float, str, str]]:
    """Compare with the plain program, with fewer cores, with one absorption, and so on."""
    photon_run(SKIN, photons=1000, seed=1)  # compiles
    return [*against_plain(), *over_cores(), *of_a_sweep(), *of_memory(), *of_compiling()]


class Measured:
    """Seconds of one core and variance per photon, of the reflectance and of its rings."""

    def __init__(self) -> None:
        self.seconds, self.means, self.variances = [], [], []

    def add(self, seconds: float, means: np.ndarray, variances: np.ndarray) -> float:
        """Keep one turn; return its seconds per photon."""
        self.seconds.append(seconds)
        self.means.append(means)
        self.variances.append(variances)
        return seconds

    @property
    def variance(self) -> np.ndarray:
        """Variance per photon over all turns: first the whole reflectance, then the rings."""
        return np.mean(self.variances, axis=0)


def plain(program: str, kept: Measured) -> float:
    """Run the plain program once."""
    command = [program, str(PLAIN_PHOTONS), str(len(kept.seconds) + 1)]
    told = subprocess.run(command, check=True, capture_output=True, text=True).stdout.split()
    seconds, mean, variance, *rest = (float(number) for number in told)
    rings = np.array(rest[3:-1]).reshape(-1, 2)  # after the transmittance and two layers
    means, variances = np.r_[mean, rings[:, 0]], np.r_[variance, rings[:, 1]]
    return kept.add(seconds / PLAIN_PHOTONS, means, variances)


def ours(kept: Measured) -> float:
    """Run our core once on this thread, in many small batches."""
    scene = Scene.of(SKIN, (), 1.0, 1.0)
    job = Job.of(
        scene,
        photons=BATCH * BATCHES,
        seed=len(kept.seconds),
        beam="pencil",
        exit_angle_deg=90.0,
        rings=RINGS,
        strips=Bins(1.0, 0),
    )
    start = thread_time()
    tallies = np.array([job.batch(number, BATCH)[0] for number in range(BATCHES)])
    seconds = thread_time() - start
    columns = [0, *range(job.tally_length - RINGS.number, job.tally_length)]
    shares = tallies[:, columns] * (1 - scene.specular) / BATCH
    return kept.add(
        seconds / (BATCH * BATCHES), shares.mean(axis=0), shares.var(axis=0, ddof=1) * BATCH
    )


def against_plain() -> list[tuple[str, float, str, str]]:
    """Compare figures of merit, 1 / (variance * seconds), of the same reflectance and rings."""
    what = "reflectance at equal variance, one core"
    compiler = shutil.which("cc") or shutil.which("gcc")
    if compiler is None:
        return [(what, NAN, "no C compiler found", ">= 2.5")]
    with tempfile.TemporaryDirectory() as folder:
        program = str(Path(folder) / "standard_multilayer")
        options = ["-O3", "-march=native", "-o", program, str(SOURCE), "-lm"]
        subprocess.run([compiler, *options], check=True)
        theirs, own = Measured(), Measured()
        slow, fast = by_turns(partial(plain, program, theirs), partial(ours, own), times=TURNS)
    gain = theirs.variance * slow / (own.variance * fast)
    error = np.hypot(
        *(
            np.sqrt(each.variance[0] / (len(each.seconds) * number))
            for each, number in ((theirs, PLAIN_PHOTONS), (own, BATCH * BATCHES))
        )
    )
    apart = abs(np.mean(own.means, axis=0)[0] - np.mean(theirs.means, axis=0)[0]) / error
    over = "of the plain C program's"
    return [
        (what, gain[0], over, ">= 2.5"),
        ("rings 0 to 3 mm at equal variance, median", float(np.median(gain[1:31])), over, ""),
        ("rings 3 to 9 mm at equal variance, median", float(np.median(gain[31:91])), over, ""),
        ("photons a second, one core", slow / fast, over, ""),
        ("photons a second, one core, ours", 1 / fast, "1/s", ""),
        ("photons a second, one core, plain C", 1 / slow, "1/s", ""),
        ("variance of a photon's reflectance", own.variance[0] / theirs.variance[0], over, ""),
        ("reflectances lie apart", apart, "standard errors", "< 4"),
    ]


def over_cores() -> list[tuple[str, float, str, str]]:
    """Compare two cores with one, each at its quickest: others at work on this machine hide it."""
    what, target = "two cores", ">= 1.9"
    if len(os.sched_getaffinity(0)) < 2:
        return [(what, NAN, "this machine has one core", target)]
    run = partial(photon_run, SKIN, photons=PHOTONS // 2, seed=1)
    taken = [[once(partial(run, cores=cores)) for cores in (1, 2)] for _ in range(2 * TURNS)]
    one, two = np.min(taken, axis=0)
    return [(what, one / two, "of one core's photons a second", target)]


def of_a_sweep() -> list[tuple[str, float, str, str]]:
    """Compare a run for 50 absorptions of the epidermis with a run for one."""
    options = {"photons": PHOTONS, "seed": 1, "radial_bin_mm": 0.1, "radial_bins": 100}
    sets = np.c_[np.linspace(0.2, 4, 50), np.full(50, 0.03)]

    def sweep():
        reweighted_reflectance(photon_paths(SKIN, **options), absorptions_per_mm=sets)

    one, many = by_turns(
        partial(once, partial(photon_run, SKIN, **options)), partial(once, sweep), times=TURNS
    )
    return [("a sweep over 50 absorptions", many / one, "of one run's time", "<= 1.5")]


def printed(code: str, *arguments: str, **environment: str) -> float:
    """Run a process and return the number that it prints."""
    command = [sys.executable, "-c", code, *arguments]
    done = subprocess.run(
        command, check=True, capture_output=True, text=True, env=os.environ | environment
    )
    return float(done.stdout)


def of_memory() -> list[tuple[str, float, str, str]]:
    """Compare the largest memory of a run with that of one with ten times the photons."""
    few, many = (printed(MEMORY, str(photons)) for photons in (PHOTONS, 10 * PHOTONS))
    return [("memory for ten times the photons", many / few, "of the smaller run's", "< 1.05")]


def of_compiling() -> list[tuple[str, float, str, str]]:
    """Compare the first run of a process that compiles with that of the next process."""
    with tempfile.TemporaryDirectory() as folder:
        first, second = (printed(FIRST, NUMBA_CACHE_DIR=folder) for _ in range(2))
    return [
        ("first run with code compiled before", second / first, "of one that compiles", "< 0.5"),
        ("first run, compiling", first, "s", ""),
        ("first run, compiled before", second, "s", ""),
    ]
