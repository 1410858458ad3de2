"""A principle that nobody teaches, for the tests of how one is asked."""

from dataclasses import replace

from cubital.items.principles.vignette import Principle, Vignette, Way


def vignette(key, *, present):
    """Return a vignette with four ways: the trigger is a red lamp."""
    right = Way("wait", f"Wait at {key}.", stops=True)
    wrong = Way("cross", f"Cross at {key}.", stops=False, misconception="takes red for green")
    others = (
        Way("wait-in-road", f"Wait on the road at {key}.", True, "stops where it harms"),
        Way("turn", f"Turn back at {key}.", True, "gives up"),
    )
    if not present:
        right = replace(right, misconception="waits where the lamp is green")
        wrong = replace(wrong, misconception="")
        others = (others[0], Way("run", f"Run across at {key}.", False, "hurries"))
    return Vignette(
        key=key,
        present=present,
        story=f"At {key} the lamp is {'red' if present else 'green'}. What do you do?",
        ways=(right, wrong, *others),
        because=f"at {key} the lamp decides",
    )


LAMP = Principle(
    key="red_lamp",
    title="A red lamp",
    rule="At red one waits.",
    section="Lamps",
    pairs=(
        ("crossing-1", "crossing-4"),
        ("crossing-2", "crossing-6"),
        ("crossing-3", "crossing-5"),
    ),
    vignettes=(
        *(vignette(f"crossing-{number}", present=True) for number in range(1, 7)),
        *(vignette(f"bridge-{number}", present=False) for number in range(1, 4)),
    ),
)
