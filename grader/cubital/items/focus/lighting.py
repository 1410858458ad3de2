"""Items on a projected picture in the light of a room: how bright, how large, and the lamp."""

from cubital import calc
from cubital.items.focus.focusing import assumed, device, figures, working_mm
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import ordered, with_wrong

ROOM = "Room light and size of the picture"

# ------------------------------------------------------------------------- light over an area


def _draw_projector(draw: Draw) -> dict:
    width = draw.step(110, 170, 5)
    return {
        "device": figures(draw),
        "light_output_lm": draw.step(11, 24, 1),
        "picture_width_mm": width,
        "picture_height_mm": width - draw.step(20, 50, 5),
    }


def _light(v: Values, width_mm: float, height_mm: float) -> float:
    return calc.picture_illuminance_lx(
        v["light_output_lm"], picture_width_mm=width_mm, picture_height_mm=height_mm
    )


def _illuminance(v: Values) -> float:
    return _light(v, v["picture_width_mm"], v["picture_height_mm"])


_MM_PER_M = 1000  # exact
_CM2_PER_M2 = 10_000  # exact
_TAKEN_FOR_IT = 100  # the slip: centimetres in a metre, not square ones


def _own_size(v: Values) -> float:
    return _light(v, device(v).picture_width_mm, device(v).picture_height_mm)


ILLUMINANCE = NumberItem(
    id="focal-illuminance",
    version=3,
    title="Optional: how bright is another projector's picture",
    optional=True,
    points=2,
    section=ROOM,
    draw_values=_draw_projector,
    ask=lambda v: (
        "The department is offered another projector on trial. Its sheet states "
        f"{v['light_output_lm']:.0f} lumens and, at its working distance, a picture of "
        f"{v['picture_width_mm']:.0f} by {v['picture_height_mm']:.0f} mm. How much light falls on "
        "the skin where its picture is lit? Whole lux will do."
    ),
    unit="lx",
    quantity="answered_light_lx",
    example="250 lx",
    answer=_illuminance,
    relative_tolerance=0.015,
    slips=(
        Slip(
            "size-left-out",
            "the size of our own device's picture is taken: use this picture's area",
            _own_size,
        ),
        Slip(
            "width-for-area",
            "the light is divided by the width alone: divide by the area",
            lambda v: _light(v, v["picture_width_mm"], _MM_PER_M),
        ),
        Slip(
            "square-for-rectangle",
            "the picture is taken for a square: multiply its width by its height",
            lambda v: _light(v, v["picture_width_mm"], v["picture_width_mm"]),
        ),
        Slip(
            "hundred-for-ten-thousand",
            "100 square centimetres are taken for a square metre: use 10,000",
            lambda v: _illuminance(v) * _TAKEN_FOR_IT / _CM2_PER_M2,
        ),
    ),
    route=lambda v: (
        f"{v['light_output_lm']:.0f} lm / ({v['picture_width_mm'] / _MM_PER_M:g} m × "
        f"{v['picture_height_mm'] / _MM_PER_M:g} m) = {_illuminance(v):,.0f} lx"
    ),
)


# ------------------------------------------------------------------ a larger or smaller picture


def _own_light(v: Values) -> float:
    return calc.picture_illuminance_lx(
        device(v).light_output_lm,
        picture_width_mm=device(v).picture_width_mm,
        picture_height_mm=device(v).picture_height_mm,
    )


def _shrunk(v: Values) -> float:
    return device(v).picture_width_mm / v["picture_width_mm"]


def _needed() -> float:
    return assumed().weber_needed


def _limit(projected_lx: float) -> float:
    return calc.room_light_limit_lx(projected_lx, weber_needed=_needed())


def _resized(v: Values) -> float:
    return _own_light(v) * _shrunk(v) ** 2


_SMALLER, _LARGER = (0.62, 0.83), (1.25, 1.88)  # of the device's own picture


def _draw_size(draw: Draw) -> dict:
    own = figures(draw)
    wide = own["picture_width_mm"]
    smaller, larger = (
        draw.step(2 * round(wide * low / 2), 2 * round(wide * high / 2), 2)
        for low, high in (_SMALLER, _LARGER)
    )
    return {"device": own, "picture_width_mm": draw.choose((smaller, larger, larger))}


ROOM_LIMIT = NumberItem(
    id="focal-room-limit",
    version=3,
    title="How bright may the room be",
    points=2,
    section=ROOM,
    draw_values=_draw_size,
    ask=lambda v: (
        f"Our device puts {_own_light(v):,.0f} lx on the skin when its picture is "
        f"{device(v).picture_width_mm:.0f} mm wide, along the long side. You make the long "
        f"side {v['picture_width_mm']:.0f} mm, in the same shape and with the same lumens. "
        "This course calls a picture easily seen as long as picture light ÷ room light is at "
        f"least {_needed():g}. Up to what room light is this one easily seen? Whole lux will "
        "do."
    ),
    unit="lx",
    quantity="answered_light_lx",
    example="250 lx",
    answer=lambda v: _limit(_resized(v)),
    relative_tolerance=0.015,
    slips=(
        Slip(
            "size-left-out",
            "the light is left as it was: spread it over the new area",
            lambda v: _limit(_own_light(v)),
        ),
        Slip(
            "width-for-area",
            "the light is changed with the width: change it with the area, the square of the width",
            lambda v: _limit(_own_light(v) * _shrunk(v)),
        ),
        Slip(
            "picture-for-room-light",
            "the light of the picture is given: divide it by the ratio that is needed",
            _resized,
        ),
    ),
    route=lambda v: (
        f"{_own_light(v):,.0f} lx × ({device(v).picture_width_mm:.0f} / "
        f"{v['picture_width_mm']:.0f})² = {_resized(v):,.0f} lx; {_resized(v):,.0f} lx / "
        f"{_needed():g} = {_limit(_resized(v)):,.0f} lx"
    ),
)


# ------------------------------------------------------------------------------ under the lamp

_LAMP_LX = tuple(range(12_000, 32_000, 2_000))  # procedure lamps, as in focus/room-light.csv
_HARDLY = 0.2  # of the lamp's light: far less than what makes a picture easily seen


def _draw_lamp(draw: Draw) -> dict:
    wrong = ("no-vein", "larger", "half-distance", "tighter", "eyes-adapt", "low-ratio")
    own = {"device": figures(draw)}
    return own | {
        "room_light_lx": draw.choose([lx for lx in _LAMP_LX if _own_light(own) < _HARDLY * lx]),
        "place": draw.choose(("left forearm", "right forearm", "back of the left hand")),
        "order": with_wrong(draw, "turn-away", wrong),
    }


def _lamp_options(v: Values) -> list[Option]:
    ratio = calc.picture_contrast(_own_light(v), room_lx=v["room_light_lx"]).weber
    return ordered(
        v,
        (
            "turn-away",
            "Turn the lamp away and look again. If no line shows then, that is still no proof: "
            "feel for a vein.",
        ),
        {
            "no-vein": (
                f"Leave the {v['place']}: a vein that does not show under so much light is not "
                "there.",
                "takes a missing line for a missing vein: lamplight hides the picture, it does "
                "not help it",
            ),
            "larger": (
                f"Make the picture {2 * device(v).picture_width_mm:.0f} mm wide, to cover more of "
                "the arm. If no line shows then, feel for a vein there.",
                "makes the picture fainter still: twice the width leaves a quarter of the light",
            ),
            "half-distance": (
                f"Bring the device to {working_mm(v) / 2:.0f} mm, where its light is four times as "
                "strong. No line even there is no proof: feel for a vein.",
                "gains light but loses sharpness and place: half the working distance is far "
                "outside the window, and the line would fall far beside the vein",
            ),
            "tighter": (
                "Tighten the tourniquet until the vein stands out enough to show. If it does not, "
                "loosen it and feel for one.",
                "changes the arm, though it is the light that is wrong",
            ),
            "eyes-adapt": (
                "Look for half a minute, until the eyes are used to the lamp and the line comes "
                "out. If it does not, that is no proof: feel.",
                "expects the eyes to help: however long they look, lit and unlit skin differ by "
                "the same small share",
            ),
            "low-ratio": (
                f"Look for a very faint line: picture light over room light is {ratio:.2f}, so "
                "something must show. Go by what you can make out.",
                "goes by a line that can hardly be seen: a faint line tempts the eye to see "
                "what is not there",
            ),
        },
    )


LAMP = ChoiceItem(
    id="focal-lamp",
    version=2,
    title="No line under the lamp",
    points=2,
    section=ROOM,
    draw_values=_draw_lamp,
    ask=lambda v: (
        f"A patient is to have a drip in the {v['place']}. A procedure lamp puts "
        f"{v['room_light_lx']:,.0f} lx on the skin there; the device is held at its working "
        f"distance and puts {_own_light(v):,.0f} lx there. You see no line. What do you do first?"
    ),
    options=_lamp_options,
)


# --------------------------------------------------------------------- light lines or dark lines


def _draw_lines(draw: Draw) -> dict:
    wrong = ("stays-dark", "twice", "lit-skin", "light-adds", "shown-twice")
    own = {"device": figures(draw)}
    return own | {
        "room_light_lx": draw.choose([lx for lx in _LAMP_LX if _own_light(own) < _HARDLY * lx]),
        "order": with_wrong(draw, "as-faint", wrong),
    }


def _line_options(v: Values) -> list[Option]:
    return ordered(
        v,
        (
            "as-faint",
            "The dark line is no clearer: it differs from the skin by the same light of the "
            "picture. Go by neither.",
        ),
        {
            "stays-dark": (
                "The dark line is clearer: no light of the picture falls on it, so it stays dark "
                "under the lamp. Go by it.",
                "overlooks that the lamp lights the dark line too: line and skin still differ by "
                "the picture's light alone",
            ),
            "twice": (
                "The dark line is twice as clear: the skin gains the same light that the line "
                "loses. Go by the dark one.",
                "counts the picture's light twice: either the line has it or the skin beside it",
            ),
            "lit-skin": (
                "The dark line is clearer: an eye that is used to the lit skin makes out finer "
                "differences. Go by the dark one.",
                "expects brighter skin to help: under such a lamp the eye needs the same share of "
                "difference either way",
            ),
            "light-adds": (
                "The dark line is no use: it has no light of its own, and the light one adds to "
                "the lamp. Go by the light one.",
                "goes by a line that is nearly lost: light or dark, it is about as faint",
            ),
            "shown-twice": (
                "The dark line is a second look: where a line shows both ways, no doubt is left. "
                "Go by both of them.",
                (
                    "takes the same picture for a second proof: with light and dark changed over "
                    "it shows nothing new"
                ),
            ),
        },
    )


POLARITY = ChoiceItem(
    id="focal-polarity",
    version=1,
    title="Light lines or dark lines",
    points=2,
    section=ROOM,
    draw_values=_draw_lines,
    ask=lambda v: (
        "The device shows veins as light lines on unlit skin, and can be switched to dark lines on "
        f"lit skin. It puts {_own_light(v):,.0f} lx where it lights the skin; a procedure lamp "
        f"puts {v['room_light_lx']:,.0f} lx there. The light line is so faint that you are not "
        "sure of it. “Switch to dark lines,” says a colleague. What is right?"
    ),
    options=_line_options,
)
