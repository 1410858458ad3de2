"""A nerve met by the needle: the needle comes out, and another place is taken.

No source: this is common practice, as the lesson on complications teaches it.
"""

from cubital.items.complications.bleeding import TWO
from cubital.items.principles.vignette import Principle, Vignette, Way

# ------------------------------------------------------------------------- a nerve was met

_ELBOW = Vignette(
    key="elbow-before-a-scan",
    present=True,
    story=(
        "Before a scan you go into the crook of a man's left elbow, by the near-infrared picture. "
        "Blood shows in the chamber, and you lower the needle. He gasps: “That was like a shock, "
        "right down into my little finger.” It is over as quickly as it came. His right arm is "
        "bare, and nobody has tried it. What do you do?"
    ),
    ways=(
        Way(
            "out-right-arm",
            "Loosen the tourniquet, take the needle out, and look for a vein in the right arm.",
            stops=True,
        ),
        Way(
            "out-higher-up",
            "Loosen the tourniquet, take the needle out, and look for the same vein higher up.",
            stops=True,
            misconception="goes back to the vein beside which a nerve has just been met: nerve and "
            "vein run on side by side",
        ),
        Way(
            "still-and-ask",
            "Loosen the tourniquet, hold the needle still, and ask whether the shock has gone.",
            stops=True,
            misconception="takes a shock that is over for a nerve that is free, and leaves the tip "
            "where it met it",
        ),
        Way(
            "lower-and-slide",
            "Loosen the tourniquet, lower the needle a little, and slide the catheter off it.",
            stops=False,
            misconception="takes blood in the chamber for a needle that is clear of the nerve: it "
            "can have met both",
        ),
        Way(
            "round-by-the-picture",
            "Loosen the tourniquet, take the needle out, and go round it by the picture.",
            stops=True,
            misconception=(
                "steers by the picture, which shows no nerve, close to where one has just been met"
            ),
        ),
    ),
    because=(
        "a shock that runs into a finger comes from a nerve, however short it was and whatever the "
        "blood says: the needle comes out, and the next place is away from that nerve"
    ),
)

_ONE_ARM = Vignette(
    key="one-arm-left",
    present=True,
    story=(
        "A woman's right arm has lymphoedema, and her notes bar it. On the left, the near-infrared "
        "picture shows a sharp band at the wrist, and you go in there. Her thumb jerks: “Like a "
        "live wire!” The picture also shows a band on the other side of that forearm, halfway up. "
        "Her drug is due within the hour. What comes next?"
    ),
    ways=(
        Way(
            "out-same-forearm",
            "Loosen the tourniquet, take the needle out, and feel along the other band first.",
            stops=True,
        ),
        Way(
            "out-right-arm",
            "Loosen the tourniquet, take the needle out, and feel for a vein in the right arm.",
            stops=True,
            misconception="takes the barred arm for the place to go: the bar holds after a failed "
            "attempt as before",
        ),
        Way(
            "under-the-skin",
            "Loosen the tourniquet, draw the needle back under the skin, and let the thumb settle.",
            stops=True,
            misconception="leaves the needle beside the nerve that it met, ready to search there "
            "again",
        ),
        Way(
            "keep-to-the-band",
            "Keep the tourniquet on, take a flatter angle, and look at the band in the picture.",
            stops=False,
            misconception="steers by the picture, which shows no nerve, and goes on where one was "
            "just met",
        ),
    ),
    because=(
        "the jerk and the shock say that a nerve was met, so the needle comes out; the other arm "
        "is barred, and the same forearm has a band well away from the place. The wrist was no "
        "place for a needle, however sharp its band"
    ),
)

_FLUSH = Vignette(
    key="shock-at-the-flush",
    present=True,
    story=(
        "A catheter has just gone into the forearm; blood came back, and the needle is in the "
        "sharps box. At the first push of saline the patient cries: “Stop! That shoots into my "
        "fingers like electricity.” You stop pressing, and it ends. Nothing swells, and no drug "
        "has gone in. The other arm is free. What do you do with this catheter?"
    ),
    ways=(
        Way(
            "out-other-arm",
            "Take it out without another flush, press, and look for a vein in the other arm.",
            stops=True,
        ),
        Way(
            "leave-capped",
            "Leave it in without another flush, cap it, and have a doctor look at the hand.",
            stops=True,
            misconception="keeps it in, as is right after a drug that harms tissue: after saline "
            "nothing is to be drawn back, and it goes on irritating the nerve",
        ),
        Way(
            "out-just-above",
            "Take it out without another flush, press, and look for the same vein just above.",
            stops=True,
            misconception="goes in again along the nerve that was met: nerve and vein run on side "
            "by side",
        ),
        Way(
            "slow-flush",
            "Flush it again more slowly, look at the place, and use it if nothing swells.",
            stops=False,
            misconception="looks for a leak where a nerve was met: whatever is injected "
            "beside a nerve can harm it, with or without a swelling",
        ),
        Way(
            "leave-and-other-arm",
            "Leave it in without another flush, and look for a vein in the other arm.",
            stops=True,
            misconception=(
                "keeps a catheter that lies at a nerve: it goes on irritating it, and somebody may "
                "flush it"
            ),
        ),
    ),
    because=(
        "a catheter that makes the fingers shoot lies at a nerve, even if blood came back and "
        "nothing swells: it comes out, and nothing more is pushed through it"
    ),
)

_CARRY_ON = Vignette(
    key="please-carry-on",
    present=True,
    story=(
        "Evening on a surgical ward. As your needle goes into the forearm, a frightened young man "
        "feels an electric pain run into his thumb. You hold still and loosen the tourniquet. "
        "After a few seconds he says: “It's gone. Please carry on, I can't face another one.” "
        "Blood stands in the chamber. How do you go about it?"
    ),
    ways=(
        Way(
            "out-and-explain",
            "Take the needle out, explain it to him, and try elsewhere later if he agrees.",
            stops=True,
        ),
        Way(
            "hold-and-explain",
            "Hold the needle still, explain it to him, and go on later if nothing tingles.",
            stops=True,
            misconception="takes pain that has faded for a nerve that is free: the tip is still at "
            "it",
        ),
        Way(
            "draw-back-and-explain",
            "Draw the needle back a little, explain it to him, and wait until he agrees.",
            stops=True,
            misconception="leaves the needle beside the nerve while it waits: any movement of the "
            "arm can bring the tip back to it",
        ),
        Way(
            "slide-and-explain",
            "Slide the catheter off, explain it to him, and take it out if the pain returns.",
            stops=False,
            misconception="takes the patient's wish to be done for consent to a harm that he "
            "cannot judge",
        ),
        Way(
            "out-and-beside",
            "Take the needle out, explain it to him, and go in again beside it if he agrees.",
            stops=True,
            misconception=(
                "goes in again where the nerve runs: that he agrees to it does not move the nerve"
            ),
        ),
    ),
    because=(
        "electric pain into the thumb is a nerve even when it fades and the patient wants to go "
        "on: the needle comes out, and then there is time to talk"
    ),
)

_STUDENT = Vignette(
    key="student-asks",
    present=True,
    story=(
        "You watch a student on a ward for people with dementia. The patient hardly speaks. As the "
        "needle goes in at the elbow she cries out, her fingers fly open, and she shakes the hand "
        "as if it burned. “But I have blood,” says the student. “Shall I thread it?” What do you "
        "say?"
    ),
    ways=(
        Way(
            "out-and-talk",
            "“Hold on: tourniquet off, needle out, press. We'll talk once she is calm again.”",
            stops=True,
        ),
        Way(
            "out-and-above",
            "“Hold on: tourniquet off, needle out, press. I'll try a little higher up myself.”",
            stops=True,
            misconception="takes a nerve for a fault of the hand that held the needle, and goes in "
            "again where it runs",
        ),
        Way(
            "still-until-calm",
            "“Hold on: tourniquet off, needle quite still. We'll decide once she is calm again.”",
            stops=True,
            misconception="waits for calm with the tip at a nerve, in an arm that shakes",
        ),
        Way(
            "thread-gently",
            "“Go on: thread it gently, tourniquet off. We'll look at her fingers after that.”",
            stops=False,
            misconception="waits for words from a patient who hardly speaks: the hand has said it",
        ),
        Way(
            "back-until-calm",
            "“Hold on: tourniquet off, needle back a little. We'll thread it once she is calm.”",
            stops=True,
            misconception="leaves the needle beside the nerve, in an arm that shakes",
        ),
    ),
    because=(
        "fingers that fly open and a hand that is shaken speak for a nerve where the patient "
        "cannot: the needle comes out, and teaching waits"
    ),
)

_CUP = Vignette(
    key="weak-hand",
    present=True,
    story=(
        "Ten minutes ago a colleague's needle in the crook of the left elbow sent a shock into the "
        "thumb. It is out, and the patient still lets a cup slip from that hand. “You try, a "
        "little higher up,” says your colleague. The near-infrared picture shows the vein well "
        "there, and another on the right arm. What do you do?"
    ),
    ways=(
        Way(
            "doctor-now-right-arm",
            "Leave the left arm, have a doctor see the hand now, and then use the right.",
            stops=True,
        ),
        Way(
            "right-arm-wait",
            "Leave the left arm, use the right now, and have a doctor see the hand tomorrow.",
            stops=True,
            misconception="waits with a hand that has lost strength: weakness after a nerve was "
            "met is looked at now",
        ),
        Way(
            "wait-then-left",
            "Leave both arms now until the hand is strong, and then use the left again.",
            stops=True,
            misconception="takes a hand that comes round for leave to go back to the nerve, and "
            "tells nobody of it",
        ),
        Way(
            "left-higher-up",
            "Use the left arm now, higher up, and have a doctor see the hand after that.",
            stops=False,
            misconception="goes in again along a nerve that is hurt already, since the picture "
            "shows the vein and not the nerve",
        ),
    ),
    because=(
        "the shock is past and the weakness is not: that is handed on now, and this arm is left "
        "alone until somebody has looked at it"
    ),
)

# ----------------------------------------------------------------------- no nerve was met

_PRICK = Vignette(
    key="only-a-prick",
    present=False,
    story=(
        "Night shift, a woman with pneumonia. As the needle goes through the skin halfway up her "
        "left forearm she says “Ouch”, and points to that very spot. It was over in a second. "
        "Nothing ran anywhere, her fingers are as before, and she has relaxed. There is no blood "
        "in the chamber yet. What comes next?"
    ),
    ways=(
        Way(
            "same-angle",
            "Keep the tourniquet on, go on at the same angle, and ask what she feels.",
            stops=False,
        ),
        Way(
            "steeper",
            "Keep the tourniquet on, go on at a steeper angle, and ask what she feels.",
            stops=False,
            misconception="steepens the needle to escape a sting that is over: steep, the tip goes "
            "through the far wall more easily",
        ),
        Way(
            "out-right-arm",
            "Loosen the tourniquet, take the needle out, and look for a vein in the right arm.",
            stops=True,
            misconception="takes a prick at the skin for a nerve: it stayed in one spot, and was "
            "over at once",
        ),
        Way(
            "still-and-ask",
            "Loosen the tourniquet, hold the needle still, and ask whether the sting has gone.",
            stops=True,
            misconception="waits for something that has ended, and lets the vein empty meanwhile",
        ),
        Way(
            "back-a-little",
            "Loosen the tourniquet, draw the needle back a little, and wait until it is better.",
            stops=True,
            misconception="draws back from a sting that is over, and lets the vein empty meanwhile",
        ),
    ),
    because=(
        "a short sting at the very spot where the skin is pierced, with nothing that runs or "
        "tingles beyond it, is skin and no nerve: the insertion goes on"
    ),
)

_OLD_TINGLING = Vignette(
    key="old-tingling",
    present=False,
    story=(
        "For months a typist's thumb and two fingers have tingled, from a narrow carpal tunnel; "
        "you noted it before you began. You go in on the upper forearm. Blood fills the chamber, "
        "and she felt only the prick. You ask again: the tingling is as it was this morning, "
        "neither more nor elsewhere. What comes next?"
    ),
    ways=(
        Way(
            "slide-and-loosen",
            "Slide the catheter off, loosen the tourniquet, flush it, and ask about the fingers.",
            stops=False,
        ),
        Way(
            "slide-under-tourniquet",
            "Slide the catheter off, flush it, ask about the fingers, and loosen the tourniquet.",
            stops=False,
            misconception="flushes into a vein that the tourniquet still holds full, where it can "
            "burst",
        ),
        Way(
            "out-other-arm",
            "Take the needle out, ask about the fingers, and look in the other arm.",
            stops=True,
            misconception="takes an old tingling for a new one: it was there before the needle, "
            "and has not changed",
        ),
        Way(
            "still-for-a-doctor",
            "Hold the needle still, loosen the tourniquet, and ask a doctor about the fingers.",
            stops=True,
            misconception="has a doctor look at fingers whose tingling is known, with a "
            "needle in the arm",
        ),
        Way(
            "slide-and-bandage",
            "Slide the catheter off, loosen the tourniquet, flush it, and bandage the fingers.",
            stops=False,
            misconception=(
                "covers fingers that are to be looked at, for a tingling that the needle did not "
                "make"
            ),
        ),
    ),
    because=(
        "the tingling was there before, is known and noted, and the needle changed nothing in it: "
        "the insertion goes on"
    ),
)

_LAST_YEAR = Vignette(
    key="last-years-shock",
    present=False,
    story=(
        "Last year a needle in a patient's right elbow “went like lightning”. Today you chose the "
        "left forearm, halfway up, by near-infrared picture and finger. The needle is under the "
        "skin. She grips the chair: “I keep waiting for it. It's only pressure so far.” Her "
        "fingers are at ease. How do you go about it?"
    ),
    ways=(
        Way(
            "go-on-and-explain",
            "Go on slowly, explain it to her, and take it out if a pain shoots anywhere.",
            stops=False,
        ),
        Way(
            "quick-and-distract",
            "Go on quickly, talk of other things, and take it out if she asks for it.",
            stops=False,
            misconception="keeps her talking, so that she may not say when it shoots",
        ),
        Way(
            "out-and-explain",
            "Take the needle out, explain it to her, and try elsewhere later if she agrees.",
            stops=True,
            misconception="takes out a needle that has met no nerve, because of what another "
            "needle did last year",
        ),
        Way(
            "hold-and-explain",
            "Hold the needle still, explain it to her, and go on later if the pressure fades.",
            stops=True,
            misconception="holds a needle under the skin for a pressure that any needle makes, and "
            "lengthens what she fears",
        ),
    ),
    because=(
        "pressure where the needle is, in another arm than last year's, is no nerve: the insertion "
        "goes on, with her word as the signal to stop"
    ),
)

PRINCIPLE = Principle(
    key="nerve",
    title="A nerve met by the needle",
    rule=(
        "A sudden electric or shooting pain, or tingling beyond the place: tourniquet off and "
        "needle out at once, whatever the blood says and even if it fades. Nobody probes or "
        "redirects there. Another place is taken, it is written down, and somebody asks again."
    ),
    section=TWO,
    pairs=(
        ("one-arm-left", "shock-at-the-flush"),
        ("weak-hand", "please-carry-on"),
        ("elbow-before-a-scan", "student-asks"),
    ),
    vignettes=(
        _ELBOW,
        _ONE_ARM,
        _FLUSH,
        _CARRY_ON,
        _STUDENT,
        _CUP,
        _PRICK,
        _OLD_TINGLING,
        _LAST_YEAR,
    ),
)
