"""Cases on one patient: the device, the attempts and the days that a catheter stays."""

from cubital.items.cases.case import Case
from cubital.items.kinds.choice import Option

CASES = (
    Case(
        key="patient-fortnight",
        title="An ideal vein",
        section="Insertion",
        story=(
            "A patient is to have an antibiotic for fourteen days; a peripheral vein bears it. Her "
            "forearm vein is 3.2 mm wide by ultrasound, 2 mm deep, straight for 60 mm, soft, "
            "without a pulse. The first dose is due in five hours. Your ward sends whoever needs "
            "more than six days to the access team before the first needle; the team is in the "
            "house until the evening. “Please get on with it,” she says."
        ),
        ways=(
            Option("team", "Put in nothing, and refer her to the access team at once."),
            Option(
                "thick",
                "Put a 20 gauge into this vein now, and refer her if it fails.",
                "would suit three or four days: a plan for a fortnight is made before the first "
                "needle",
            ),
            Option(
                "long",
                "Put a 48 mm catheter into this vein, as longer ones hold.",
                "would suit a deep vein and some days of therapy: it does not make a catheter for "
                "a fortnight",
            ),
            Option(
                "one-dose",
                "Put in a 22 gauge for today's dose, and refer her tomorrow.",
                "would suit a dose that cannot wait: five hours are left, and the team comes "
                "before they are over",
            ),
        ),
        reasons=(
            Option(
                "ideal",
                "Her vein is wide, near the skin, straight and soft.",
                "says that the vein is good, but a good vein does not shorten the therapy",
            ),
            Option("fourteen", "Two full weeks of the antibiotic are planned."),
            Option(
                "five-hours",
                "The first dose is not due for five hours.",
                "makes it easy to wait, and for two days of therapy one would not",
            ),
            Option(
                "bears",
                "A peripheral vein bears the drug for her.",
                "is true, but it would allow a midline as well as a short catheter",
            ),
        ),
        because=(
            "Fourteen days are over the ward's six. A panel puts a catheter under ultrasound or a "
            "midline first for such a time, and her vein is spared. The price is a patient who has "
            "to wait for the team."
        ),
        sources=("magic-2015", "cdc-hub"),
    ),
    Case(
        key="patient-second-attempt",
        title="After the first failure",
        section="Insertion",
        story=(
            "Your first attempt, at the left forearm, has failed: the vein rolled. The place is "
            "dry again. The patient takes a blood thinner and is nervous, but agrees to one more. "
            "On the right forearm a vein can be seen and felt, without a pulse, 3.4 mm wide by "
            "ultrasound; insertions were never hard before. Your ward allows each person two "
            "attempts. A 22 gauge is needed within half an hour; the access team has a queue of "
            "two hours."
        ),
        ways=(
            Option("right-arm", "Make your second attempt at the right forearm, with taut skin."),
            Option(
                "left-below",
                "Make your second attempt at the left, below the first place.",
                "goes in below a failed place, where the fluid can run out of the vein again",
            ),
            Option(
                "team",
                "Make no second attempt, and put her on the access team's list.",
                "would suit a vein that is not seen or not felt: here nothing foretells failure",
            ),
            Option(
                "thinner",
                "Make no second attempt while the blood thinner is at work.",
                "takes a blood thinner for a bar to the needle: it is a reason to press for "
                "longer, and to count attempts",
            ),
        ),
        reasons=(
            Option(
                "queue",
                "The access team has a queue, and it is long.",
                ("would be just as true if no good vein were left, and then you would pass her on"),
            ),
            Option("good-vein", "The right vein is seen and felt, and wide enough."),
            Option(
                "allowed",
                "The ward allows each person to make two attempts.",
                "names the most that is allowed, and no reason to use it",
            ),
            Option(
                "blood-thinner",
                "She takes a blood thinner and bleeds for longer.",
                "tells how long to press, and not whether to go in",
            ),
        ),
        because=(
            "Seen, felt, over 3 mm, never hard before: nothing foretells failure, and the 22 gauge "
            "takes up 27.9 % of the vein. The price, if it fails, is a second bruise under a blood "
            "thinner; then she is passed on."
        ),
        sources=("van-loon-2019",),
    ),
    Case(
        key="patient-from-the-street",
        title="A quiet catheter",
        section="Removal",
        story=(
            "Yesterday afternoon a catheter was put in on the street, without clean technique, and "
            "marked as such. Twenty hours later it runs well; the place is flat, soft and "
            "painless. Two more days of antibiotic by vein are ordered. Your ward replaces such "
            "catheters within 24 hours of insertion. The other forearm has a good vein. “It works, "
            "leave it,” says the patient, who then agrees to whatever you advise."
        ),
        ways=(
            Option(
                "leave",
                "Leave it in while it is quiet, and look at it twice as often.",
                "would suit a catheter that was put in with clean technique: looking often does "
                "not make this one clean",
            ),
            Option(
                "by-mouth",
                "Take it out today, and give the two days of drug by mouth.",
                "changes an order that is the prescriber's, and the order is by vein",
            ),
            Option("replace", "Put a new one into the other forearm, and take this one out."),
            Option(
                "tomorrow",
                "Leave it in for tonight, and settle it at tomorrow's round.",
                "would suit a rule without hours: by tomorrow's round the 24 hours are over",
            ),
        ),
        reasons=(
            Option(
                "quiet",
                "The place is flat, is soft and is painless.",
                ("says what would keep any other catheter, but an early infection need not show"),
            ),
            Option(
                "two-days",
                "Two more days by vein have been ordered.",
                "says that a catheter is needed, but not that this one must go",
            ),
            Option(
                "wish",
                "The patient would rather keep what works.",
                "goes by a wish that the patient gave up after your explanation",
            ),
            Option("unclean", "It was put in without any clean technique."),
        ),
        because=(
            "A catheter that was put in without clean technique is replaced early whatever it "
            "looks like, on this ward within 24 hours. The price is one more needle for a patient "
            "who has no complaint."
        ),
        sources=("replacement-page",),
    ),
    Case(
        key="patient-fourth-day",
        title="The fourth day",
        section="Removal",
        story=(
            "A catheter, put in with clean technique, is in its fourth day. The place is flat, "
            "soft and painless, and it flushes smoothly. Two more doses are due, the last of them "
            "tomorrow morning. “Ninety-six hours, change it,” says a colleague who is new on the "
            "ward. Your ward changes for a reason and not by the clock, and looks at every place "
            "each shift. The patient's veins are few."
        ),
        ways=(
            Option("leave", "Leave it in until the doses are given, and look each shift."),
            Option(
                "change",
                "Change it today for a new one in the patient's other arm.",
                "would suit a ward that changes by the clock: on this one it takes a reason, and "
                "there is none",
            ),
            Option(
                "delay",
                "Take it out today, and have the two doses given later.",
                "would suit a sore vein and a drug that can wait: it delays treatment for no sign "
                "at all",
            ),
            Option(
                "reserve",
                "Leave it in for three more days, as a reserve for later.",
                "would suit a plan for more therapy: after the last dose it is not needed and "
                "comes out",
            ),
        ),
        reasons=(
            Option(
                "four-days",
                "The fourth day of it is over by noon.",
                "goes by the clock, which this ward does not",
            ),
            Option(
                "few",
                "The patient has few veins that are left.",
                (
                    "is just as true where a vein is sore, and there the catheter comes out all "
                    "the same"
                ),
            ),
            Option(
                "clean",
                "The catheter went in with clean technique.",
                "is why it need not go early, but it would not keep a catheter that hurts",
            ),
            Option("no-sign", "The place has shown no sign of trouble."),
        ),
        because=(
            "It is needed for two doses, nothing speaks against the place, and the ward changes "
            "for a reason. A review of 2015 found no difference in infection of the blood or in "
            "phlebitis between the two. The price is to look at it each shift."
        ),
        sources=("replacement-2015",),
    ),
)
