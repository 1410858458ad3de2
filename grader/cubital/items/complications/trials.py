"""Items on short trials of a site: does fluid leak, does blood gather; and what then settles it."""

from cubital.items.complications.leaks import PICTURE
from cubital.items.kinds.choice import Option
from cubital.items.kinds.on_pictures.trials import TrialsItem
from cubital.items.writing.trials import HOW, MINUTES, drawn, shows_or_not

LEAK_TRIALS = TrialsItem(
    id="comp-leak-trials",
    title="Series by series: does clear fluid leak?",
    points=8,
    section=PICTURE,
    draw_values=drawn,
    ask=lambda _v: (
        "Simulated short series of sites under an infusion. Say of each whether it shows clear "
        "fluid that gathers: in a patch that grows the dark bands fade and blur, and elsewhere "
        f"they stay. Something else may happen instead, or nothing that shows. {HOW}"
    ),
    looked_for="infiltration",
    catches=("infiltration-unseen", "nothing", "haematoma"),
    options=shows_or_not("fluid that gathers"),
    missed=(
        "passes by bands that fade and blur in a patch that grows: compare the last frame with the "
        "first"
    ),
    invented="takes flicker, or a dark patch, for clear fluid: clear fluid lets bands fade",
    hidden="In some that show nothing fluid leaked all the same, too deep to be seen",
    closing=(
        "The infusion runs, the patient says that the arm feels odd, and the series shows nothing. "
        "What settles whether it leaks?"
    ),
    ways=(
        Option(
            "touch-line-patient",
            "With the drip stopped, touch, line and patient: feel both arms, check the line, ask.",
        ),
        Option(
            "picture",
            "The picture: bands that stay dark over a quarter of an hour show that nothing leaks.",
            "lets an unchanged picture rule a leak out: fluid that lies deep, or is little, does "
            "not show",
        ),
        Option(
            "faster",
            "The pump: set a faster rate for some minutes and see whether it still runs freely.",
            "tries out a faster rate on a site that may leak: that puts more fluid into the tissue",
        ),
        Option(
            "blood-back",
            "Blood drawn back: if some comes into the line, the infusion goes on as before.",
            "lets blood in the line rule a leak out: it can come back through a tip that lies "
            "partly outside",
        ),
    ),
    minutes=MINUTES + 0.5,
)

BLOOD_TRIALS = TrialsItem(
    id="comp-blood-trials",
    title="Series by series: does blood gather?",
    points=8,
    section=PICTURE,
    draw_values=drawn,
    ask=lambda _v: (
        "Simulated short series of sites after a needle came out. Say of each whether it shows "
        "blood that gathers outside the vein: a dark patch without sharp edges appears over a band "
        f"and grows. Something else may happen instead, or nothing. {HOW}"
    ),
    looked_for="haematoma",
    catches=("nothing", "infiltration", "refill"),
    options=shows_or_not("blood that gathers"),
    missed="passes by a dark patch that grows over a band: compare the last frame with the first",
    invented="takes flicker, or bands that fade, for blood: blood outside the vein is dark",
    closing="A dark patch shows and grows over the place where the needle was. What do you do?",
    ways=(
        Option(
            "press",
            "Press on the place at once, look and feel beneath, and ask the patient how it is.",
        ),
        Option(
            "watch-frames",
            "Watch further frames first: only a patch that grows in all of them needs pressing.",
            "waits for the picture while blood runs out: pressing comes first",
        ),
        Option(
            "warm",
            "Lay something warm on it, so that what has come out is taken up sooner.",
            "warms a place that still bleeds: pressing stops it, and warmth does not",
        ),
        Option(
            "next-puncture",
            "Puncture the vein a little above, where the band is as dark as before.",
            "goes on in a vein that bleeds into its surroundings: stop the bleeding first",
        ),
    ),
    minutes=MINUTES + 0.5,
)
