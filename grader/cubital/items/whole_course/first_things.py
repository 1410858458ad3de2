"""Items on a drug that is not started, and on what is done first where fluid runs outside."""

from cubital import calc
from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.ordering import Before, OrderItem, Step
from cubital.items.reaching.track import way
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import ordered, with_wrong
from cubital.items.writing.wording import per_cent, sentence_case, with_article

LIST = "What runs in: the local list decides"
FIRST = "What is done first"

# -------------------------------------------------- a drug that harms, a catheter that lies short


def _draw_short(draw: Draw) -> dict:
    wrong = (
        "careful-watch",
        "blood-back",
        "slow-start",
        "tape-firmly",
        "flush-first",
        "clear-band",
    )
    return {
        "drug": draw.choose(draw.policy["vesicants"]),
        "gauge": draw.choose((20, 18)),
        "length_mm": 32,
        "near_wall_depth_mm": draw.step(8.0, 9.5, 0.5),
        "insertion_angle_deg": draw.step(22, 26, 1),
        "order": with_wrong(draw, "other-way", wrong),
    }


def _short_share(v: Values) -> float:
    return calc.fraction_in_vein(
        v["length_mm"],
        near_wall_depth_mm=v["near_wall_depth_mm"],
        insertion_angle_deg=v["insertion_angle_deg"],
    )


def _short_options(v: Values) -> list[Option]:
    return ordered(
        v,
        (
            "other-way",
            "Not here: tell the prescriber that it needs a safer vein or another line, and "
            "those whom local policy names to place it.",
        ),
        {
            "careful-watch": (
                "Start it, tell those whom local policy names that it needs an eye on the "
                "place, and stop at any swelling.",
                "trusts watching, though the catheter lies badly: with such a drug the harm "
                "is done before anybody sees it",
            ),
            "blood-back": (
                "Not here before blood comes back once more: it tells that the tip is in the "
                "vein; then start it.",
                "takes blood that came back for proof that it will stay: little of it is in the "
                "vein, and it slips",
            ),
            "slow-start": (
                "Not at the full rate: tell the prescriber that it needs a slow start by "
                "local policy, at a quarter, and feel the place every hour.",
                "takes slow for safe: a drug that harms tissue harms it at any rate",
            ),
            "tape-firmly": (
                "Not yet: tell the prescriber that it needs a splint and firm tape by local "
                "policy; when these are on, start it.",
                "takes a firm dressing for a good place: skin slides and swells under it",
            ),
            "flush-first": (
                "Not yet: tell the prescriber that it needs a flush of 10 mL first; when that "
                "is in and you feel no swelling, start it.",
                (
                    "takes one good flush for proof that the catheter will stay: the flush says "
                    "only how it lies now"
                ),
            ),
            "clear-band": (
                "Not here before there is a picture that shows the band sharp to beyond the "
                "tip; then start it.",
                "takes a sharp band for a catheter that lies well: the picture does not show how "
                "much of it is in the vein",
            ),
        },
    )


VESICANT_SHORT = ChoiceItem(
    id="whole-vesicant-short",
    title="A drug that harms, a catheter that lies short",
    points=2,
    section=LIST,
    version=6,
    draw_values=_draw_short,
    ask=lambda v: (
        f"Your order for today is to give {v['drug']}. Your department's list of vesicants "
        "names this drug. It can wait for some hours. Nothing is urgent. "
        f"{sentence_case(with_article(v['gauge']))} catheter, {v['length_mm']:.0f} mm long, "
        f"has just gone in to the hub at {v['insertion_angle_deg']:.0f} degrees, for other "
        f"drugs; the near wall is {v['near_wall_depth_mm']:.1f} mm deep. So the way takes up "
        f"{way(v['near_wall_depth_mm'], v['insertion_angle_deg']):.1f} mm, and about "
        f"{per_cent(_short_share(v))} of the catheter lies in the vein. Blood came back. What "
        "do you do?"
    ),
    options=_short_options,
)


# ------------------------------------------------------------------- an arm that cannot complain

_NO_PAIN = {
    "asleep": "is under a general anaesthetic",
    "silent": "has not spoken since a stroke",
    "sedated": "is deeply sedated",
}


def _draw_quiet(draw: Draw) -> dict:
    wrong = ("no-pain", "no-alarm", "unchanged-so-in", "blood-returns", "slower", "measure-again")
    return {
        "why": draw.choose(tuple(_NO_PAIN)),
        "rate_ml_per_h": draw.step(80, 120, 10),
        "apart_min": draw.step(40, 60, 10),
        "rise_mm": draw.step(9, 14, 1),
        "order": with_wrong(draw, "stop-now", wrong),
    }


def _quiet_options(v: Values) -> list[Option]:
    return ordered(
        v,
        (
            "stop-now",
            "Stop the pump now, and let it run again only when you know why this arm is thicker.",
        ),
        {
            "no-pain": (
                "Let it run: a leak as large as that would hurt, and nobody has complained.",
                "waits for a complaint from a patient who cannot complain",
            ),
            "no-alarm": (
                "Let it run: against swollen tissue the pump would have given an alarm by now.",
                "takes a pump without an alarm for a vein that is open: it pushes on against "
                "tissue",
            ),
            "unchanged-so-in": (
                "Stop the pump now, and let it run again only when five minutes have not "
                "changed the picture.",
                "lets an unchanged picture outweigh the tape: clear fluid that runs deep changes "
                "nothing in it",
            ),
            "blood-returns": (
                "Stop the pump now, and let it run again only when blood can be drawn with a "
                "syringe.",
                "takes blood that comes back for proof: the tip can be in the vein while fluid "
                "runs out beside it",
            ),
            "slower": (
                "Stop the pump now, let it run again after ten minutes at half the rate, and "
                "feel the place.",
                "runs a leak more slowly: it goes on into the tissue",
            ),
            "measure-again": (
                "Stop the pump now, mark both arms, let it run again for half an hour, and "
                "then measure once more.",
                "measures a leak while it runs: a rise from one look to the next is enough to stop",
            ),
        },
    )


QUIET_ARM = ChoiceItem(
    id="whole-quiet-arm",
    version=2,
    title="An arm that cannot complain",
    points=2,
    section=FIRST,
    draw_values=_draw_quiet,
    ask=lambda v: (
        f"A patient {_NO_PAIN[v['why']]}. A pump runs saline at {v['rate_ml_per_h']:.0f} mL/h into "
        f"one forearm. {v['apart_min']:.0f} minutes ago both forearms had the same girth. "
        f"Now this one measures {v['rise_mm']:.0f} mm more at the mark. The near-infrared picture "
        "is as before, and the pump has not alarmed. What do you do?"
    ),
    options=_quiet_options,
)


# -------------------------------------------------------------- from the leak to the next vein

_STEPS = (
    Step("stop", "Stop the pump."),
    Step(
        "mark",
        "Mark the edge of the swelling, measure both arms, note the time, and take the catheter "
        "out by local policy.",
    ),
    Step(
        "tell",
        "Tell the prescriber what you measured and how much can be outside, and ask whether the "
        "rest is still to be given.",
    ),
    Step("check", "Take the device off its hook, wipe it, and check its line on the target."),
    Step(
        "in",
        "On the other arm find a vein by picture and finger, have it measured, and put a catheter "
        "in.",
    ),
    Step("flush", "Flush the new catheter without force, and look and feel above its tip."),
)

NEXT_VEIN = OrderItem(
    id="whole-next-vein",
    version=2,
    title="From the leak to the next vein",
    points=2,
    section=FIRST,
    draw_values=lambda draw: {
        "fluid": draw.choose(("saline", "a balanced salt solution", "glucose 5 %")),
        "place": draw.choose(("left forearm", "right forearm", "left hand", "right hand")),
        "shown": draw.shuffled([step.key for step in _STEPS]),
    },
    ask=lambda v: (
        f"A pump runs {v['fluid']}, which is no vesicant, into the {v['place']}. The place is now "
        "swollen and cool. The patient is well otherwise, and nothing is urgent. By local policy "
        "you take such a catheter out yourself before you report. Put the steps in order; where "
        "two orders would do, either counts as right."
    ),
    steps=lambda _v: _STEPS,
    rules=(
        Before(
            "measures-while-it-runs",
            "stop",
            "mark",
            "measures before stopping: the leak grows under the tape",
        ),
        Before(
            "asks-the-picture-first",
            "stop",
            "check",
            "fetches the device before stopping, as if a picture could settle whether it leaks",
        ),
        Before(
            "tells-without-figures",
            "mark",
            "tell",
            "reports before measuring: the prescriber learns neither how much nor since when",
        ),
        Before(
            "needle-before-it-is-needed",
            "tell",
            "in",
            "puts a needle in before anybody has said whether the rest is still wanted",
        ),
        Before(
            "checks-after-use",
            "check",
            "in",
            "looks for a vein with a device that nobody has wiped and checked",
        ),
        Before(
            "flushes-the-leak",
            "in",
            "flush",
            "flushes before the new catheter is in: the one that is flushed is the one that leaks",
        ),
    ),
)
