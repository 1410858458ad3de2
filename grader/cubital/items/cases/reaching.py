"""Cases on reaching the vein: depth, length and attempts against time and hold."""

from cubital.items.cases.case import Case
from cubital.items.kinds.choice import Option

CASES = (
    Case(
        key="reach-wide-or-near",
        title="The vein that bounces best",
        section="Choosing length and angle for a depth",
        story=(
            "A therapy by 20 gauge runs for four days. By ultrasound, forearm vein A is 3.4 mm "
            "wide, with its near wall 6.0 mm deep and a valve 28 mm on; it bounces best. Vein B is "
            "soft and fainter, 2.7 mm wide, 3.5 mm deep, straight for 40 mm. You go in at 25 "
            "degrees and want 65 % in the vein; the limit is 45 %. On the trolley lie 32 and 48 "
            "mm."
        ),
        ways=(
            Option(
                "wide-long",
                "Take vein A with the 48 mm catheter, at the usual angle.",
                "would suit a vein that is straight for more than 33.8 mm, the length that would "
                "lie in it: the valve stands at 28 mm",
            ),
            Option("near-short", "Take vein B with the 32 mm catheter, for all that it is faint."),
            Option(
                "wide-short",
                "Take vein A with the 32 mm catheter, short of the valve.",
                "would suit a near wall at 4 mm: at 6.0 mm 55.6 % of it lies in the vein, too "
                "little to last",
            ),
            Option(
                "midline",
                "Leave both veins, and refer the patient for a midline.",
                "would suit a longer therapy, or veins that no catheter fits: vein B carries four "
                "days",
            ),
        ),
        reasons=(
            Option(
                "dark",
                "How dark each of the bands is in the picture.",
                "goes by darkness, which comes from depth and width and makes no vein better",
            ),
            Option(
                "width",
                "How wide each of the veins is by ultrasound.",
                "speaks for vein A, and both take a 20 gauge within the limit",
            ),
            Option(
                "days",
                "How many days the therapy is going to last.",
                "says that the catheter must hold well, but not in which vein it does",
            ),
            Option("depth", "How deep each of the veins lies in the arm."),
        ),
        because=(
            "At 25 degrees 55.6 % of the 32 mm catheter would lie in vein A, 74.1 % in vein B. The "
            "price is room: a 20 gauge takes up 42.6 % of vein B, near the limit, and 33.8 % of "
            "vein A."
        ),
        sources=("pandurangadu-2018", "fields-2012"),
    ),
    Case(
        key="reach-blood-and-smart",
        title="Blood shows, and it smarts",
        section="Then: lower, advance, slide",
        story=(
            "It is your second and last attempt. By ultrasound the near wall is 3.0 mm deep and "
            "the vein 2.8 mm wide. At 25 degrees the needle is 8.0 mm in when dark blood fills the "
            "chamber slowly. On this make the catheter's end sits 2 mm behind the needle's "
            "opening. The patient says that it smarts at the skin, no more; nothing shoots, "
            "nothing swells. “You're in, slide it off,” says a colleague."
        ),
        ways=(
            Option(
                "slide",
                "Slide the catheter off at once, before the vein has time to slip away.",
                "would suit a needle some 11 mm in: at 8.0 mm the catheter's end is still outside, "
                "and it would crumple in the tissue",
            ),
            Option(
                "lower-on",
                "Lower the needle, go on a few millimetres, then slide the catheter.",
            ),
            Option(
                "straight-on",
                "Push straight on until the blood runs faster, then slide the catheter.",
                "expects faster blood to mean a better place: straight on lies the far wall, and "
                "behind it the chamber looks the same",
            ),
            Option(
                "take-out",
                "Take the needle out, press, and pass the patient on to a colleague.",
                "would suit shooting pain, a swelling, or bright blood: smarting at the skin is "
                "none of these",
            ),
        ),
        reasons=(
            Option(
                "dark-slow",
                "The blood is dark and comes slowly to the chamber.",
                "fits a vein, and does not tell where the catheter's end is",
            ),
            Option(
                "smarts",
                "The pain is felt at the skin and does not shoot.",
                ("allows the needle to stay in, but it would just as well allow sliding at once"),
            ),
            Option("behind", "The catheter's end is 2 mm back from the opening."),
            Option(
                "last",
                "The ward leaves you no attempt after this one.",
                "makes success matter more, but does not tell where the catheter's end is",
            ),
        ),
        because=(
            "The way to the near wall is 7.1 mm. The needle is 8.0 mm in and the catheter's end "
            "6.0 mm, still outside. Going on costs room before the far wall, which is 13.7 mm "
            "along the needle at this angle, so the needle is lowered before it goes on."
        ),
    ),
    Case(
        key="reach-one-more-try",
        title="One more try is allowed",
        section="Then: lower, advance, slide",
        story=(
            "Your first attempt has failed. This patient was hard to cannulate before. What is "
            "left is one thin band, and with the arm warm and low you still cannot feel it. The "
            "ward allows each person two attempts and wants patients passed on early where failure "
            "is likely. The dose is due within two hours; the colleague who goes in under "
            "ultrasound is free in twenty minutes. “You do it,” says the patient, “I know you.”"
        ),
        ways=(
            Option(
                "own-band",
                "Use your second attempt on the thin band, as the patient wishes.",
                "would suit a band that a finger can follow: a limit is the most that is allowed, "
                "and need not be used up",
            ),
            Option(
                "own-elbow",
                "Use your second attempt at the elbow, where veins tend to be wide.",
                "goes by where veins usually run: nothing was seen or felt there",
            ),
            Option(
                "other-nurse",
                "Let another nurse of the ward try the band by eye and finger.",
                "passes the patient on to the same means: a band that cannot be felt is no better "
                "under another hand",
            ),
            Option("pass-on", "Hand the patient on at once, while one attempt is still left."),
        ),
        reasons=(
            Option(
                "two-hours",
                "The dose is due within two hours from now.",
                "makes waiting easy, but it would do so with a good vein left as well",
            ),
            Option(
                "limit",
                "The ward allows each person to try twice.",
                "names the most that is allowed, and no reason to use it",
            ),
            Option("likely-failure", "The band that is left cannot be felt."),
            Option(
                "trust",
                "The patient knows you and wants you to do it.",
                "goes by the patient's trust, which one more failure would cost you",
            ),
        ),
        because=(
            "Hard before, thin, not felt: three things that foretell failure stand together. The "
            "price is twenty minutes and a patient who had hoped for you; a failed needle would "
            "cost the last band as well."
        ),
        sources=("van-loon-2019",),
    ),
    Case(
        key="reach-nothing-back",
        title="Nothing comes back",
        section="Afterwards: flush, secure, watch",
        story=(
            "You have just put a 22 gauge into the last good vein of the forearm, at the first "
            "attempt. Blood filled the chamber and the catheter glided. Now nothing comes back "
            "into the syringe. The flush goes in without resistance; the place does not hurt and "
            "stays flat and soft, like the other arm. Saline is to run at 60 mL an hour, nothing "
            "that harms tissue. “No blood, take it out,” says a colleague."
        ),
        ways=(
            Option(
                "resite",
                "Take it out now, and use your second attempt further up the arm.",
                "would suit a flush that hurts, swells or is hard to push: an empty syringe alone "
                "does not put the tip outside",
            ),
            Option(
                "harder",
                "Flush harder to clear the tip, and start the saline after that.",
                (
                    "would use force against a resistance, and there is none: a flush is never "
                    "forced"
                ),
            ),
            Option("start", "Leave it in for the saline, and stay by it until it runs well."),
            Option(
                "hold",
                "Hold the saline until the access team has looked for the tip.",
                "would suit a drug that harms tissue: saline can be watched as it runs",
            ),
        ),
        reasons=(
            Option("smooth-flat", "The flush goes in with ease, and the place stays flat."),
            Option(
                "chamber",
                "Blood filled the chamber when the needle went in.",
                "tells that the needle's opening met blood, and not where the catheter lies now",
            ),
            Option(
                "last-vein",
                "The forearm has no other good vein that could be used.",
                "would be a reason to keep any catheter, even one that leaks",
            ),
            Option(
                "empty",
                "Nothing comes back into the syringe at the hub.",
                "is no sign either way: the tip can lie against a wall and the vein still be open",
            ),
        ),
        because=(
            "No resistance, no swelling, no pain: together they say more than blood that comes "
            "back or does not. The price is a look again within minutes, as a leak may show late."
        ),
        sources=("extravasation-lesson",),
    ),
)
