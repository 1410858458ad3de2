"""What light does, by photon transport: how veins show through skin."""

import argparse
import csv
import math
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cubital.cli.commands import Subcommands, add_command

if TYPE_CHECKING:  # what computes is loaded on use
    from cubital.calc.light.media import Layer, Medium
    from cubital.calc.light.transport.shadows import Shadows

FIELDS = (
    "depth_mm",
    "diameter_mm",
    "contrast",
    "contrast_se",
    "width_mm",
    "width_se_mm",
    "followed_contrast",
    "followed_se",
    "background",
    "background_se",
    "exit_angle_deg",
    "photons",
    "seed",
)
Row = tuple[Any, ...]  # a number for each of `FIELDS`
COEFFICIENTS = ("ABSORPTION", "SCATTERING", "ANISOTROPY", "INDEX")


def add_commands(commands: Subcommands) -> None:
    """Add ``visibility``."""
    command = add_command(
        commands,
        "visibility",
        _visibility,
        "compute how dark and how wide veins look under skin, with standard errors",
    )
    command.add_argument(
        "--layer",
        nargs=5,
        type=float,
        action="append",
        required=True,
        metavar=(*COEFFICIENTS, "THICKNESS"),
        help="a layer, from the surface down: coefficients per mm, thickness in mm, the last one's "
        "may be inf; give it again for each layer",
    )
    command.add_argument(
        "--vein",
        nargs="+",
        type=float,
        required=True,
        metavar="COEFFICIENT",
        help="what is in the vein: its absorption per mm alone, if it scatters as the first layer, "
        "or absorption, scattering, anisotropy and index",
    )
    command.add_argument(
        "--depth", nargs="+", type=float, required=True, help="depths of the upper wall in mm"
    )
    command.add_argument(
        "--diameter", nargs="+", type=float, required=True, help="inner diameters in mm"
    )
    command.add_argument(
        "--exit-angle",
        type=float,
        default=90,
        metavar="DEGREES",
        help="largest angle from the normal, in air, at which light that leaves counts "
        "(default: 90, all of it)",
    )
    command.add_argument(
        "--photons", type=int, default=200_000, help="photons to follow (default: 200000)"
    )
    command.add_argument("--seed", type=int, default=1, help="fixes all chance (default: 1)")
    command.add_argument(
        "--follow",
        action="store_true",
        help="also follow as many photons through each vein itself, one run for each: slower, "
        "less sure, and with the vein's own index",
    )
    command.add_argument("--csv", type=Path, help="also write the table to a file; - for output")


def _visibility(given: argparse.Namespace) -> int:
    from cubital.calc.light.media import Layer, Medium, Vein  # noqa: PLC0415
    from cubital.calc.light.transport import shadows  # noqa: PLC0415 - on use: the command starts quickly

    layers = [Layer(Medium(*row[:-1]), row[-1]) for row in given.layer]
    if len(given.vein) not in (1, len(COEFFICIENTS)):
        raise ValueError(
            f"the vein has {len(given.vein)} coefficients: give its absorption alone, "
            "or absorption, scattering, anisotropy and index"
        )
    vein = Medium(*given.vein, *layers[0].medium[len(given.vein) :])
    job = {
        "photons": given.photons,
        "seed": given.seed,
        "exit_angle_deg": given.exit_angle,
        "progress": _tell,
    }
    found = shadows.vein_shadows(
        layers, vein_medium=vein, depths_mm=given.depth, diameters_mm=given.diameter, **job
    )
    rows: list[Row] = []
    for shadow in found.shadows:
        followed: tuple[Any, Any] = (math.nan, math.nan)
        if given.follow:
            place = Vein(vein, shadow.depth_mm, shadow.diameter_mm)
            followed = shadows.followed_contrast(layers, vein=place, **job)
        rows.append(
            (
                shadow.depth_mm,
                shadow.diameter_mm,
                *shadow.contrast,
                *shadow.width_mm,
                *followed,
                *found.background,
                found.exit_angle_deg,
                found.photons,
                found.seed,
            )
        )
    if str(given.csv) != "-":
        _print(layers, vein, found, rows)
    if given.csv is not None:
        _write_csv(given.csv, rows)
    return 0


def _tell(done: int, total: int) -> None:
    """Show progress where somebody watches."""
    if sys.stderr.isatty():
        end = "" if done < total else "\r    \r"
        print(f"\r{done / total:4.0%}", end=end, file=sys.stderr, flush=True)


def _print(
    layers: "Sequence[Layer]", vein: "Medium", found: "Shadows", rows: Sequence[Row]
) -> None:
    """Print what was asked, what counts, and the table."""
    print(
        "Light: broad and even, straight down on flat skin. What the surface mirrors is left out."
    )
    print(
        f"Counts: light that leaves within {found.exit_angle_deg:g} degrees of the normal, in air."
    )
    for number, layer in enumerate(layers, start=1):
        print(f"Layer {number}: {_coefficients(layer.medium)}, {layer.thickness_mm:g} mm thick.")
    print(f"Vein: {_coefficients(vein)}; straight, level, one at a time.")
    if any(layer.medium.refractive_index != vein.refractive_index for layer in layers):
        print("The vein's index is taken as that of its surroundings; --follow has its own.")
    print(f"Photons: {found.photons:,}; seed {found.seed}. After +- stand standard errors.")
    print("Contrast: (background - darkest) / background. Width: full width at half of it.")
    print("Depth: to the upper wall. Simulated, not clinically validated.")
    value, error = found.background
    print(f"Background: {value:.5f} +- {error:.5f} of the light that falls on the skin.")
    if found.lost_share:
        print(f"Paths too long to follow to their end: {found.lost_share:.2%} of the photons.")
    print()
    has_followed = not all(math.isnan(row[6]) for row in rows)
    heads = ["depth mm", "diameter mm", "contrast +- error", "width mm +- error"]
    if has_followed:
        heads.append("followed through the vein +- error")
    lines = []
    for row in rows:
        cells = [f"{row[0]:g}", f"{row[1]:g}", f"{row[2]:.5f} +- {row[3]:.5f}"]
        cells.append("-" if math.isnan(row[4]) else f"{row[4]:.3f} +- {row[5]:.3f}")
        if has_followed:
            cells.append(f"{row[6]:.5f} +- {row[7]:.5f}")
        lines.append(cells)
    widths = [max(map(len, column)) for column in zip(heads, *lines, strict=True)]
    for line in (heads, *lines):
        print("  ".join(cell.rjust(width) for cell, width in zip(line, widths, strict=True)))


def _coefficients(medium: "Medium") -> str:
    return (
        f"absorption {medium.absorption_per_mm:g}/mm, scattering {medium.scattering_per_mm:g}/mm, "
        f"anisotropy {medium.anisotropy:g}, index {medium.refractive_index:g}"
    )


def _write_csv(path: Path, rows: Sequence[Row]) -> None:
    """Write the table with a heading, all digits, nothing for what is not known."""
    cells = [["" if math.isnan(value) else value for value in row] for row in rows]
    if str(path) == "-":
        csv.writer(sys.stdout, lineterminator="\n").writerows([FIELDS, *cells])
        return
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows([FIELDS, *cells])
