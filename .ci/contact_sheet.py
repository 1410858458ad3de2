"""Make the contact sheet of simulated scenes: 36 plain frames, and a page that says what they are.

    .venv/bin/python .ci/contact_sheet.py

Writes ``assets/docs/contact-sheet.png`` and ``.md`` and their check sums into ``generated.toml``.
Each frame is shown at half its size, four picture elements as their mean. Half a minute.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import generated
import numpy as np
from PIL import Image

from cubital.scene import NOTICE
from cubital.scene.anatomy import surface
from cubital.scene.anatomy.person import anatomy
from cubital.scene.anatomy.vessels import Camera, Scene, Skin, View
from cubital.scene.happening import events, series
from cubital.scene.light import picture
from cubital.scene.truth import difficulty
from cubital.scene.truth import truth as truths

DOCS = Path(__file__).resolve().parents[1] / "assets" / "docs"
COMMAND = ".venv/bin/python .ci/contact_sheet.py"
NAME = "contact-sheet"
COLUMNS = 6
HAND = "back-of-hand"
HALF = 2
PALE, MIDDLE, DARK = 0.02, 0.08, 0.3
FRAMES = 40
EVENTS = {
    "refill": "a vein stroked empty up to a valve, and held so",
    "flush": "clear fluid flushed through a catheter",
    "roll": "a vein that rolls aside when touched",
    "infiltration": "fluid runs in beside the vein",
    "infiltration-unseen": "fluid runs in beside the vein, and no frame shows it",
    "haematoma": "blood gathers beside the vein",
    "nothing": "nothing happens",
}
SEEDS = {
    "refill": 8,
    "flush": 6,
    "infiltration": 6,
    "roll": 3,
    "haematoma": 3,
}  # of events that show well


class Shown(NamedTuple):
    """One frame of the sheet and what the page says of it."""

    words: str
    scene: Scene
    frame: np.ndarray


def still(words: str, scene: Scene) -> Shown:
    """Take one picture."""
    return Shown(words, scene, picture.frame(scene))


def person(site: str, seed: int, age: str | None = None, **skin: float) -> Scene:
    """Draw a person of a site; a small limb is seen from nearer by."""
    who = anatomy(site, seed=seed, age_group=age)
    view = difficulty.fitting(View(), site, who.age_group)
    of = Skin(**{"melanin_fraction": MIDDLE, **skin})
    shown = surface.drawn(
        site, who.age_group, who.limb, seed=seed, melanin_fraction=of.melanin_fraction
    )
    return Scene(who, of, view, seed=seed, surface=shown)


def stills() -> Iterator[Shown]:
    """Sites, ages and skins, then one arm seen in several ways."""
    arm = person("forearm", 3)
    for words, share in (("pale", PALE), ("medium", MIDDLE), ("dark", DARK)):
        yield still(
            f"adult's forearm, {words} skin",
            replace(arm, skin=replace(arm.skin, melanin_fraction=share)),
        )
    yield still("child's forearm", person("forearm", 11, "child"))
    yield still("infant's forearm", person("forearm", 12, "infant"))
    yield still("adult's back of the hand", person("back-of-hand", 5))
    yield still("child's back of the hand", person("back-of-hand", 13, "child"))
    yield still("adult's elbow crease", person("elbow-crease", 6))
    yield still("child's elbow crease", person("elbow-crease", 14, "child"))
    yield still("infant's foot", person("foot-of-infant", 7))
    hairy = replace(arm, skin=replace(arm.skin, hairs_per_cm2=6.0))
    yield still("the first arm, with hair", hairy)
    near = replace(hairy, camera=Camera(focus_mm=100.0))
    yield still("the same, focused too near", near)
    tilted = View(tilt_deg=35.0, tilt_towards_deg=90.0)
    yield still("the first arm, camera tilted", replace(arm, view=tilted))
    yield still("the first arm, bright room", replace(arm, view=View(room_light_share=0.7)))
    moving = Camera(motion_px=14.0, motion_deg=20.0)
    yield still("the first arm, moved during the exposure", replace(arm, camera=moving))
    yield still("difficult: a vein of difficulty 0.7", difficulty.scene_of(0.7, seed=4))
    seen = difficulty.scene_of(0.45, seed=5, site="elbow-crease", kind="artery")
    yield still("with a superficial artery, which looks like a vein", seen)


def surfaces() -> Iterator[Shown]:
    """What the skin itself shows, by site and age."""
    yield still("creases of an adult's elbow, across a vein", person("elbow-crease", 2))
    yield still("creases of an infant's elbow", person("elbow-crease", 3, "infant"))
    yield still("tendons of the back of the hand, creases of its knuckles", person(HAND, 9))
    yield still("tendons, and the crease of the wrist across a vein", person(HAND, 7))
    yield still("the fold of an infant's forearm", person("forearm", 7, "infant"))
    yield still("creases of an infant's ankle", person("foot-of-infant", 2))
    yield still("a mole beside a vein", person("forearm", 5))
    yield still("the same mole in dark skin", person("forearm", 5, melanin_fraction=DARK))
    yield still("an old scar, lighter than the skin", person("forearm", 0))
    yield still("glare of moist skin", person("forearm", 17))
    yield still("glare beside tendons", person(HAND, 39))
    yield still("a child's mole", person("elbow-crease", 28, "child"))


def on_skin(scene: Scene) -> str:
    """Say what the skin of a scene shows."""
    kinds = Counter(line.kind for line in scene.surface)
    return ", ".join(f"{n} {kind}{'s' * (n > 1)}" for kind, n in kinds.items()) or "nothing"


def happening() -> Iterator[Shown]:
    """Give one late frame of each event."""
    for kind, words in EVENTS.items():
        seed = SEEDS.get(kind, 1)
        scene = difficulty.scene_of(0.2, seed=seed, site="forearm", age_group="adult")
        scene = replace(scene, skin=replace(scene.skin, melanin_fraction=MIDDLE))
        event = events.drawn(kind, scene, seed=seed)
        found = series.series(event, scene, frames=FRAMES)
        onset = found.events[0].onset_frame
        number = FRAMES - 1 if onset is None or kind.startswith(("i", "h")) else onset + 6
        number = min(number, FRAMES - 1)
        yield Shown(f"frame {number + 1} of a series: {words}", scene, found.frames[number])


def sheet(frames: list[np.ndarray]) -> np.ndarray:
    """Lay frames side by side at half their size."""
    height, width = (side // HALF for side in frames[0].shape)
    small = [
        frame.reshape(height, HALF, width, HALF).mean(axis=(1, 3)).round().astype(np.uint8)
        for frame in frames
    ]
    rows = [np.hstack(small[at : at + COLUMNS]) for at in range(0, len(small), COLUMNS)]
    return np.vstack(rows)


def page(shown: list[Shown]) -> str:
    """Say what each frame is."""
    lines = [
        "# Contact sheet of simulated scenes",
        "",
        f"Every picture is {NOTICE}: no person was seen by any camera. Made by `{COMMAND}`.",
        "",
        f"![{len(shown)} grey frames of simulated skin with dark bands, {COLUMNS} to a row; "
        f"the table says what each is]({NAME}.png)",
        "",
        "Difficulty is that of the vein seen best, from 0 to 1, and contrast its darkness over the "
        "noise. Melanin is the melanin fraction of the epidermis. On the skin is what is no "
        "vessel; some of it may lie outside the picture.",
        "",
        "| row, place | what | site | age | melanin | on the skin | difficulty "
        "| contrast over noise |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for at, one in enumerate(shown):
        found = difficulty.measure(one.scene, truth=truths.truth(one.scene))
        who, place = one.scene.anatomy, f"{at // COLUMNS + 1}, {at % COLUMNS + 1}"
        cells = (
            place,
            one.words,
            who.site,
            who.age_group,
            f"{one.scene.skin.melanin_fraction:.2f}",
            on_skin(one.scene),
            f"{found.level:.2f}",
            f"{found.contrast_to_noise:.1f}",
        )
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines) + "\n"


def main() -> None:
    """Make the sheet and its page."""
    shown = [*stills(), *surfaces(), *happening()]
    picture_file, page_file = DOCS / f"{NAME}.png", DOCS / f"{NAME}.md"
    Image.fromarray(sheet([one.frame for one in shown])).save(picture_file, optimize=True)
    page_file.write_text(page(shown), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [picture_file, page_file], folder=DOCS)


if __name__ == "__main__":
    main()
