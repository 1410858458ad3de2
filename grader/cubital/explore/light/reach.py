"""What a catheter leaves in a vein by the vein's depth, as a table."""

from __future__ import annotations

from collections.abc import Sequence

from cubital import calc
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit.table import LessonTable


def reach_table(
    length_mm: float, *, insertion_angle_deg: float, depths_mm: Sequence[float]
) -> LessonTable:
    """How much of one catheter lies in the vein at each depth."""
    rows = []
    for depth in depths_mm:
        track = calc.track_length_mm(depth, insertion_angle_deg=insertion_angle_deg)
        left = calc.length_in_vein_mm(
            length_mm, near_wall_depth_mm=depth, insertion_angle_deg=insertion_angle_deg
        )
        rows.append(
            (
                measure(depth, "mm", 0),
                measure(track, "mm", 0),
                measure(left, "mm", 0) if left > 0 else "none: it ends before the vein",
                percent(left / length_mm),
            )
        )
    return LessonTable(
        caption=(
            f"A catheter {measure(length_mm, 'mm', 0)} long at "
            f"{insertion_angle_deg:g} degrees, by the depth of the vein's upper wall"
        ),
        columns=("Depth", "Way to the vein", "Left in the vein", "Share of the catheter"),
        rows=tuple(rows),
        note="Geometry of straight lines alone. Simulated, not clinically validated.",
    )
