"""Cases on complications: a site that speaks against its picture, its drug or its neighbours."""

from cubital.items.cases.case import Case
from cubital.items.kinds.choice import Option

CASES = (
    Case(
        key="comp-warm-firm-vein",
        title="A warm, firm vein",
        section="What is done first",
        story=(
            "Noradrenaline, a vesicant by your ward's list, has been running into a forearm for "
            "three hours. The patient says that it burns. Along the vein the skin is warm and firm "
            "for 4 cm; there is no swelling, blood can be drawn back, the picture is as before. "
            "“Two signs of phlebitis, take it out,” says a colleague. There is a good vein in the "
            "other arm, and the drug must go on."
        ),
        ways=(
            Option(
                "take-out",
                "Stop, take the catheter out at once, and run the drug by the other arm.",
                "would suit phlebitis under a plain fluid: with a vesicant the way to draw it back "
                "would go with the catheter",
            ),
            Option(
                "flush",
                "Stop, flush the drug through, call, and then run it by the other arm.",
                "pushes what is in the catheter into the tissue, if there is a leak",
            ),
            Option(
                "leave",
                "Stop, leave the catheter in, call, and run the drug by the other arm.",
            ),
            Option(
                "slow",
                "Run it on at half the rate, and look at the vein every five minutes.",
                "lets a vesicant run on beside signs that do not rule a leak out",
            ),
        ),
        reasons=(
            Option(
                "warm",
                "The skin along the vein is warm and firm.",
                "points to phlebitis, and under such a drug does not rule a leak out",
            ),
            Option(
                "blood",
                "Blood can still be drawn back through it.",
                "neither suggests a leak nor excludes one",
            ),
            Option("listed", "By the ward's list this drug is a vesicant."),
            Option(
                "go-on",
                "The drug must go on without any long break in it.",
                "says that another good vein is needed, but not what becomes of this catheter",
            ),
        ),
        because=(
            "Under a plain fluid the two signs would take the catheter out. Under a vesicant it "
            "stays until somebody who may decide has decided, and the drug goes on by the other "
            "arm. The price is a sore vein that keeps its catheter a little longer."
        ),
        sources=("extravasation-sheet", "vip-cards"),
    ),
    Case(
        key="comp-no-pause",
        title="A sore vein on the left",
        section="What is done first",
        story=(
            "An infusion that your ward's list counts as harmless to tissue runs into a left "
            "forearm. By its order it may not pause even for a minute. The vein has become sore, "
            "warm and red for 3 cm; nothing swells, and the infusion runs well. It is the one "
            "access. On the right forearm a soft vein would take the same catheter. The patient "
            "would rather have no needle before the morning, but leaves it to you."
        ),
        ways=(
            Option(
                "out-then-new",
                "Take the old one out now, and put another into the right arm.",
                "would suit a therapy that can pause: this one would stand still between the two",
            ),
            Option(
                "morning",
                "Leave the old one in until the morning, and look at it each hour.",
                "would suit a single slight sign: three are here, and the vein gets worse with "
                "each hour",
            ),
            Option(
                "new-then-out",
                "Put one into the right arm now, and take the old one out after.",
            ),
            Option(
                "pharmacist",
                "Stop the infusion, leave the old one, and wait for the pharmacist.",
                "would suit a harmful drug that has leaked: here nothing swells, and the "
                "infusion may not stop",
            ),
        ),
        reasons=(
            Option(
                "signs",
                "The vein is sore, warm and red for 3 cm.",
                "says that the catheter comes out, but not in which order",
            ),
            Option(
                "harmless",
                "The drug is counted as harmless to the tissue.",
                "allows the old one to come out, but does not say when",
            ),
            Option(
                "wish",
                "No needle is wanted before the morning.",
                "weighs a night's rest, which the patient has left to you",
            ),
            Option("no-pause", "The infusion may not stand still at any time."),
        ),
        because=(
            "From two signs on a catheter comes out at once, unless the therapy cannot pause; then "
            "another goes in first. The price is some minutes more in a sore vein, and a needle at "
            "night."
        ),
        sources=("vip-cards",),
    ),
    Case(
        key="comp-a-little-sore",
        title="A little sore",
        section="What is done first",
        story=(
            "A catheter has been in for a day, for saline, and is needed until tomorrow noon. The "
            "patient says that the place is slightly sore since the line caught on the bed rail. "
            "The forearm is flat, soft, as warm and as thick as the other, without a cord. Redness "
            "would show on this skin, and there is none. The flush goes in without resistance or "
            "pain. The other veins are poor."
        ),
        ways=(
            Option(
                "resite",
                "Take it out, and put in another before the place becomes worse.",
                "would suit two signs or more: one slight sign is watched",
            ),
            Option(
                "stop",
                "Stop the saline, leave it in, and let the pharmacist decide on it.",
                "would suit a drug that harms tissue, and a sign of a leak: there is neither",
            ),
            Option(
                "slower",
                "Run the saline at half the rate, and look at it at the next round.",
                "slows an infusion that does no harm, and looks later at a place that should be "
                "watched",
            ),
            Option("leave", "Leave it in, fix the line in a loop, and look again before long."),
        ),
        reasons=(
            Option("one-sign", "It is slightly sore, and has no other sign."),
            Option(
                "poor-veins",
                "The other veins of both the patient's arms are poor.",
                "would keep a catheter with any number of signs",
            ),
            Option(
                "noon",
                "The catheter is needed until noon tomorrow.",
                "says that a catheter is needed, but not that this one may stay",
            ),
            Option(
                "saline",
                "The fluid is saline, which harms no tissue.",
                ("makes a leak less harmful; but a catheter that leaks comes out under saline too"),
            ),
        ),
        because=(
            "A single slight sign, with a cause that is known, is watched; from two signs on it "
            "comes out. The price is to look again within the hour and not at the next round."
        ),
        sources=("vip-cards",),
    ),
    Case(
        key="comp-twenty-minutes-left",
        title="Twenty minutes to the end",
        section="The same leak in a small arm",
        story=(
            "An infant sleeps while a plain fluid runs at 18 mL an hour, with twenty minutes to "
            "go. The forearm is thicker and cooler than the other, and firm beneath. The pump is "
            "silent, blood comes back, and the picture is as it was an hour ago. It took three "
            "people to put this catheter in; nothing more is due until tomorrow. “Let it finish,” "
            "says a colleague."
        ),
        ways=(
            Option(
                "finish",
                "Let the last of it run in, with a hand on the arm all the while.",
                (
                    "would suit an arm that is as soft as the other: here what is left would go "
                    "into the swelling"
                ),
            ),
            Option(
                "half",
                "Run the rest at half the rate, and take the catheter out after.",
                "lets the same volume go into the arm, and takes twice as long over it",
            ),
            Option(
                "keep",
                "Stop the fluid, flush, and save the catheter for tomorrow's drug.",
                "saves a catheter whose fluid does not stay in the vein",
            ),
            Option("out", "Stop the fluid, take the catheter out, and report what is missing."),
        ),
        reasons=(
            Option(
                "blood",
                "Blood comes back whenever the syringe is drawn.",
                "neither suggests a leak nor excludes one",
            ),
            Option(
                "three",
                "Three people were needed to put the catheter in.",
                "counts the work that it took, but the leak has already undone that work",
            ),
            Option("arm", "The forearm is thicker and cooler than the other."),
            Option(
                "picture",
                "The picture is just as it was an hour before.",
                "trusts a picture in which a deep leak changes nothing",
            ),
        ),
        because=(
            "Swollen, cool and firm against the other arm is a leak, whatever picture and pump "
            "say. The 6 mL that are left would be 4.8 % of an infant's forearm. The price is "
            "another search for a vein tomorrow."
        ),
        sources=("extravasation-lesson",),
    ),
)
