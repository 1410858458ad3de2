"""A pulse at the chosen place, or blood as from an artery: no needle, or the needle out again.

What has no source is common practice, as the lessons on complications and on one patient teach it.
"""

from cubital.items.patient.before_insertion import ASSESSMENT
from cubital.items.principles.vignette import Principle, Vignette, Way

# --------------------------------------------------------------------- there is an artery

_SHARP_BAND = Vignette(
    key="sharp-band-beats",
    present=True,
    story=(
        "In the emergency department the near-infrared picture of a forearm shows one sharp band "
        "and a faint one beside it. With the tourniquet off, your fingertips ride on the sharp one "
        "at every heartbeat. The faint one is soft, does not beat, and fills from below. “Take the "
        "dark one, it's huge,” says a colleague. Which way do you take?"
    ),
    ways=(
        Way(
            "faint-if-wide",
            "Leave the sharp band, and take the faint one if its measured width will do.",
            stops=True,
        ),
        Way(
            "tourniquet-then-sharp",
            "Leave both bands, tighten the tourniquet, and take the sharp one if nothing beats.",
            stops=True,
            misconception="makes the beat vanish and takes that for a vein: a tight tourniquet "
            "hides an artery's pulse",
        ),
        Way(
            "darker",
            "Leave both bands, turn up the contrast, and take the one that is darker.",
            stops=True,
            misconception="lets the picture decide between artery and vein, which look alike in it",
        ),
        Way(
            "sharp-unless-beats",
            "Take the sharp band if its measured width will do, and watch for beating blood.",
            stops=False,
            misconception="waits for the blood to tell, which need not beat in an artery: "
            "the finger has told already",
        ),
    ),
    because=(
        "what beats under the finger is an artery until shown otherwise, however sharp the band; "
        "the faint band is soft, fills and does not beat"
    ),
)

_BRIGHT = Vignette(
    key="bright-without-beats",
    present=True,
    story=(
        "Halfway up the forearm, with the tourniquet on, blood shoots into the chamber, much "
        "brighter than you expected. It does not beat. In the near-infrared picture the needle "
        "lies exactly on the dark band. The catheter is still on the needle, nothing has been "
        "injected, and the patient is at ease. What do you do?"
    ),
    ways=(
        Way(
            "out-and-press",
            "Loosen the tourniquet, take the needle out, and press by hand until it has stopped.",
            stops=True,
        ),
        Way(
            "hold-and-feel",
            "Loosen the tourniquet, hold the needle still, and feel around it for a pulse.",
            stops=True,
            misconception="keeps the needle in an artery to look for proof: bright and fast is "
            "enough",
        ),
        Way(
            "out-and-bandage",
            "Loosen the tourniquet, take the needle out, and press with a pad under a bandage.",
            stops=True,
            misconception="treats it as a vein: an artery bleeds on under a bandage, and is "
            "pressed by hand",
        ),
        Way(
            "slide-and-flush",
            "Loosen the tourniquet, slide the catheter off, and flush it while you watch the hand.",
            stops=False,
            misconception="injects to find out: what goes into an artery goes on into the hand",
        ),
        Way(
            "hold-for-a-doctor",
            "Loosen the tourniquet, hold the needle still, and have a doctor look at the blood.",
            stops=True,
            misconception=(
                "keeps the needle in an artery until somebody else says so: bright and fast is "
                "enough"
            ),
        ),
    ),
    because=(
        "blood that is bright and fast is an artery's until shown otherwise, with or without "
        "beats, and the picture cannot tell: nothing is injected, the needle comes out, and a hand "
        "presses"
    ),
    sources=("newman-2001",),
)

_BURNING_HAND = Vignette(
    key="drug-already-given",
    present=True,
    story=(
        "A man comes in with a wide catheter in the crook of his elbow; a drug was given through "
        "it on the way. The drip does not run. Bright blood climbs up the line in beats. His "
        "fingers are pale, and he says that the hand has burned since the injection. What do you "
        "do?"
    ),
    ways=(
        Way(
            "leave-and-call",
            "Give nothing more, leave the catheter where it is, and call for help now.",
            stops=True,
        ),
        Way(
            "out-and-press",
            "Give nothing more, take the catheter out, and press by hand until it has stopped.",
            stops=True,
            misconception="takes out at the bedside what is wide and has had a drug through it: "
            "those who treat the hand may need that way in",
        ),
        Way(
            "cap-and-wait",
            "Give nothing more, cap the catheter, and call for help if the hand turns blue.",
            stops=True,
            misconception="waits with a hand that is pale and burns: it can be lost meanwhile",
        ),
        Way(
            "flush-and-raise",
            "Flush the catheter gently, hang the bag higher, and call for help if nothing runs.",
            stops=False,
            misconception="takes an artery for a catheter that is blocked, and drives more of the "
            "drug into the hand",
        ),
        Way(
            "out-and-wrap",
            "Give nothing more, take the catheter out, and bandage the elbow.",
            stops=True,
            misconception=(
                "treats it as a vein: an artery bleeds on under a bandage, and those who treat the "
                "hand may need that way in"
            ),
        ),
    ),
    because=(
        "bright blood in beats and a pale, burning hand say that a drug went into an artery: "
        "nothing more goes in, the catheter stays, and help comes now"
    ),
)

_PEN_MARK = Vignette(
    key="beat-under-the-mark",
    present=True,
    story=(
        "A colleague has marked a vein in the crook of the elbow from the near-infrared picture; "
        "she felt for a pulse through two pairs of gloves. The skin is not cleaned yet. With a "
        "bare fingertip and no tourniquet you feel a soft beat under her mark, and all along that "
        "band. “There are other bands, but this is the best,” she says. What comes next?"
    ),
    ways=(
        Way(
            "wipe-and-search",
            "Put the needle away, wipe off the mark, and search the forearm for another vein.",
            stops=True,
        ),
        Way(
            "same-band-lower",
            "Put the needle away, wipe off the mark, and use that band in the forearm.",
            stops=True,
            misconception="follows the band that beats all along: an artery is one in the forearm "
            "as well",
        ),
        Way(
            "she-feels-again",
            "Put the needle away, let her search for the beat, and go in if she finds none.",
            stops=True,
            misconception="lets a second opinion undo a pulse that a bare finger has felt",
        ),
        Way(
            "flat-above",
            "Keep to the mark, go in flat there, and stay above what beats further down.",
            stops=False,
            misconception="trusts an angle to miss an artery whose depth nobody knows: the picture "
            "shows neither it nor how deep it is",
        ),
    ),
    because=(
        "a beat under the chosen place is an artery until shown otherwise, whoever felt none "
        "before: another vein is taken"
    ),
)

_BOTH_BEAT = Vignette(
    key="only-bands-beat",
    present=True,
    story=(
        "It is three in the morning. In each forearm of a very thin woman the near-infrared "
        "picture shows one band, and both beat under your fingertip. You can feel nothing else "
        "anywhere. Her next dose is due at five and must not be late. The team that finds deep "
        "veins with ultrasound is in the house. What do you do?"
    ),
    ways=(
        Way(
            "tell-the-team",
            "Put the needle away, and tell the team now that the next dose needs them.",
            stops=True,
        ),
        Way(
            "warm-and-weaker",
            "Put the needle away, warm both arms now, and use the band that beats less.",
            stops=True,
            misconception="takes a weak beat for none: warmth makes no vein of an artery",
        ),
        Way(
            "leave-to-the-day",
            "Put the needle away, and tell the day shift that the next dose needs them.",
            stops=True,
            misconception="lets a dose that must not be late wait for the day, with the team in "
            "the house",
        ),
        Way(
            "thinnest-then-team",
            "Use the left band now with the thinnest catheter, and tell the team if it beats.",
            stops=False,
            misconception=(
                "makes the hole in an artery smaller, instead of leaving the artery alone"
            ),
        ),
        Way(
            "darker-of-the-two",
            "Put the needle away, raise the contrast, and use the darker band.",
            stops=True,
            misconception=(
                "lets the picture decide where the finger has: an artery can be dark as well"
            ),
        ),
    ),
    because=(
        "two bands that beat are no veins, and there is no other: those who can find a deep one "
        "are told while there is time before the dose"
    ),
)

_LUMP = Vignette(
    key="lump-under-plaster",
    present=True,
    story=(
        "A student's needle in the crook of the right elbow brought bright blood in jets. He took "
        "it out, put a plaster on, and is now cleaning the left arm, because the drug is late. "
        "Under the plaster a lump as large as a plum has risen, and the patient says that the arm "
        "feels tight. What do you do?"
    ),
    ways=(
        Way(
            "press-and-call",
            "Stop him, press on the right arm by hand, and have somebody call a doctor.",
            stops=True,
        ),
        Way(
            "bandage-and-call",
            "Stop him, wind a firm bandage round the right arm, and call a doctor if it grows.",
            stops=True,
            misconception="takes a bandage for a hand: an artery bleeds on beneath it, out of "
            "sight",
        ),
        Way(
            "cool-and-mark",
            "Stop him, cool the lump on the right arm, and have somebody mark its edge.",
            stops=True,
            misconception=(
                "measures and cools a place that still bleeds: pressing comes before both"
            ),
        ),
        Way(
            "left-arm-then-press",
            "Let him finish, then press on the right arm by hand, and call a doctor.",
            stops=False,
            misconception="puts a drug that is late before an artery that bleeds into the arm",
        ),
        Way(
            "pulse-first",
            "Stop him, feel for the pulse at both wrists, and have somebody call a doctor.",
            stops=True,
            misconception=(
                "looks for proof while the artery bleeds into the arm: the hand presses first"
            ),
        ),
    ),
    because=(
        "jets were an artery, and the lump says that it still bleeds under the plaster: a hand "
        "presses now, and a doctor hears of it"
    ),
)

# ------------------------------------------------------------------- there is no artery here

_BESIDE = Vignette(
    key="pulse-beside-it",
    present=False,
    story=(
        "On the thumb side of a lower forearm you feel the artery beat. The vein that you chose is "
        "on the back of the forearm, halfway up, more than a hand's breadth away. There your bare "
        "fingertip feels no beat, with the tourniquet off; the vein is soft and fills from below. "
        "The near-infrared picture shows both as dark bands. What comes next?"
    ),
    ways=(
        Way(
            "where-it-is-soft",
            "Use that vein on the back of the forearm, where you felt it soft and still.",
            stops=False,
        ),
        Way(
            "nearer-the-beat",
            "Use that vein further down the forearm, where it bends to the beat and is wider.",
            stops=False,
            misconception="goes towards the artery for the sake of a wider band in the picture",
        ),
        Way(
            "team-instead",
            "Put the needle away, and tell the team for deep veins that this arm needs them.",
            stops=True,
            misconception="takes a pulse that lies beside the vein for one beneath it, and hands "
            "on a vein that is good",
        ),
        Way(
            "search-elsewhere",
            "Put the needle away, leave this forearm, and search the other one for a vein.",
            stops=True,
            misconception="takes any pulse in the arm for a reason to leave it: every arm has one",
        ),
        Way(
            "sharper-picture-first",
            "Put the needle away, and set the picture until it tells the two bands apart.",
            stops=True,
            misconception=(
                "waits for the picture to tell artery from vein, which it cannot: the finger has"
            ),
        ),
    ),
    because=(
        "the pulse is more than a hand's breadth away, and where the needle goes a bare finger "
        "feels none: this is a vein, although the picture shows both alike"
    ),
)

_CREEPING = Vignette(
    key="blood-in-the-line",
    present=False,
    story=(
        "A daughter calls you: there is blood in her father's line. It is dark, it stands still, "
        "and nothing beats. The bag lies on the bed, where somebody left it when he was helped to "
        "the toilet. The forearm is soft around the catheter, and the hand is warm and pink. What "
        "do you do?"
    ),
    ways=(
        Way(
            "hang-up-and-look",
            "Hang the bag up, let the drip run, and look again if blood comes back.",
            stops=False,
        ),
        Way(
            "hang-up-and-wrap",
            "Hang the bag up, let the drip run, and wrap the arm so nobody worries.",
            stops=False,
            misconception="covers the place that has to be looked at",
        ),
        Way(
            "leave-and-call",
            "Give nothing more, leave the catheter where it is, and call for help now.",
            stops=True,
            misconception="takes blood that ran back from a vein for blood that an artery drives: "
            "it is dark and stands still, and the bag lay low",
        ),
        Way(
            "out-and-press",
            "Give nothing more, take the catheter out, and press by hand until it has stopped.",
            stops=True,
            misconception="takes out a good catheter because its bag lay too low",
        ),
        Way(
            "hang-up-and-push",
            "Hang the bag up, push the blood back by hand, and look again if it is slow.",
            stops=False,
            misconception="forces back blood that has stood in the line, where it can have clotted",
        ),
    ),
    because=(
        "dark blood that stands still, with the bag as low as the arm and a warm, pink hand, came "
        "back from a vein: the bag is hung up, and if it runs freely it goes on. Blood that has "
        "stood can clot: if it does not run, nothing is forced"
    ),
)

_THUMB = Vignette(
    key="her-own-thumb",
    present=False,
    story=(
        "“It beats, 96 a minute,” says a student, with her thumb pressed hard on the vein that you "
        "marked. The patient's heart beats 58 a minute on the monitor. Twice, with light bare "
        "fingertips and the tourniquet off, you find no pulse there; under ultrasound the vessel "
        "is still, and a light touch closes it. What comes next?"
    ),
    ways=(
        Way(
            "clean-and-in",
            "Clean the skin, go in there, and show her later how light fingertips feel.",
            stops=False,
        ),
        Way(
            "thumb-as-guard",
            "Clean the skin, go in there, and let her thumb feel for a beat meanwhile.",
            stops=False,
            misconception="lays a thumb on cleaned skin in the needle's way, to feel its own pulse",
        ),
        Way(
            "wipe-and-search",
            "Put the needle away, wipe off the mark, and search the forearm for another vein.",
            stops=True,
            misconception="gives up a vein for a beat that is not the patient's: it does not keep "
            "time with the heart",
        ),
        Way(
            "tell-the-team",
            "Put the needle away, and tell the team for deep veins that this arm needs them.",
            stops=True,
            misconception="hands on for a pulse that light fingers and ultrasound have ruled out",
        ),
    ),
    because=(
        "the thumb felt its own pulse, which is not the patient's; light fingertips feel none, and "
        "the vessel is still and easily closed: it is a vein"
    ),
)

PRINCIPLE = Principle(
    key="pulse",
    title="A pulse at the chosen place",
    rule=(
        "What beats is an artery until shown otherwise, and no picture tells the two apart: no "
        "needle goes in there. Blood that is bright, fast or beats: inject nothing, tourniquet "
        "off, needle out, press by hand until it has stopped, and look at the hand. Where a drug "
        "or a wide catheter is already in, it stays, and help is called."
    ),
    section=ASSESSMENT,
    pairs=(
        ("sharp-band-beats", "bright-without-beats"),
        ("drug-already-given", "beat-under-the-mark"),
        ("only-bands-beat", "lump-under-plaster"),
    ),
    vignettes=(
        _SHARP_BAND,
        _BRIGHT,
        _BURNING_HAND,
        _PEN_MARK,
        _BOTH_BEAT,
        _LUMP,
        _BESIDE,
        _CREEPING,
        _THUMB,
    ),
)
