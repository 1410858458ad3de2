"""Cases on focal geometry: where the line falls against what the finger finds."""

from cubital.items.cases.case import Case
from cubital.items.kinds.choice import Option

CASES = (
    Case(
        key="focus-two-mm-beside",
        title="Two millimetres beside the vein",
        section="Registration: is the line on the vein?",
        story=(
            "This morning the device passed its target check. At the bedside its sharp line runs 2 "
            "mm beside the vein that your finger finds. You see that it stands 18 mm too far away. "
            "You set it to its working distance, level it and bring the vein to the middle. Now "
            "line and finger agree, along the arm and at a fork. A colleague wants it labelled and "
            "sent for repair. The patient has waited for an hour."
        ),
        ways=(
            Option(
                "label",
                "Label the device as faulty, and go on without its line.",
                "would suit a line that still differs at the working distance: here the distance "
                "was the fault",
            ),
            Option("go-on", "Go on with the line, and hold the device at this distance."),
            Option(
                "beside",
                "Go on by aiming 2 mm beside the line, as it was shown.",
                (
                    "uses at one distance the shift of another: at the right distance the shift "
                    "is gone"
                ),
            ),
            Option(
                "target",
                "Put the patient off until the target has been read anew.",
                "would suit a device that was knocked: this one passed today, and agrees with the "
                "finger in two directions",
            ),
        ),
        reasons=(
            Option(
                "passed",
                "The device passed its target check this morning.",
                "holds for the distance of the check: a device that passed can still be set too "
                "far away",
            ),
            Option("agree", "Line and finger agree at the working distance."),
            Option(
                "sharp",
                "The line has been sharp from the very beginning.",
                "trusts sharpness, which was there while the line ran beside the vein",
            ),
            Option(
                "waited",
                "The patient has been kept waiting for an hour.",
                "is a reason to hurry, but it does not say whether the line is on the vein",
            ),
        ),
        because=(
            "18 mm too far shifts the line of this device by 2.0 mm, and at the working "
            "distance that shift is gone. The price is that you must stay at this distance: "
            "about 9 mm off, the line is 1 mm beside the vein again."
        ),
        sources=("stereo-lecture",),
    ),
    Case(
        key="focus-corners-off",
        title="A knock before the night",
        section="Check the line against the truth",
        story=(
            "The device was knocked off its stand. On the target, twice and at the working "
            "distance, its middle mark fits and the corners fall 1.5 mm off. Your ward tolerates 1 "
            "mm, read at the edges too. It is the one device tonight. The next patient is a child "
            "with few veins and two failed attempts yesterday, and the father begs for the light. "
            "On the back of a hand a vein can just be felt."
        ),
        ways=(
            Option(
                "middle",
                "Use the middle of the picture, where the mark does fit.",
                "would suit a limit that is read in the middle alone: one mark that fits does not "
                "mend a picture that is turned",
            ),
            Option(
                "search",
                "Use it to look for veins, and put it away for the needle.",
                "still goes by a device that has failed: a line that is off misleads the finger as "
                "well",
            ),
            Option(
                "nearer",
                "Move it nearer until the corners of the picture fit too.",
                "would suit a picture that is too large: these corners were read at the right "
                "distance, and it would be wrong there",
            ),
            Option("aside", "Label it and set it aside, and do without its light tonight."),
        ),
        reasons=(
            Option(
                "middle-fits",
                "The middle mark fits, after the knock as before it.",
                "looks at the one place where a turned picture still fits",
            ),
            Option("corners", "The corners are 1.5 mm off by two readings."),
            Option(
                "few-veins",
                "The child has few veins, and two attempts failed.",
                (
                    "makes a line in the right place more useful, and one in the wrong place "
                    "more harmful"
                ),
            ),
            Option(
                "one-device",
                "There is just the one device on the ward tonight.",
                "says that a device is needed, but does not put this one right",
            ),
        ),
        because=(
            "1.5 mm is over the limit of 1 mm that was set before the check, at the right "
            "distance, and twice. The price is a night without the light; the child goes to "
            "whoever does best by finger or ultrasound."
        ),
    ),
    Case(
        key="focus-lamp-that-stays",
        title="Beside the surgeon's lamp",
        section="Room light and size of the picture",
        story=(
            "A surgeon is closing a wound on the belly and needs the lamp for ten more minutes; it "
            "throws 1,500 lx on the forearm. Pain relief by vein is due at once. Your picture, 192 "
            "by 144 mm, covers the whole forearm, but its lines are hardly visible. The device "
            "gives 14 lumens and can be set to 96 by 72 mm. You want at least 0.5 times the room's "
            "light. By touch alone the vein is uncertain."
        ),
        ways=(
            Option(
                "large",
                "Keep the picture large, and aim by what lines can be seen.",
                "would suit a forearm lit with 1,000 lx: at 1,500 lx the picture gives 0.34 of the "
                "room's light, and a faint line invites the eye to guess",
            ),
            Option(
                "lamp-off",
                "Have the lamp turned off a while, and keep the picture large.",
                "takes the light from an open wound, where a smaller picture is enough",
            ),
            Option("smaller", "Use a picture of 96 by 72 mm on the vein, as the lamp stays."),
            Option(
                "later",
                "Leave the vein until the wound is closed and the lamp off.",
                "would suit a therapy that can wait: pain relief is due at once, and the picture "
                "can be made bright enough",
            ),
        ),
        reasons=(
            Option(
                "whole",
                "The large picture covers all of the forearm.",
                "shows more of the arm, but one vein is all that is needed",
            ),
            Option(
                "ten-minutes",
                "The lamp will be needed for ten more minutes.",
                "says how long the wait would be, but not whether one must wait",
            ),
            Option("area", "A quarter of the area gets four times the light."),
            Option(
                "touch",
                "By touch alone this vein cannot be found for sure.",
                "says that the picture is needed, but not how large it should be",
            ),
        ),
        because=(
            "14 lumens on 192 by 144 mm are 506 lx, 0.34 times the room's light; on 96 by 72 mm "
            "they are 2,025 lx, 1.35 times. The price is to see a quarter of the area."
        ),
        sources=("contrast-and-colour-page",),
    ),
    Case(
        key="focus-alone-at-night",
        title="At night, without a stand",
        section="In the hand or on a stand",
        story=(
            "At night you are alone with a device that has no stand. On a vein of the forearm, "
            "soft, without a pulse and 2.9 mm wide by this evening's scan, line and finger agree "
            "while your hand rests. The skin is loose there, and the vein rolls unless it is "
            "stretched. The dose, by 22 gauge, is due now; your colleague is back in forty "
            "minutes. The patient, whose other arm is weak, holds still."
        ),
        ways=(
            Option("aside", "Aim by the line, put it down, and go in where you felt the vein."),
            Option(
                "one-hand",
                "Keep the device in one hand, and go in with the other.",
                "would suit firm skin: here nobody stretches it, and the vein rolls away",
            ),
            Option(
                "prop",
                "Lean the device on the bed rail, and go in by its line.",
                "takes a prop for a stand: nobody has set its distance, and what holds a mistake "
                "holds it steadily",
            ),
            Option(
                "wait",
                "Leave the vein until your colleague can hold the device.",
                "would suit a vein that is lost without the picture: this one is under your finger",
            ),
        ),
        reasons=(
            Option(
                "agree",
                "Line and finger agree while your hand rests.",
                "allows you to aim by the line, but nobody stretches the skin",
            ),
            Option("both-hands", "Skin and needle take up both of your hands."),
            Option(
                "still",
                "The patient can hold still for all of the time.",
                "makes every way easier, but does not hold the vein",
            ),
            Option(
                "due",
                "The dose is due now, and not in forty minutes.",
                "speaks against waiting, but not for one of the ways of going in",
            ),
        ),
        because=(
            "Loose skin has to be held, and the needle needs the other hand. A picture is for "
            "choosing and aiming; the vein is felt before the skin is cleaned, and the entry is by "
            "eye. The price is to go in without a line."
        ),
    ),
)
