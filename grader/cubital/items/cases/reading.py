"""Cases on reading the vein: limb, site and band against the pull of a good picture."""

from cubital.items.cases.case import Case
from cubital.items.kinds.choice import Option

CASES = (
    Case(
        key="read-failing-kidneys",
        title="The hand or the forearm",
        section="First the limb, then the site, then the band",
        story=(
            "A man's kidneys are failing, and next year he may need a fistula. One dose is to go "
            "in by 22 gauge. His forearm shows a long, dark band that springs back; the back of "
            "the hand has a vein just under the skin, 2.4 mm wide by ultrasound and long enough. "
            "He dislikes needles there, but leaves it to you. Your ward spares forearm and elbow "
            "in such patients unless the renal team agrees. The limit is 45 %."
        ),
        ways=(
            Option(
                "forearm",
                "Take the forearm band, the best one for a single dose.",
                "would suit a man with sound kidneys: there the forearm comes before the hand",
            ),
            Option(
                "elbow",
                "Take a vein of the elbow, and leave the forearm alone.",
                "spares the forearm and spends the elbow, which the ward's rule spares as well",
            ),
            Option(
                "put-off",
                "Put the dose off until the renal team has seen him.",
                "would suit a man without a vein in the hand: this one takes the catheter, and the "
                "rule allows it",
            ),
            Option("hand", "Take the vein of the hand, which he would not choose."),
        ),
        reasons=(
            Option("fistula", "The patient may need a fistula next year."),
            Option(
                "springs",
                "The forearm band is long and springs back.",
                "speaks for the vein, but it is the very one that he may need for a fistula",
            ),
            Option(
                "single",
                "A single dose by a thin catheter is all there is.",
                "would allow any vein, also the one in the forearm",
            ),
            Option(
                "dislikes",
                "He dislikes to have a needle in his hand.",
                "weighs a dislike that he has left to you, against an arm that he may need for "
                "years",
            ),
        ),
        because=(
            "The ward spares forearm and elbow for a later fistula, and the hand vein takes the 22 "
            "gauge at 39.5 %. The price is a place that he dislikes and that moves more."
        ),
        sources=("kdoqi-veins",),
    ),
    Case(
        key="read-plaster-and-nodes",
        title="Two arms, two histories",
        section="First the limb, then the site, then the band",
        story=(
            "The lymph nodes of a woman's left armpit were removed four years ago; the arm has "
            "never swollen. Her right arm is in plaster since today, fingers to shoulder. She "
            "needs two days of fluid. A vein of the left forearm springs back, 2.8 mm wide. Your "
            "ward keeps such a side free while the other arm will do; if it will not, the patient "
            "decides. You have told her both sides. “Use the left,” she says."
        ),
        ways=(
            Option("left", "Go in at the left forearm, as the patient has decided."),
            Option(
                "above-plaster",
                "Go in at the right upper arm, by a window in the plaster.",
                "goes into a limb that is broken and swelling, to spare one that the rule "
                "and the patient allow",
            ),
            Option(
                "foot",
                "Go in at a foot, which leaves both of her arms in peace.",
                "passes by an arm that the ward's own rule allows; and you do not choose a "
                "foot alone",
            ),
            Option(
                "central",
                "Hold the fluid until a central line has been put in.",
                "would suit a drug that no small vein bears: two days of fluid are no such thing",
            ),
        ),
        reasons=(
            Option(
                "no-swelling",
                "The left arm has not swollen in all four years.",
                "is good news, but the ward keeps such a side free all the same as long as "
                "the other arm will do",
            ),
            Option("plaster", "The right arm is in plaster up to the shoulder."),
            Option(
                "good-vein",
                "The left vein springs back and is 2.8 mm wide.",
                "says that the vein is good, but a good vein does not lift the rule",
            ),
            Option(
                "two-days",
                "The fluid is wanted for two days and no longer.",
                "speaks against a central line, and not for this arm",
            ),
        ),
        because=(
            "The rule keeps the side free while the other arm will do, and here it will not; then "
            "the patient decides. The price is a puncture that both would rather have avoided. No "
            "link with swelling was found for blood draws and injections; catheters were not "
            "named."
        ),
        sources=("ferguson-2016",),
    ),
    Case(
        key="read-high-gain",
        title="Six bands at a high gain",
        section="What processing hides and what it invents",
        story=(
            "With the gain turned up, six bands appear on a hairy forearm. When you move the "
            "device five of them dance; the sixth stays, in a crease of the skin. At a low gain "
            "none is left. With the arm warm and low your finger finds a vein under none of them. "
            "The antibiotic can wait for an hour, and a colleague with a probe comes in twenty "
            "minutes. “There,” says the patient, and points at the longest."
        ),
        ways=(
            Option(
                "staying",
                "Use the band that stays in place when the device moves.",
                "would suit a band that the finger confirms: a crease stays on the skin as well as "
                "a vein does",
            ),
            Option("none", "Use none of the bands, and leave the arm to the probe."),
            Option(
                "longest",
                "Use the longest of the bands, where the patient points.",
                "goes by length, and noise at a high gain draws long bands too",
            ),
            Option(
                "clip",
                "Clip the hair, narrow the filter, and use what is left.",
                "would suit veins that hair hides: a narrower filter lets noise make more bands, "
                "and the finger needs no filter",
            ),
        ),
        reasons=(
            Option("finger", "Under none of the bands does a finger find a vein."),
            Option(
                "stays",
                "One of the bands stays in place when the device moves.",
                "tells a band on the skin from noise, but not a vein from a crease",
            ),
            Option(
                "hair",
                "Hair lies across the forearm and makes lines.",
                ("explains some of the bands, but the finger would still have to confirm the rest"),
            ),
            Option(
                "hour",
                "The antibiotic can be given an hour from now.",
                "makes the wait easy, but does not say which band is a vein",
            ),
        ),
        because=(
            "A band that the finger cannot confirm is not yet a vein, and more gain does not make "
            "it one. The price is twenty minutes, of the hour that there is."
        ),
    ),
    Case(
        key="read-fork-at-twenty",
        title="Two bands, three lengths",
        section="Valves and bifurcations",
        story=(
            "A 20 gauge is to stay for three days. Band A, mid-forearm, forks 20 mm beyond the "
            "place where a catheter would enter the vein. Band B runs free for 60 mm along the "
            "thumb side, from 5 cm above the bony tip of the wrist. Both spring back, 3.0 mm deep "
            "and 2.8 mm wide by ultrasound. You go in at 25 degrees and want 65 % in the vein. The "
            "trolley holds 25, 32 and 48 mm."
        ),
        ways=(
            Option(
                "fork-32",
                "Take band A with the 32 mm catheter, the middle length.",
                "would suit a vein that is free for more than 24.9 mm, the length that would lie "
                "in it: its end would stand beyond the fork",
            ),
            Option("fork-25", "Take band A with the 25 mm catheter, short of the fork."),
            Option(
                "free-48",
                "Take band B with the 48 mm catheter, in its free run.",
                "would suit a band that begins 12 cm above the wrist: below that, branches of a "
                "nerve cross the vein",
            ),
            Option(
                "midline",
                "Take neither of them, and refer for a midline instead.",
                "would suit bands that no catheter fits: 17.9 mm of the short one lie well in band "
                "A",
            ),
        ),
        reasons=(
            Option(
                "free",
                "Band B runs free for all of 60 mm along the arm.",
                "goes by length alone: most of it lies where a nerve crosses",
            ),
            Option(
                "width",
                "Both of the bands are 2.8 mm wide by ultrasound.",
                "allows either band, so it does not choose between them",
            ),
            Option("fork", "Band A is straight for 20 mm before its fork."),
            Option(
                "days",
                "The catheter is to stay in for three days.",
                (
                    "says that the catheter must hold well, but the fork limits how much of it "
                    "can lie in the vein"
                ),
            ),
        ),
        because=(
            "At 25 degrees 17.9 mm of the 25 mm catheter lie in band A, 71.6 %, and end before the "
            "fork; of the 32 mm one it would be 24.9 mm. The price is a shorter hold, "
            "and an end that stands near the fork."
        ),
        sources=("vialle-2001", "pandurangadu-2018"),
    ),
)
