"""Cases on the size of a catheter: what the therapy needs against what the vein takes."""

from cubital.items.cases.case import Case
from cubital.items.kinds.choice import Option

CASES = (
    Case(
        key="sizing-slow-order",
        title="Two sizes, two veins",
        section="The smallest catheter that does the job",
        story=(
            "A woman of 80 walks with a frame and leans on both arms. She needs 100 mL of an "
            "antibiotic over 30 minutes, four times a day for two days. By ultrasound, tourniquet "
            "off, her forearm vein is 1.9 mm across, soft and straight; the one in the crook of "
            "the elbow is 2.8 mm. The ward's limit is 45 %. Your colleague holds out a 22 gauge, "
            "the size that the ward uses most."
        ),
        ways=(
            Option(
                "thin-forearm",
                "Put a 24 gauge into the forearm vein, thin as it is, for the doses.",
            ),
            Option(
                "usual-forearm",
                "Put the 22 gauge into the forearm vein and run the doses through it.",
                "would suit a vein of 2.2 mm: in one of 1.9 mm the 22 gauge takes up 49.9 %, over "
                "the ward's limit",
            ),
            Option(
                "usual-elbow",
                "Put the 22 gauge into the elbow vein, which has room enough for it.",
                "would suit an order that no thin catheter can give: here the catheter would "
                "lie in a joint that bends at every step, for more flow than was ordered",
            ),
            Option(
                "upper-arm",
                "Leave both veins alone and refer her for a longer line in the upper arm.",
                "would suit weeks of therapy: for two days a forearm vein that takes a thin "
                "catheter within the limit is enough",
            ),
        ),
        reasons=(
            Option("flow", "It takes 3.3 mL a minute to give the dose."),
            Option(
                "wider-elbow",
                "The vein at the elbow is wider by 0.9 mm.",
                "is true, but it would decide only if the forearm vein were too narrow for "
                "every catheter that gives the flow",
            ),
            Option(
                "two-days",
                "The therapy is over after two days.",
                "speaks against a longer line, and does not tell a 24 gauge from a 22 gauge",
            ),
            Option(
                "habit",
                "The ward puts in the 22 gauge most often.",
                "goes by a habit, which says nothing of this vein or of this order",
            ),
        ),
        because=(
            "3.3 mL a minute are needed and a 24 gauge gives a nominal 21, so the thin one does "
            "the job. It takes up 39.4 % of the forearm vein, the 22 gauge 49.9 %. The price is a "
            "short catheter, which has to be secured well on an arm that works."
        ),
        sources=("ins-2021",),
    ),
    Case(
        key="sizing-fast-fluid",
        title="Forearm or elbow",
        section="The smallest catheter that does the job",
        story=(
            "A man of 40 bleeds after a fall; he is awake and lies still. The team wants 80 mL a "
            "minute, a margin included, for the two hours until theatre. By ultrasound, tourniquet "
            "off, his one good forearm vein is 2.6 mm across and straight for 60 mm; the vein in "
            "the crook of the elbow is 3.4 mm. Neither pulsates. The limit is 45 %. Nominal flow: "
            "61 mL a minute for 20 gauge, 105 for 18 gauge."
        ),
        ways=(
            Option(
                "thick-forearm",
                "Put an 18 gauge into the forearm vein, where no joint bends it.",
                "would suit a forearm vein of 3.0 mm or more: of this one an 18 gauge takes up "
                "51.9 %, over the limit",
            ),
            Option("thick-elbow", "Put an 18 gauge into the elbow vein, keep that arm straight."),
            Option(
                "thinner-forearm",
                "Put a 20 gauge into the forearm vein and hang the bag higher.",
                "would suit an order of 50 mL a minute: it trusts the height of a bag to turn a "
                "nominal 61 into 80, and into a vein less runs than the nominal flow",
            ),
            Option(
                "bone",
                "Leave the veins of both arms and have a line put into bone.",
                "would suit a man whose veins cannot be had: his elbow vein gives the flow within "
                "the limit",
            ),
        ),
        reasons=(
            Option(
                "straight",
                "The forearm vein is straight for all of 60 mm.",
                "says where a catheter would lie best, but no catheter that fits this vein "
                "gives the flow",
            ),
            Option(
                "bend",
                "A bent elbow can slow the drip at any time.",
                "counts against the elbow, but in a man who lies still for two hours it "
                "matters less than the flow",
            ),
            Option("flow", "The flow that is wanted is 80 mL a minute."),
            Option(
                "no-pulse",
                "Neither of the vessels beats under a finger.",
                "is needed for either vein, and does not choose between them",
            ),
        ),
        because=(
            "80 mL a minute need an 18 gauge, which takes up 39.7 % of the elbow vein and 51.9 % "
            "of the forearm vein. The price is a catheter at a joint, for two hours in an arm that "
            "is kept straight. Whoever bleeds usually gets a second way in as well."
        ),
    ),
    Case(
        key="sizing-unmeasured",
        title="A broad band before theatre",
        section="Measure the vein, do not read it off the picture",
        story=(
            "A man is due in theatre in three hours and is to have an 18 gauge. The picture shows "
            "one broad band in his forearm, 3.8 mm wide; it is soft, springs back under your "
            "finger and does not pulsate. Your ward measures a vein before an 18 gauge or thicker; "
            "nobody has. The limit is 45 %. The nurse with the probe is free in half an hour. One "
            "attempt has failed, and he wants it over."
        ),
        ways=(
            Option(
                "thick-now",
                "Put the 18 gauge in now, with room to spare on both sides of it.",
                "takes the width of the band for that of the vein: scattered light widens it, by "
                "an amount that the picture does not show",
            ),
            Option(
                "thinner-now",
                "Put a 20 gauge in now, one size below the one that was ordered.",
                "would suit an order that a 20 gauge can carry: theatre wants an 18 gauge, and a "
                "step of one size is no measurement",
            ),
            Option(
                "nearer",
                "Bring the device nearer, measure the larger band, and choose by that.",
                "expects a larger picture to measure better: out of its working distance the "
                "device changes the scale, and the skin blurs the band as before",
            ),
            Option(
                "wait-for-probe",
                "Wait half an hour for the probe, and let the vein be measured.",
            ),
        ),
        reasons=(
            Option(
                "springs",
                "The band is soft under a finger and springs back.",
                "says that a vein is open here, but not which catheter it takes",
            ),
            Option(
                "one-failed",
                "One attempt has already failed this morning.",
                "makes the next attempt more important, but says nothing of the width",
            ),
            Option("unknown-width", "The width of the vein itself is still unknown."),
            Option(
                "wants-it-over",
                "The patient wants to have the matter over with.",
                "goes by his wish to be done, and a failed catheter would take longest of all",
            ),
        ),
        because=(
            "An 18 gauge needs a vein of 3.0 mm at a limit of 45 %, and a band of 3.8 mm may be a "
            "vein far narrower than that. The price is half an hour of his patience, and three "
            "hours are left."
        ),
    ),
    Case(
        key="sizing-blood-ordered",
        title="Blood is ordered",
        section="The smallest catheter that does the job",
        story=(
            "A patient's 22 gauge catheter has been in the forearm for two days; it flushes "
            "smoothly, and the place is flat, soft and painless. One unit of blood, 300 mL, is to "
            "run over three hours. Your ward allows transfusion through 22 gauge or thicker. The "
            "widest vein left, by ultrasound, tourniquet off, is 2.4 mm across; the limit is 45 %. "
            "“Blood needs a 20 gauge,” says a colleague."
        ),
        ways=(
            Option(
                "thicker",
                "Put a 20 gauge into the 2.4 mm vein for the blood.",
                "would suit a vein of 2.6 mm and an order for more flow: of this vein a 20 gauge "
                "takes up 47.9 %",
            ),
            Option(
                "fresh",
                "Change to a new 22 gauge before the blood is hung.",
                "would suit a place with signs: two days in a quiet vein are no reason to spend "
                "another",
            ),
            Option("in-place", "Run the blood through the 22 gauge that is in the arm."),
            Option(
                "midline",
                "Hold the blood until a midline has been put in.",
                "would suit a patient in whom no catheter carries the order: the one in place does",
            ),
        ),
        reasons=(
            Option(
                "days",
                "The catheter went in the day before yesterday.",
                "counts days, but neither the ward's rule nor the place asks for a change",
            ),
            Option(
                "narrow",
                "The widest vein that is left is 2.4 mm.",
                "would not change the decision: with a wider vein the catheter in place would "
                "still do",
            ),
            Option(
                "thick-fluid",
                "Blood is thicker than water and slower.",
                ("is true of blood, but even so the catheter gives more flow than this rate needs"),
            ),
            Option("flow", "The blood is to run in at 1.7 mL a minute."),
        ),
        because=(
            "300 mL in three hours are 1.7 mL a minute. Even with blood's thickness the sum "
            "for a 22 gauge alone gives 10.7 mL a minute from a bag 800 mm up. The price is "
            "that the catheter gives little more if blood must suddenly run fast."
        ),
    ),
)
