"""The item on movements: what nearer, farther, tilt, turn and a lamp each change."""

from cubital.items.kinds.base import Values
from cubital.items.kinds.tabling import Column, Row, TableItem
from cubital.items.writing.draw import Draw

TILT = "Tilt and turn"

ALL_OVER, ONE_END, DIRECTION, STANDING_OUT = "all-over", "one-end", "direction", "standing-out"
_COLUMNS = (
    Column(ALL_OVER, "Sharpness, size and shift, the same all over the picture"),
    Column(ONE_END, "Sharpness, size and shift, one end against the other"),
    Column(DIRECTION, "Only the direction of a shift"),
    Column(STANDING_OUT, "Only how well the line stands out"),
)

_ROWS = (
    Row(
        "drift-away",
        "The hand drifts 12 mm away, square to the skin.",
        ALL_OVER,
        {
            ONE_END: "takes a wrong distance for a tilt: square to the skin, both ends go along",
            DIRECTION: (
                "thinks of a turn: when the distance changes, the size of the shift changes too"
            ),
            STANDING_OUT: "counts the light only, which thins out: the line moves as well",
        },
    ),
    Row(
        "sink-nearer",
        "The stand sinks by 8 mm and stays level.",
        ALL_OVER,
        {
            ONE_END: "expects a tilt where the whole device has come nearer",
            DIRECTION: "thinks of a turn: the device has come nearer, which changes size and shift",
            STANDING_OUT: "counts the stronger light only: size and line change as well",
        },
    ),
    Row(
        "pillow-gone",
        "Without its pillow the arm lies 15 mm lower, level.",
        ALL_OVER,
        {
            ONE_END: "takes an arm that lies lower for one that slopes",
            DIRECTION: "takes a change of distance for a turn: nothing has been turned",
            STANDING_OUT: "trusts the setting of the device: it was made for the arm where it lay",
        },
    ),
    Row(
        "wrist-dropped",
        "The wrist hangs down, and the skin slopes.",
        ONE_END,
        {
            ALL_OVER: "takes a slope for a wrong distance: the middle is still right",
            DIRECTION: "takes a tilt for a turn: a slope brings one end nearer, a turn does not",
            STANDING_OUT: "counts the light only, which a slope spreads over more skin",
        },
    ),
    Row(
        "device-dipped",
        "The front of the device dips by 20 degrees.",
        ONE_END,
        {
            ALL_OVER: "expects both ends to go the same way: one is too near, the other too far",
            DIRECTION: "takes a dip for a turn about the line along which the device looks",
            STANDING_OUT: "expects a dip to change the light only: it uses up the window",
        },
    ),
    Row(
        "quarter-turn",
        "A quarter turn about the line the device looks along.",
        DIRECTION,
        {
            ALL_OVER: "expects a turn to mend or spoil the size of the shift: it stays",
            ONE_END: "takes a turn for a tilt: turned, the device stays square to the skin",
            STANDING_OUT: "takes a line that falls on the vein now for one that is better seen: "
            "the shift lies along the vein",
        },
    ),
    Row(
        "other-side",
        "Half a turn, to hold it from the bed's other side.",
        DIRECTION,
        {
            ALL_OVER: "expects another side to change distance or size: both are as before",
            ONE_END: "expects a slope where the device has only been turned",
            STANDING_OUT: "forgets that the shift goes round with the device, to the other side of "
            "the vein",
        },
    ),
    Row(
        "lamp-on",
        "A procedure lamp is switched on over the arm.",
        STANDING_OUT,
        {
            ALL_OVER: "takes a faint line for one out of focus or out of place: the lamp moves "
            "nothing",
            ONE_END: "expects the lamp's side of the picture to go out of focus",
            DIRECTION: "expects light to move the line",
        },
    ),
    Row(
        "blinds-up",
        "The blinds go up on a bright day.",
        STANDING_OUT,
        {
            ALL_OVER: "refocuses where the room is too bright: distance and sharpness are as "
            "before",
            ONE_END: "expects daylight from one side to shift that side of the picture",
            DIRECTION: "takes a line that is harder to see for one that has moved",
        },
    ),
)


def _draw_rows(draw: Draw) -> dict:
    """One row for each column and one more, in an order of the learner's own."""
    keys = [
        draw.choose([row.key for row in _ROWS if row.right == column.key]) for column in _COLUMNS
    ]
    keys.append(draw.choose([row.key for row in _ROWS if row.key not in keys]))
    return {"rows": draw.shuffled(keys)}


def _rows(v: Values) -> list[Row]:
    by_key = {row.key: row for row in _ROWS}
    return [by_key[key] for key in v["rows"]]


MOVEMENTS = TableItem(
    id="focal-movements",
    title="What changes, and where",
    points=2,
    section=TILT,
    draw_values=_draw_rows,
    ask=lambda _v: (
        "A device is held over flat skin, square to it and 10 mm too far. Its line is sharp "
        "and falls about 1 mm beside its vein: that is the shift. Then one of these things "
        "happens. What does it change? In a slope or a dip, the middle of the picture stays "
        "at its distance. Do not count that light weakens with distance. Two rows may have "
        "the same answer."
    ),
    columns=lambda _v: _COLUMNS,
    rows=_rows,
)
