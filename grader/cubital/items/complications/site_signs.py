"""Items on the signs at a site: what each speaks for, and a note that leans on colour alone."""

from collections.abc import Mapping

from cubital.items.kinds.base import Values
from cubital.items.kinds.tabling import Column, Row, TableItem
from cubital.items.kinds.text import TextItem
from cubital.items.writing.draw import Draw

SIGNS = "From signs to complications"
COLOUR = "Where redness and blanching do not show"

LEAK, PHLEBITIS, HAEMATOMA, OCCLUSION = "leak", "phlebitis", "haematoma", "occlusion"

_COLUMNS = (
    Column(LEAK, "infiltration or extravasation"),
    Column(PHLEBITIS, "phlebitis"),
    Column(HAEMATOMA, "haematoma"),
    Column(OCCLUSION, "occlusion"),
)

# What a learner believes who puts a sign of one complication to another.
_NOT_COOL = "takes cool for warm: the fluid is colder than the skin, an inflamed vein is warm"
_NOT_CLEAR = "takes clear fluid for blood: blood firms up and is dark, clear fluid is cool"
_LEAK_IS_SOFT = "expects a blocked catheter to swell: what does not run in cannot swell"


def _row(key: str, text: str, right: str, wrong: Mapping[str, str]) -> Row:
    return Row(key, text, right, wrong)


_ROWS = (
    _row(
        "cool-and-thicker",
        "Cool and taut; this forearm is thicker than the other.",
        LEAK,
        {PHLEBITIS: _NOT_COOL, HAEMATOMA: _NOT_CLEAR, OCCLUSION: _LEAK_IS_SOFT},
    ),
    _row(
        "burns-and-blood-back",
        "Burns while it runs; the skin over the tip is raised; blood can be drawn back.",
        LEAK,
        {
            PHLEBITIS: "takes every burning for an inflamed vein: here the skin rises while it "
            "runs",
            HAEMATOMA: "takes blood that can be drawn back for blood under the skin",
            OCCLUSION: "overlooks that it runs, and where it runs to",
        },
    ),
    _row(
        "damp-dressing",
        "The dressing is damp; the skin under it is pale and cool.",
        LEAK,
        {
            PHLEBITIS: "takes any change of the skin for inflammation: that is warm",
            HAEMATOMA: "expects blood to look clear and to cool the skin",
            OCCLUSION: "takes fluid beside the catheter for fluid that cannot get out of it",
        },
    ),
    _row(
        "warm-cord",
        "Warm, and a firm cord can be felt along the vein.",
        PHLEBITIS,
        {
            LEAK: "takes anything firm for fluid: a cord along the vein is the vein itself",
            HAEMATOMA: "takes a firm cord for a lump of blood: that lies at the puncture, not "
            "along the vein",
            OCCLUSION: "takes a hard vein for a blocked catheter: whether it runs has not been "
            "tried",
        },
    ),
    _row(
        "pain-along-dark-streak",
        "On brown skin, a darker streak along the vein that hurts to the touch and is warm; it "
        "flushes well.",
        PHLEBITIS,
        {
            LEAK: "takes inflammation for redness alone: on brown skin it can be darker, and it is "
            "warm on any skin",
            HAEMATOMA: "takes a darker streak on brown skin for a bruise: it follows the vein, and "
            "it is warm",
            OCCLUSION: "overlooks that it flushes well",
        },
    ),
    _row(
        "rose-on-advance",
        "A swelling rose while the needle was advanced; nothing has been injected.",
        HAEMATOMA,
        {
            LEAK: "expects fluid where none has been given yet",
            PHLEBITIS: "expects a vein to be inflamed within seconds: that takes hours and days",
            OCCLUSION: "takes a swelling at the needle for a blocked one",
        },
    ),
    _row(
        "dark-patch-in-picture",
        "In the near-infrared picture, a dark patch grows round the puncture.",
        HAEMATOMA,
        {
            LEAK: "expects clear fluid to be dark in the picture: it hardly takes up the light",
            PHLEBITIS: "expects an inflamed vein to show as a patch",
            OCCLUSION: "takes a dark patch for blood that is held up inside the vein",
        },
    ),
    _row(
        "lump-on-thinners",
        "Ten minutes after the needle was taken out, a firm lump under the puncture, in a patient "
        "on blood thinners.",
        HAEMATOMA,
        {
            LEAK: "expects fluid after a needle through which none was given",
            PHLEBITIS: "takes a firm lump for a cord: ten minutes are too short for an "
            "inflamed vein",
            OCCLUSION: "takes a lump for a blocked catheter where none is in",
        },
    ),
    _row(
        "hard-to-flush",
        "Hard to flush; the site is soft, not swollen, and as warm as the other arm.",
        OCCLUSION,
        {
            LEAK: "takes resistance alone for a leak: nothing is swollen or cool",
            PHLEBITIS: "takes resistance for an inflamed vein: nothing is warm or hurts",
            HAEMATOMA: "takes resistance for blood outside the vein: no lump is there",
        },
    ),
    _row(
        "alarm-when-bent",
        "The pump alarms when the elbow bends; no swelling, no pain.",
        OCCLUSION,
        {
            LEAK: "takes the pump's alarm for a sign of a leak: it measures pressure in the line",
            PHLEBITIS: "takes the alarm for a sign of the vein: nothing is warm or hurts",
            HAEMATOMA: "takes the alarm for a sign of bleeding: no lump is there",
        },
    ),
)
_BY_COLUMN = {
    column.key: tuple(row.key for row in _ROWS if row.right == column.key) for column in _COLUMNS
}


def _draw_signs(draw: Draw) -> dict:
    """One sign of each complication, and one more of any."""
    one_of_each = [draw.choose(keys) for keys in _BY_COLUMN.values()]
    more = draw.choose([row.key for row in _ROWS if row.key not in one_of_each])
    return {"rows": draw.shuffled((*one_of_each, more))}


def _shown(v: Values) -> list[Row]:
    by_key = {row.key: row for row in _ROWS}
    return [by_key[key] for key in v["rows"]]


SIGNS_TABLE = TableItem(
    id="comp-signs",
    title="What each sign speaks for",
    points=2,
    section=SIGNS,
    draw_values=_draw_signs,
    ask=lambda _v: (
        "Which complication do you think of first at each of these sites? Several sites can "
        "have the same complication."
    ),
    columns=lambda _v: _COLUMNS,
    rows=_shown,
)


# ------------------------------------------------------------------------------ in own words

_RUNNING = ("sodium chloride 0.9 %", "compound sodium lactate", "glucose 5 %")


def _draw_note(draw: Draw) -> dict:
    return {
        "tone": draw.choose(("deep brown", "brown", "black")),
        "drug": draw.choose(_RUNNING),
        "hour": draw.step(8, 20, 1),
        "who": draw.choose(("an old man", "an old woman", "a young woman")),
    }


NOTE = TextItem(
    id="comp-note",
    title="A note that leans on colour",
    points=3,
    section=COLOUR,
    draw_values=_draw_note,
    ask=lambda v: (
        f"{v['drug'].capitalize()} runs into the forearm of {v['who']} with {v['tone']} skin, who "
        f"is half asleep. A colleague has written at {v['hour']:02.0f}:00: “No redness, no "
        "blanching. Near-infrared picture unchanged. Phlebitis scale 0.” In four or five "
        "sentences, tell the colleague what this note does not rule out, what you check on this "
        "arm, and what you would write instead."
    ),
    mark_scheme=(
        "Redness and blanching can be there unseen on this skin, so a sign that is not seen "
        "may still be there, and a scale that needs it grades too low; an unchanged picture "
        "rules out neither infiltration nor extravasation (1 point).",
        "Names at least three checks that hold on any skin: temperature against the other arm, "
        "firmness or a cord, swelling or girth against the other arm, pain asked for, light from "
        "the side; and looks more often, as this patient may not say (1 point).",
        "Writes what was felt and measured on both arms and what the patient said, the scale by "
        "its name with the signs, and when the site is looked at next; any sign or doubt means "
        "stop first (1 point).",
    ),
)
