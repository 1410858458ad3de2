"""Vignettes on a drug that destroys tissue: where it may run, and what to do about its site."""

from cubital.items.principles.vignette import Principle, Vignette, Way

_BURNING = Vignette(
    "burning-at-night",
    present=True,
    story=(
        "On a night shift a drug on your department's list of vesicants runs by pump into the "
        "forearm of a retired baker. Half of it is in when he wakes and says that it bites. The "
        "skin over the tip is tight and cool. The near-infrared picture shows the vein as at "
        "midnight. What do you do?"
    ),
    ways=(
        Way(
            "line-off-catheter-in",
            "Clamp the line, take it off the hub, and leave the catheter untouched for the doctor "
            "on call.",
            stops=True,
        ),
        Way(
            "catheter-out",
            "Clamp the line, take the catheter out, raise the arm, and find a vein on the other "
            "side.",
            stops=True,
            misconception="does what is right for a plain fluid: with the catheter goes the way "
            "to draw the drug back or to give an antidote",
        ),
        Way(
            "rinsed-through",
            "Clamp the line, take it off the hub, and rinse the catheter for the doctor on call.",
            stops=True,
            misconception="rinses the catheter: what is still in it goes into the tissue, and "
            "what is there already spreads",
        ),
        Way(
            "slower-and-stay",
            "Let it run more slowly, stay beside the bed, and go through the signs with the "
            "doctor on call.",
            stops=False,
            misconception="lets the drug run on while help is fetched: at any rate it goes into "
            "tissue that it destroys",
        ),
    ),
    because=(
        "A bite, tight skin and cool skin speak for a leak, and the picture does not speak "
        "against one. Nothing more runs in, and nothing is pushed; the catheter stays, since the "
        "drug may be drawn back through it, or an antidote given."
    ),
    sources=("extravasation-sheet", "extravasation-lesson"),
)

_MIDLINE = Vignette(
    "midline-at-hand",
    present=True,
    story=(
        "A drug on your department's list of vesicants is ordered for three days and nights. The "
        "list says: by a central line only. Since yesterday a midline has been in the upper arm; "
        "blood comes back, and saline goes in softly. The bag is made up, and the patient is well "
        "enough to wait until the evening. What comes next?"
    ),
    ways=(
        Way(
            "central-line-before",
            "Leave the bag closed until the prescriber has had a central line put in for the drug.",
            stops=True,
        ),
        Way(
            "film-of-midline",
            "Leave the bag closed until an X-ray has shown the prescriber where the midline's tip "
            "lies.",
            stops=True,
            misconception="hopes that the midline turns out to be a central line: it ends in "
            "the upper arm, wherever its tip lies there",
        ),
        Way(
            "second-nurse",
            "Leave the bag closed until a second nurse has drawn blood back from the midline as "
            "well.",
            stops=True,
            misconception="tests whether the midline lies well: that is not in doubt, and the "
            "list asks for another kind of line",
        ),
        Way(
            "midline-for-today",
            "Open the bag into the midline, look every hour, and have the prescriber order a line.",
            stops=False,
            misconception="takes a midline for near enough: a leak in the upper arm lies deep and "
            "is noticed late",
        ),
        Way(
            "second-midline",
            "Leave the bag closed until a second midline has been put in for this drug.",
            stops=True,
            misconception=(
                "has a second midline put in for the drug: that is no central line either"
            ),
        ),
    ),
    because=(
        "The list wants a central line. A midline is not one: it ends in a vein of the arm, "
        "however well it works. The patient can wait, so that the line comes before the drug."
    ),
)

_PRESSURE = Vignette(
    "pressure-held-up",
    present=True,
    story=(
        "In the resuscitation room a drug on the list of vesicants holds up a woman's blood "
        "pressure. It runs into the left forearm, where a firm swelling now rises. In the "
        "right forearm lies a second catheter. It is an hour old, runs freely and does not "
        "hurt. The list allows it until she has a central line, in half an hour. What do you "
        "do?"
    ),
    ways=(
        Way(
            "other-catheter-now",
            "Stop it here, leave this catheter in, and start it again through the right one "
            "straight away.",
            stops=True,
        ),
        Way(
            "catheter-out-first",
            "Stop it here, take this catheter out, and start it again through the right one "
            "straight away.",
            stops=True,
            misconception="takes out the catheter beside which the drug leaked, and with it the "
            "way to draw the drug back",
        ),
        Way(
            "wait-for-central",
            "Stop it here, leave this catheter in, and start it again when the central line is "
            "ready.",
            stops=True,
            misconception="leaves her without the drug that holds up her pressure, though another "
            "good catheter is in",
        ),
        Way(
            "on-until-central",
            "Run it here as ordered until the central line is ready, with one of you watching the "
            "swelling.",
            stops=False,
            misconception="takes watching for protecting: what runs in until then destroys "
            "tissue, and the other arm is ready",
        ),
    ),
    because=(
        "The left site leaks, so the drug stops there and its catheter stays in. Her pressure "
        "cannot do without the drug, and the other arm has a good catheter that the list allows. "
        "Meanwhile somebody calls for the protocol: an antidote works best early."
    ),
    sources=("lewis-2017", "extravasation-sheet"),
)

_PUNCTURE = Vignette(
    "puncture-further-up",
    present=True,
    story=(
        "In the day clinic you are to give a drug on your department's list of vesicants by hand. "
        "The list wants a vein that is whole from the needle up. The catheter in the left forearm "
        "works; a hand's breadth above it, on the same vein, sits a plaster from this morning's "
        "blood sample. In the near-infrared picture the vein runs on beneath. What comes next?"
    ),
    ways=(
        Way(
            "right-arm",
            "Keep the syringe capped, and find a whole vein in the other arm, at a needle's cost.",
            stops=True,
        ),
        Way(
            "same-hand",
            "Keep the syringe capped, and find a vein in the same hand, well away from the "
            "plaster.",
            stops=True,
            misconception="goes further down on the same arm: from there, too, the drug can come "
            "up past the puncture",
        ),
        Way(
            "saline-past-it",
            "Keep the syringe capped until blood has come back and saline has run in without a "
            "swelling.",
            stops=True,
            misconception="tests the puncture with saline: if it holds for a minute, the "
            "vein is still not whole",
        ),
        Way(
            "slowly-by-hand",
            "Give it slowly through the left arm, and keep a finger beside the plaster all the "
            "time.",
            stops=False,
            misconception="relies on feeling a leak with the finger: by then the drug is in "
            "the tissue",
        ),
        Way(
            "until-it-has-closed",
            "Keep the syringe capped until tomorrow, when the hole under the plaster will have "
            "closed.",
            stops=True,
            misconception=(
                "puts off a drug that can be given today: the other arm offers a whole vein"
            ),
        ),
    ),
    because=(
        "The drug would run past a hole that is some hours old, and the picture does not show "
        "whether it has closed. Above a catheter for such a drug the vein has to be whole: here "
        "only the other arm offers that."
    ),
)

_PULLED = Vignette(
    "about-to-be-pulled",
    present=True,
    story=(
        "Back from your break you find a colleague at a bedside. A drug on the list of "
        "vesicants ran into the tissue of the forearm; she has stopped it, taken the line "
        "off and loosened the dressing. Now she is about to pull the catheter. A new set "
        "lies open for a vein beside the swelling. The pain is mild, the skin unbroken. The "
        "drug can pause. What do you do?"
    ),
    ways=(
        Way(
            "report-now",
            "Keep needles out of this arm, have the catheter left in, and start the vesicant "
            "protocol now.",
            stops=True,
        ),
        Way(
            "catheter-out-then",
            "Keep needles out of this arm, have the catheter taken out, and start the vesicant "
            "protocol now.",
            stops=True,
            misconception="lets her pull the way by which the drug may be drawn back or an "
            "antidote given, before the protocol has said so",
        ),
        Way(
            "rinsed-first",
            "Keep needles out of this arm, have the catheter rinsed, and start the vesicant "
            "protocol now.",
            stops=True,
            misconception="rinses the catheter: what is still in it goes into the tissue, and "
            "what is there already spreads",
        ),
        Way(
            "round-in-the-morning",
            "Keep needles out of this arm, cool the swelling, and show it to the doctors on their "
            "round.",
            stops=True,
            misconception="waits for the round with what is urgent, and cools before anyone knows "
            "whether this drug allows it",
        ),
        Way(
            "vein-beside-it",
            "Let her use the vein beside the swelling, start the drug slowly, and draw round the "
            "edge.",
            stops=False,
            misconception="goes on with the drug in the arm that holds it already, before anyone "
            "has decided about the leak",
        ),
    ),
    because=(
        "The leak is urgent, however mild the pain: an antidote works best early, and the "
        "protocol says which. Until it has said what becomes of the catheter, that stays in. Mild "
        "pain and whole skin are no comfort, since harm shows late."
    ),
    sources=("extravasation-sheet",),
)

_HAND = Vignette(
    "catheter-of-the-day-before",
    present=True,
    story=(
        "A drug on your department's list of vesicants is due this evening. The list wants a "
        "forearm, and a catheter put in the same day. The patient, tired of needles, has one "
        "in the back of the hand from the day before yesterday. It does not hurt, runs "
        "freely, and lies in a vein that stands out. How do you go on?"
    ),
    ways=(
        Way(
            "new-in-forearm",
            "Hold the drug back until a new catheter is in the forearm, and give it tonight by "
            "that.",
            stops=True,
        ),
        Way(
            "blood-and-saline",
            "Hold the drug back until blood has come out of this catheter and saline has run in "
            "freely.",
            stops=True,
            misconception="asks of an old catheter in the hand whether it works: the list asks "
            "for a new one, and in the forearm",
        ),
        Way(
            "tomorrow",
            "Hold the drug back tonight, and have the doctors settle in the morning how she gets "
            "it.",
            stops=True,
            misconception="leaves out a drug that is due, though what the list asks for can be "
            "done tonight",
        ),
        Way(
            "hand-tonight",
            "Start the drug tonight through the hand, and put the new catheter in for the next "
            "dose.",
            stops=False,
            misconception="spares the patient a needle and risks her hand: over tendons and "
            "joints, tissue that dies costs most",
        ),
        Way(
            "new-in-other-hand",
            "Hold the drug back until a new catheter is in the other hand, and give it there.",
            stops=True,
            misconception="puts a new catheter into the wrong place: the list wants a forearm",
        ),
    ),
    because=(
        "The catheter is neither of today nor in the forearm, and its free flow does not make up "
        "for that. A new one can be put in tonight, and the drug is not late."
    ),
)

_NAME = Vignette(
    "name-that-sounds-alike",
    present=False,
    story=(
        "At the bedside a new colleague stops you: the drug in your hand sounds like one on "
        "your department's list of vesicants. You read the list together, and neither it nor "
        "its group is there; the pharmacist confirms forearm, strength and the slow rate "
        "that is ordered. The catheter was put in today and runs freely, the skin is soft, "
        "and the patient has no pain. What do you do?"
    ),
    ways=(
        Way(
            "start-as-ordered",
            "Open the bag into this catheter as slowly as ordered, and look at it as at any other.",
            stops=False,
        ),
        Way(
            "central-line-anyway",
            "Leave the bag closed until the prescriber has had a central line put in for the drug.",
            stops=True,
            misconception="goes by a name that sounds alike: the list and the pharmacist "
            "have said that it is another drug",
        ),
        Way(
            "doctor-reads-list",
            "Leave the bag closed until the doctor on call has come and read the list as well.",
            stops=True,
            misconception="has somebody settle again what is settled, and a drug that is due "
            "comes late",
        ),
        Way(
            "slower-to-be-safe",
            "Open the bag into this catheter more slowly than ordered, and stay there to the end.",
            stops=False,
            misconception="changes an ordered rate for a danger that has been ruled out: the dose "
            "comes late, and the other patients wait",
        ),
        Way(
            "second-pharmacist",
            "Leave the bag closed until a second pharmacist has confirmed forearm, strength and "
            "rate.",
            stops=True,
            misconception=(
                "has somebody settle again what is settled, and a drug that is due comes late"
            ),
        ),
    ),
    because=(
        "Names mislead. The list decides, and where it says nothing, the pharmacist does. "
        "Both agree, and the site is well, so the drug runs as ordered and you look at it as "
        "at any other."
    ),
)

_SALINE = Vignette(
    "saline-in-the-arm",
    present=False,
    story=(
        "A drug on the list of vesicants runs, as it should, through a central line in the neck: "
        "blood comes back, its dressing is flat and dry. Into the forearm runs saline, and "
        "nothing else ever went through that catheter. Here the patient now says that it is "
        "tight, and the skin is firm and cool. What do you do?"
    ),
    ways=(
        Way(
            "drug-on-forearm-out",
            "Run the drug on, clamp the saline, and take the forearm catheter out before the "
            "doctor comes.",
            stops=False,
        ),
        Way(
            "drug-on-saline-slower",
            "Run the drug on, slow the saline down, and look at the forearm again together with "
            "the doctor.",
            stops=False,
            misconception="lets saline run on into the tissue: slower, it leaks all the same, and "
            "the arm grows tighter",
        ),
        Way(
            "all-off",
            "Clamp both lines, take them off the hub, and leave the forearm catheter untouched "
            "for the doctor.",
            stops=True,
            misconception="treats a leak of saline as one of the drug, and keeps from the patient "
            "a drug that runs well elsewhere",
        ),
        Way(
            "protocol-for-saline",
            "Clamp both lines, keep needles out of this arm, and start the vesicant protocol for "
            "it now.",
            stops=True,
            misconception="starts the protocol of a drug that has never been in this arm",
        ),
        Way(
            "drug-on-saline-flushed",
            "Run the drug on, clamp the saline, and flush the forearm catheter to see where the "
            "fluid goes.",
            stops=False,
            misconception="pushes more saline into a tight arm to see what the hand has felt",
        ),
    ),
    because=(
        "The leak is in the forearm, and only saline ever ran there: that catheter comes out. The "
        "drug runs elsewhere, by the line that the list asks for, and its site is well."
    ),
)

_SCAR = Vignette(
    "scar-on-the-other-arm",
    present=False,
    story=(
        "A drug on the list of vesicants is due; the list allows a forearm, by a catheter of the "
        "same day that gives blood back. Yours, put in by near-infrared an hour ago, does, in a "
        "whole vein of the right forearm. Now the patient shows you a scar on the left forearm, "
        "where such a drug leaked years ago. He agrees to today's. What comes next?"
    ),
    ways=(
        Way(
            "right-arm-as-listed",
            "Start it through the right one as planned, and stop it there if he or your hand "
            "finds a change.",
            stops=False,
        ),
        Way(
            "pump-on-guard",
            "Start it through the right one as planned, and stop it there if the line or the pump "
            "finds a change.",
            stops=False,
            misconception="sets the pump to watch: it can push on against the tissue, and the "
            "patient and the hand notice earlier",
        ),
        Way(
            "wait-for-central-line",
            "Hold the drug back today, and start it as planned if he gets a central line in the "
            "neck.",
            stops=True,
            misconception="takes a leak of years ago, in the other arm, for a fault of this vein, "
            "and gives a new risk for an old one",
        ),
        Way(
            "tomorrow-after-scar",
            "Hold the drug back today, and have the doctors settle on their round what the scar "
            "means for it.",
            stops=True,
            misconception="asks what the list has settled: the scar is on the other arm, and "
            "the drug is due",
        ),
    ),
    because=(
        "The scar tells of another arm and another day. Today's site is what the list asks for: "
        "forearm, fresh catheter, whole vein, blood coming back. So the drug is given, and the "
        "patient and the hand are the first to notice a leak."
    ),
    sources=("extravasation-lesson",),
)

PRINCIPLE = Principle(
    "vesicant",
    title="A drug that destroys tissue",
    rule=(
        "A drug on your department's list of vesicants runs only where, and only through what, "
        "the list allows. When its site is in doubt, it stops there, the line comes off the hub, "
        "and the catheter stays in, not flushed, until someone who may decide has decided. What "
        "the patient cannot do without goes on elsewhere."
    ),
    section="What is done first",
    pairs=(
        ("burning-at-night", "catheter-of-the-day-before"),
        ("midline-at-hand", "pressure-held-up"),
        ("puncture-further-up", "about-to-be-pulled"),
    ),
    vignettes=(
        _BURNING,
        _MIDLINE,
        _PRESSURE,
        _PUNCTURE,
        _PULLED,
        _HAND,
        _NAME,
        _SALINE,
        _SCAR,
    ),
)
