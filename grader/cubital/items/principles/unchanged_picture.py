"""Vignettes on a near-infrared picture that looks as before, and what decides in its place."""

from cubital.items.principles.vignette import Principle, Vignette, Way

_BLOCK = Vignette(
    "arm-asleep",
    present=True,
    story=(
        "After shoulder surgery a man's right arm is numb from the block. Saline runs into this "
        "forearm by pump. On your round his sleeve is tight, your tape finds the forearm thicker "
        "than an hour ago, and it is cool. He has no pain, the pump does not alarm, and the "
        "near-infrared picture matches the first, band for band. What do you do?"
    ),
    ways=(
        Way(
            "out-and-other-side",
            "Clamp the line, take the catheter out, raise the arm, and find a vein on the other "
            "side.",
            stops=True,
        ),
        Way(
            "until-he-can-tell",
            "Clamp the line, take it off the hub, and keep the catheter in until he can tell pain.",
            stops=True,
            misconception="waits for pain that a numb arm cannot give: sleeve, tape and skin have "
            "said it",
        ),
        Way(
            "blood-back",
            "Clamp the line, draw back through the catheter, and open it again if blood comes.",
            stops=True,
            misconception="takes blood that comes back for proof: the tip can be in the vein "
            "while the fluid runs out beside it",
        ),
        Way(
            "slower-and-measure",
            "Run the line more slowly, raise the arm, and find out by tape whether it gets "
            "thicker.",
            stops=False,
            misconception="goes on measuring while fluid runs into the arm: the tape has "
            "already shown a leak, and the picture proves nothing against it",
        ),
        Way(
            "kept-for-the-pharmacist",
            "Clamp the line, take it off the hub, and keep the catheter in for the pharmacist to "
            "judge.",
            stops=True,
            misconception=(
                "does what is right for a drug that harms tissue: after saline nothing is to be "
                "drawn back"
            ),
        ),
    ),
    because=(
        "Tape, sleeve and cool skin speak for a leak; the numb arm cannot hurt, and the picture "
        "need not change. It is saline: the catheter has no further use and comes out. A numb arm "
        "was no place for it."
    ),
    sources=("extravasation-lesson",),
)

_SPLINT = Vignette(
    "toddler-asleep",
    present=True,
    story=(
        "A toddler sleeps at last, one hand bandaged to a splint, plain fluid running. The father "
        "whispers that the fingers are fatter than at supper; to you they feel tight. In the gap "
        "of the bandage the near-infrared device shows the vein as it was at six o'clock, and the "
        "pump is silent. What comes next?"
    ),
    ways=(
        Way(
            "bandage-off",
            "Stop the pump, and take the bandage off now, whether or not the child wakes.",
            stops=True,
        ),
        Way(
            "when-awake",
            "Stop the pump, and take the bandage off at the next feed, when the child wakes.",
            stops=True,
            misconception="leaves a swollen hand tied up for the night: what has leaked presses "
            "on under the bandage",
        ),
        Way(
            "small-flush",
            "Stop the pump, and flush by hand to see whether the fingers or the picture change.",
            stops=True,
            misconception="tests a tight hand with more fluid, and asks the picture again",
        ),
        Way(
            "looser",
            "Keep the pump on, and take the bandage one turn looser, so that the child sleeps on.",
            stops=False,
            misconception="blames the bandage alone and lets the pump run: in so small a hand a "
            "little fluid is much",
        ),
        Way(
            "until-the-pharmacist",
            "Stop the pump, and leave bandage and catheter alone until the pharmacist has spoken.",
            stops=True,
            misconception=(
                "does what is right for some drugs: after plain fluid nothing is to be drawn back, "
                "and the hand stays tied up"
            ),
        ),
    ),
    because=(
        "Tight, fat fingers speak for a leak or a bandage that strangles, and only bare skin "
        "tells which; the picture in the gap tells neither. Sleep counts for less than the hand."
    ),
)

_IRRITANT = Vignette(
    "sheet-says-irritant",
    present=True,
    story=(
        "Ten minutes into an antibiotic a student says that it burns round the catheter, and the "
        "skin there is firm. Your colleague holds the near-infrared picture against the first: no "
        "difference. On the pharmacy's sheet the drug is an irritant, after whose leaks the "
        "catheter waits for the pharmacist's word. What do you do?"
    ),
    ways=(
        Way(
            "line-off-wait",
            "Clamp the line, take it off the hub, and keep the catheter in until the pharmacist "
            "has spoken.",
            stops=True,
        ),
        Way(
            "out-as-saline",
            "Clamp the line, take the catheter out, raise the arm, and find a vein on the other "
            "side.",
            stops=True,
            misconception="does what is right for a plain fluid: for this drug the sheet keeps "
            "the catheter until the pharmacist has spoken",
        ),
        Way(
            "sharper-picture",
            "Clamp the line, take a sharper picture of the arm, and open it again if nothing has "
            "moved.",
            stops=True,
            misconception="looks for a better picture: what does not show in one does not show in "
            "a sharper one",
        ),
        Way(
            "slower-antibiotic",
            "Run the line more slowly, raise the arm, and keep the pharmacist's sheet at the "
            "bedside.",
            stops=False,
            misconception="lets an irritant run on into firm skin because the picture is the same",
        ),
    ),
    because=(
        "It burns and the skin is firm: that is enough to stop, whatever the picture shows. What "
        "happens to the catheter depends on what ran in, and the sheet says that it stays."
    ),
)

_SCANNER = Vignette(
    "scanner-waits",
    present=True,
    story=(
        "The scanner waits. Contrast is to go by machine through a forearm catheter. Your test "
        "flush goes in stiffly, and the patient says that it aches. The radiographer shines "
        "near-infrared light on it: the vein is dark from end to end, as on arrival. “Fine,” he "
        "says. The other arm has good veins. What do you do?"
    ),
    ways=(
        Way(
            "new-one-other-arm",
            "Hold the contrast back, and put a second catheter into the other arm for it.",
            stops=True,
        ),
        Way(
            "second-flush",
            "Hold the contrast back until a second flush has gone in and the vein is still dark.",
            stops=True,
            misconception="asks a second flush and the picture to overrule the ache: more fluid "
            "goes where the first may have gone",
        ),
        Way(
            "plain-scan",
            "Hold the contrast back, and have the scan done without it, as this one aches.",
            stops=True,
            misconception=(
                "does without the contrast that the scan needs, though the other arm has veins"
            ),
        ),
        Way(
            "machine-slower",
            "Give the contrast through this catheter, with the machine slower and a hand on the "
            "arm.",
            stops=False,
            misconception="trusts a dark vein over an ache and a stiff flush: the machine pushes "
            "a large volume before a hand can stop it",
        ),
        Way(
            "until-the-ache-goes",
            "Hold the contrast back until the ache has gone, and then give it here.",
            stops=True,
            misconception=(
                "waits to see whether the ache goes: the flush went in stiffly too, and the "
                "other arm has veins"
            ),
        ),
    ),
    because=(
        "A stiff flush and an ache put the catheter in doubt, and a dark vein does not take the "
        "doubt away. A new catheter in good veins costs minutes, and the doubtful one comes out."
    ),
)

_GLOVE = Vignette(
    "like-a-tight-glove",
    present=True,
    story=(
        "Plain fluid drips into the right forearm of a woman with dark brown skin. It feels like "
        "a tight glove, she says. The drip has slowed, and the forearm is firmer than the left. "
        "There is no redness, and the near-infrared picture has the bands that it had. She is "
        "dry, and on the left she has a second catheter, free and painless. How do you go on?"
    ),
    ways=(
        Way(
            "out-and-left",
            "Stop it here, take this catheter out, and start it again through the left one "
            "straight away.",
            stops=True,
        ),
        Way(
            "kept-in",
            "Stop it here, leave this catheter in, and start it again through the left one "
            "straight away.",
            stops=True,
            misconception="keeps a catheter that leaks, as after a vesicant: plain fluid is not "
            "drawn back, and somebody may use it again",
        ),
        Way(
            "redness-first",
            "Stop it here, leave this catheter in, and start it again when an hour has brought no "
            "redness.",
            stops=True,
            misconception="waits for a colour: dark skin can hide it, and a leak of plain fluid "
            "need not bring it",
        ),
        Way(
            "on-and-watched",
            "Run it here as ordered until the bag is through, with one of you watching the "
            "forearm.",
            stops=False,
            misconception="waits to see a swelling, though the patient, the drip and the "
            "hand speak for a leak already",
        ),
    ),
    because=(
        "She, the drip and the hand agree; neither the missing redness nor the picture counts "
        "against them. Plain fluid: the catheter comes out, and what she needs goes in on the "
        "left."
    ),
    sources=("extravasation-lesson",),
)

_HOME = Vignette(
    "pictures-from-home",
    present=True,
    story=(
        "A patient on treatment at home calls in by video. Beside him his son, taught to clamp "
        "the line and no more, has sent two near-infrared pictures of the forearm, a day apart: "
        "no difference. It has stung since breakfast, and the watch strap now cuts in. Plain "
        "fluid runs. A nurse can be there in half an hour. What do you tell them?"
    ),
    ways=(
        Way(
            "clamp-and-nurse-now",
            "Have the son clamp the line with the pump off, and have the nurse come now.",
            stops=True,
        ),
        Way(
            "son-takes-out",
            "Have the son clamp the line and draw the catheter out, and have the nurse come "
            "tonight.",
            stops=True,
            misconception="leaves to the son what he was not taught, and the arm unseen until "
            "tonight",
        ),
        Way(
            "ten-minutes-off",
            "Have the son clamp the line for ten minutes, and open it again if the stinging is "
            "gone.",
            stops=True,
            misconception="takes pain that fades with the line shut for a site that is well: the "
            "strap still cuts in",
        ),
        Way(
            "third-picture",
            "Have the son keep the pump on and send a picture, and have the nurse come now.",
            stops=False,
            misconception="lets the pump run until the nurse is there, for pictures that cannot "
            "rule a leak out",
        ),
        Way(
            "nurse-if-it-grows",
            "Have the son clamp the line, and have the nurse come if it grows.",
            stops=True,
            misconception="waits for more: the stinging and the strap have said it",
        ),
    ),
    because=(
        "It stings and the strap cuts in: that is a leak until a hand has shown otherwise, and "
        "two like pictures change nothing. The son can stop it; the rest needs somebody who may."
    ),
)

_STAND = Vignette(
    "stand-pushed",
    present=False,
    story=(
        "At two o'clock the near-infrared picture is not what it was at noon: every band lies "
        "further left and looks wider. The porter has pushed the stand closer to the bed. The "
        "line runs as before, the patient feels nothing, and the skin is soft, dry and as warm as "
        "the other side; both forearms measure the same. What do you do?"
    ),
    ways=(
        Way(
            "stand-back-and-on",
            "Keep the line running, put the stand back, and take the next picture when the plan "
            "says.",
            stops=False,
        ),
        Way(
            "out-for-the-picture",
            "Clamp the line, take the catheter out, raise the arm, and find a vein on the other "
            "side.",
            stops=True,
            misconception="takes out a catheter that patient, hand, tape and line find well, for "
            "a picture whose stand was moved",
        ),
        Way(
            "until-pictures-match",
            "Clamp the line, take it off the hub, and keep the catheter in until the pictures "
            "match.",
            stops=True,
            misconception="lets the picture judge the site: even a picture that matches "
            "would prove nothing",
        ),
        Way(
            "slower-until-four",
            "Run the line more slowly, put the stand back, and take a picture at every look until "
            "four.",
            stops=False,
            misconception="cuts down an infusion that runs well, to chase a picture whose change "
            "has a plain cause",
        ),
        Way(
            "flushed-for-the-picture",
            "Clamp the line, flush the catheter by hand, and open it again if the picture stays as "
            "it is.",
            stops=True,
            misconception=(
                "stops a line that runs well, to test it with more fluid and the picture"
            ),
        ),
    ),
    because=(
        "When all bands shift and widen together, the device has moved, not the fluid. Patient, "
        "hand, tape and line are well, and they decide."
    ),
)

_GAP = Vignette(
    "gap-in-the-band",
    present=False,
    story=(
        "You flush a catheter before a dose that is to go in slowly. In the near-infrared picture "
        "a pale gap runs along the band above it, and a moment later the band is dark again. The "
        "student beside you is startled. The flush went in softly, nothing hurt, the skin is flat "
        "and soft under your fingers as on the other arm, and blood comes back. What comes next?"
    ),
    ways=(
        Way(
            "dose-as-planned",
            "Run the dose in slowly by this catheter, and tell the student what made the gap.",
            stops=False,
        ),
        Way(
            "dose-by-the-band",
            "Run the dose in slowly by this catheter, and let the student call if the band pales.",
            stops=False,
            misconception="relies on the band: it pales with what runs in, and a leak need "
            "not change it",
        ),
        Way(
            "new-one-for-gap",
            "Hold the dose back, and put a second catheter into the other arm for it.",
            stops=True,
            misconception="takes the flush on its way through the vein for a leak: that would not "
            "darken again in a moment",
        ),
        Way(
            "flush-once-more",
            "Hold the dose back until a second flush has gone in and the band is still dark.",
            stops=True,
            misconception="waits for a flush that leaves no gap: clear fluid pales the band each "
            "time",
        ),
        Way(
            "dose-in-quickly",
            "Run the dose in quickly by this catheter, and tell the student to look for the next "
            "gap.",
            stops=False,
            misconception="gives a slow dose fast, for the sake of what the picture shows",
        ),
    ),
    because=(
        "Clear fluid takes the place of the blood for a moment: the gap shows that the flush runs "
        "in the vein. Hand, patient, flush and blood are well, so the dose is given."
    ),
)

_NO_DEVICE = Vignette(
    "device-lent-out",
    present=False,
    story=(
        "The near-infrared device is lent to another ward, and no picture has been taken since "
        "noon. A young colleague wants one before the evening bag of plain fluid, which for the "
        "night is ordered at half the rate. You have looked and felt: soft, dry, warm, no thicker "
        "than the other arm. The patient is content, the line runs. What do you do?"
    ),
    ways=(
        Way(
            "bag-without-picture",
            "Open the bag at the slower rate, and take no picture until the device is here.",
            stops=False,
        ),
        Way(
            "bag-until-device",
            "Open the bag at the full rate, and have it through before the device is wanted.",
            stops=False,
            misconception="changes an ordered rate so that it fits the device: the site is well, "
            "and the order holds",
        ),
        Way(
            "closed-until-picture",
            "Leave the bag closed until the device is here and its picture matches the last.",
            stops=True,
            misconception="waits for a picture that could not rule a leak out if it were here",
        ),
        Way(
            "out-since-noon",
            "Leave the bag closed, and take the catheter out, as no picture vouches for it.",
            stops=True,
            misconception="thinks that the picture tells that a site is well: hand, patient "
            "and line tell it, and they are well",
        ),
    ),
    because=(
        "Hand, patient and line decide, and all three are well. A picture would add nothing to "
        "that, so its absence takes nothing away."
    ),
)

PRINCIPLE = Principle(
    "unchanged-picture",
    title="A picture that looks as before",
    rule=(
        "A near-infrared picture that looks as before rules no leak out: clear fluid hardly "
        "shows. What the patient says, what the hand feels and how the line runs decide; while "
        "they speak for a leak, nothing more runs in."
    ),
    section="No picture rules out infiltration",
    pairs=(
        ("arm-asleep", "sheet-says-irritant"),
        ("toddler-asleep", "scanner-waits"),
        ("like-a-tight-glove", "pictures-from-home"),
    ),
    vignettes=(
        _BLOCK,
        _SPLINT,
        _IRRITANT,
        _SCANNER,
        _GLOVE,
        _HOME,
        _STAND,
        _GAP,
        _NO_DEVICE,
    ),
)
