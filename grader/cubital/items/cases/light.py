"""Cases on light and depth: what the picture shows against what is there."""

from cubital.items.cases.case import Case
from cubital.items.kinds.choice import Option

CASES = (
    Case(
        key="light-empty-picture",
        title="The picture stays empty",
        section="A stated greatest depth is a best case",
        story=(
            "A man with very dark skin needs one dose by 22 gauge, twenty minutes late by now. The "
            "blind is drawn, the device is on its stand and averages frames. It shows one sharp "
            "line at the thumb side of the wrist, nothing in the forearm. There your finger "
            "follows a soft vein for 50 mm; it springs back and does not beat. This morning's scan "
            "made it 2.6 mm wide; the limit is 45 %."
        ),
        ways=(
            Option(
                "by-finger",
                "Go in at the mid-forearm by finger and eye, and leave the device out.",
            ),
            Option(
                "wrist",
                "Go in at the wrist, along the sharp line that the picture shows.",
                "would suit a sharp line in the forearm: at the thumb side of the wrist branches "
                "of a nerve cross the vein",
            ),
            Option(
                "gain",
                "Give the device still longer, and raise the gain to find a line.",
                "would suit a bright room or a hand that moves: both are mended, and gain "
                "strengthens noise as well",
            ),
            Option(
                "pass-on",
                "Leave the arm, and pass him on to be done under ultrasound.",
                "would suit an arm in which no vein is felt either",
            ),
        ),
        reasons=(
            Option("finger", "The finger has followed a vein that springs back."),
            Option(
                "sharp",
                "The line at the wrist is the sharpest of the whole arm.",
                "goes by sharpness, which says nothing of the nerve beside it",
            ),
            Option(
                "dark-skin",
                "His skin takes up much of the light of the device.",
                "explains the empty picture, but finds no vein",
            ),
            Option(
                "late",
                "The dose is twenty minutes late by now and cannot wait.",
                "is a reason to hurry, but just as much for the vein at the wrist",
            ),
        ),
        because=(
            "That you see nothing does not mean that nothing is there: the finger has found "
            "an open vein, of which a 22 gauge takes up 36.5 %. The price is to go in "
            "without the picture's line."
        ),
        sources=("vialle-2001",),
    ),
    Case(
        key="light-near-the-limit",
        title="A broad straight line",
        section="Seen is not reachable",
        story=(
            "The device, stated to show veins down to 7 mm, draws one broad straight line. By "
            "ultrasound the vein is 3.4 mm wide, its near wall 6.5 mm deep. A 20 gauge is to stay "
            "for three days. Your ward wants 65 % in the vein, and nobody steeper than 30 degrees. "
            "Your trolley holds 25 and 32 mm; the access team has longer ones and comes before the "
            "dose is due. The patient is in a hurry."
        ),
        ways=(
            Option(
                "long-30",
                "Take the 32 mm catheter at 30 degrees, along so clear a line.",
                "would suit a near wall at 5 mm: at 6.5 mm the way takes 13 of the 32 mm, and 59.4 "
                "% is left for the vein",
            ),
            Option(
                "long-45",
                "Take the 32 mm catheter at 45 degrees, for the shorter way.",
                "would bring 71.3 % into the vein, at an angle that the ward has ruled out",
            ),
            Option("team", "Take none of these, and let the access team use a longer one."),
            Option(
                "short-30",
                "Take the 25 mm catheter at 30 degrees, the easier to guide.",
                "would suit a vein near the skin: of 25 mm 13 go on the way, and 48.0 % is left",
            ),
        ),
        reasons=(
            Option(
                "clear",
                "The line in the picture is broad and straight.",
                "says where the vein runs, but not how much of the catheter lies in it",
            ),
            Option(
                "wide",
                "The vein is wide enough for a 20 gauge catheter.",
                (
                    "is true, at 33.8 %, but says nothing of the share of the catheter that lies "
                    "in the vein"
                ),
            ),
            Option(
                "stated",
                "The device is stated to show veins to 7 mm.",
                (
                    "takes the depth at which a vein may be seen for a depth that the catheter "
                    "reaches"
                ),
            ),
            Option("depth", "By ultrasound its near wall is at 6.5 mm."),
        ),
        because=(
            "At 30 degrees the way to 6.5 mm is 13 mm. That leaves 59.4 % of the 32 mm catheter in "
            "the vein; of a 48 mm one it would be 72.9 %. The price is a wait, and the dose allows "
            "it."
        ),
        sources=("pandurangadu-2018",),
    ),
    Case(
        key="light-two-lines",
        title="The darker of two lines",
        section="A vein or an artery?",
        story=(
            "Two lines run along a forearm. The darker is broad and straight. The paler is thin: "
            "by ultrasound, tourniquet off, 2.3 mm wide and just under the skin. Before the "
            "tourniquet went on you felt both: the dark one beat, the pale one did not. With it on "
            "you feel neither of them beat. One dose is to go in by 22 gauge; the limit is 45 %. "
            "The patient hopes that one attempt will do."
        ),
        ways=(
            Option("pale", "Take the pale line with a 22 gauge, even though it is thin."),
            Option(
                "dark",
                "Take the dark line, since nothing beats in it at present.",
                "trusts a finger under a tight tourniquet, which can hide a beat",
            ),
            Option(
                "wavelength",
                "Take whichever of the lines is darker at 760 nm as well.",
                "would need all else to be equal: an artery is paler at 760 nm, and so is a vein "
                "that lies half a millimetre deeper",
            ),
            Option(
                "neither",
                "Take neither of the lines, and pass the patient on.",
                "would suit a pale line that beats too, or is too narrow: this one takes a 22 "
                "gauge within the limit",
            ),
        ),
        reasons=(
            Option("beat", "The dark line beat with the tourniquet off."),
            Option(
                "broad",
                "The dark line is the broader and the straighter.",
                "says what is true of many an artery too",
            ),
            Option(
                "none-now",
                "No beat is felt in either with the tourniquet on.",
                "goes by the one moment in which the tourniquet can hide a beat",
            ),
            Option(
                "one-attempt",
                "The patient hopes one attempt will be enough.",
                "goes by a wish, and a wish does not tell a vein from an artery",
            ),
        ),
        because=(
            "A beat that was felt with the tourniquet off outweighs one that is not felt with it "
            "on. A 22 gauge takes up 41.3 % of the pale vein. The price is a thinner vein, and "
            "less room for error."
        ),
    ),
    Case(
        key="light-from-the-cold",
        title="Two faint threads",
        section="Skin tone and oxygen",
        story=(
            "A patient with brown skin comes in from the frost. Both arms are cold; the picture "
            "shows two faint threads, and your finger finds little. A day of fluid is to start "
            "within two hours. The skin tells touch and warmth well, and the ward's policy allows "
            "a warming mitt. The access team happens to be free, and asks whether anybody needs "
            "it. The patient would rather have it done at once."
        ),
        ways=(
            Option(
                "team",
                "Pass the patient to the access team now, while it is free.",
                "would suit arms that stay empty when they are warm: cold ones do not yet tell "
                "what is there",
            ),
            Option(
                "elbow",
                "Go in at the crook of the elbow, which keeps warm longest.",
                "would suit a patient who cannot wait: here a joint is taken while better places "
                "have not been given a chance",
            ),
            Option(
                "gain",
                "Raise the gain until the threads stand out, and take one.",
                "would suit a vein that a finger confirms: gain makes no vein wider, and "
                "strengthens noise as well",
            ),
            Option("warm", "Use the mitt on both arms until they are warm, and look anew."),
        ),
        reasons=(
            Option(
                "skin",
                "Brown skin takes up part of the device's light.",
                "explains why the picture is darker, but not why the finger finds little",
            ),
            Option(
                "free",
                "The access team happens to be free just now.",
                "goes by who happens to be free, but after warming the team may not be needed",
            ),
            Option(
                "oxygen",
                "The blood carries less oxygen while it is cold.",
                (
                    "takes the colour of blood for its darkness in the picture: at 850 nm oxygen "
                    "hardly matters"
                ),
            ),
            Option("cold", "The patient's arms are cold to the touch."),
        ),
        because=(
            "Cold veins are narrow, and two hours are left. In one trial 3 of 50 first attempts "
            "failed after 15 minutes in a warming mitt, 14 of 50 without. The price is a quarter "
            "of an hour."
        ),
        sources=("lenhardt-2002",),
    ),
)
