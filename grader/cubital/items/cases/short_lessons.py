"""Cases on taking blood and on children, which the two short lessons teach: optional questions."""

from cubital.items.cases.case import Case
from cubital.items.kinds.choice import Option

BLOOD_LESSON, CHILDREN_LESSON = "84-blood-sampling", "86-children"

BLOOD = (
    Case(
        key="blood-two-drips",
        title="A drip in each arm",
        section="Which arm",
        story=(
            "Glucose and potassium are wanted from a man with an infusion in each arm: saline "
            "with potassium on the left, glucose 5 % on the right. The near-infrared picture "
            "shows one good vein, a hand's width above the drip on the left. The doctor in charge "
            "is on the ward and lets you pause the saline. Below it, on the same forearm, a soft "
            "vein springs back."
        ),
        ways=(
            Option(
                "above",
                "Have the left drip paused by the rule, and take the vein above it.",
                "would suit an arm without a drip: what ran in stays in the vein above it",
            ),
            Option(
                "below", "Have the left drip paused by the rule, and take the lower of the two."
            ),
            Option(
                "discard",
                "Leave the drip on, take the vein above, and discard the first tube drawn.",
                "draws from a vein into which the drip still runs: a discarded tube does not "
                "change that",
            ),
            Option(
                "other-arm",
                "Leave both drips on, and take the sample above the one on the right.",
                "changes one drip for another: glucose 5 % then stands in the result",
            ),
        ),
        reasons=(
            Option(
                "good-vein",
                "The vein in the picture is straight and good.",
                "names what makes a vein easy to reach, and says nothing of what runs in it",
            ),
            Option(
                "doctor",
                "The doctor in charge is here on this ward now.",
                "tells who may pause the drip, and not where the needle goes",
            ),
            Option("past", "What runs in flows past any needle higher up."),
            Option(
                "wanted",
                "Both results are wanted by the doctor today.",
                "is a reason to take blood, and none for a wrong result",
            ),
        ),
        because=(
            "What runs in comes past a needle above it and gets into the sample. So whoever is "
            "responsible pauses one infusion, and the needle goes below it. The first blood is "
            "discarded by the laboratory's rule. The price is the pause; arm, fluid and pause go "
            "on the request, and the drip is started again. Sources disagree on how long to pause: "
            "local policy says."
        ),
        sources=("same-arm-page", "iv-contamination-page"),
    ),
    Case(
        key="blood-one-digit",
        title="One digit",
        section="Whose blood, and which tube",
        story=(
            "At six in the morning a woman, half asleep, says her full name and date of birth. "
            "Her wristband agrees with both; on the request the year of birth is one digit off. "
            "The labels are printed from the request and lie ready. The porter leaves in five "
            "minutes, and the result decides whether she goes to theatre. Whoever wrote the "
            "request can be reached."
        ),
        ways=(
            Option(
                "by-hand",
                "Take the blood, and write the right birth year on the tubes by hand.",
                "changes a label that may be another patient's: the request is settled first",
            ),
            Option(
                "no-labels",
                "Take the blood, and leave the tubes without labels until it is clear.",
                "carries away tubes that nobody can tell apart: labels go on at the bedside",
            ),
            Option(
                "printed",
                "Take the blood by her wristband, and send it with the printed labels.",
                "sends a sample whose label does not agree with the patient",
            ),
            Option(
                "settle", "Take no blood yet, and have the request settled by whoever wrote it."
            ),
        ),
        reasons=(
            Option("differs", "The request and the wristband do not agree."),
            Option(
                "asleep",
                "She was half asleep when she gave her name.",
                "would matter if she had said yes to a name: she said it herself",
            ),
            Option(
                "porter",
                "The porter leaves the ward in five minutes.",
                "makes haste, and haste is how samples are mixed up",
            ),
            Option(
                "theatre",
                "The result decides whether she has surgery.",
                "tells how much hangs on whose blood it is",
            ),
        ),
        because=(
            "One digit that differs stops the sample until it is put right: of nearly 700,000 "
            "samples about 1 in 2,000 was not of the person on the label. The price is a porter "
            "who leaves without it."
        ),
        sources=("wrong-blood-page",),
    ),
    Case(
        key="blood-third-tube",
        title="The third tube",
        section="Fainting",
        story=(
            "Two of three tubes are full when a tall young man turns pale, yawns and stops "
            "answering. He sits on a chair beside the couch; the needle is in the crook of his "
            "elbow, the tourniquet is off already. The near-infrared picture shows the vein as "
            "wide as before. The third tube would take ten seconds; without it he has to come "
            "back tomorrow. A colleague stands beside you."
        ),
        ways=(
            Option("out", "Take the needle out, make it safe and press, and lay him flat at once."),
            Option(
                "third",
                "Fill the third tube first, then take the needle out and lay him flat.",
                "spends ten seconds with a needle in an arm that is about to go limp",
            ),
            Option(
                "upright",
                "Leave the needle in, have him held upright, and ask him to breathe.",
                "keeps him upright, with a needle in his arm, while he faints",
            ),
            Option(
                "walk",
                "Take the needle out, press, and then walk him over to the couch at once.",
                "lets somebody who is about to faint stand up: he falls on the way",
            ),
        ),
        reasons=(
            Option(
                "wide",
                "The vein is still wide in the picture.",
                "says that blood could be drawn, and not whether he stays awake",
            ),
            Option("pale", "He is pale and has stopped answering."),
            Option(
                "seconds",
                "The third tube takes ten seconds more.",
                "counts seconds, and a faint may take fewer",
            ),
            Option(
                "tomorrow",
                "He would have to come back tomorrow.",
                "weighs a day against a fall",
            ),
        ),
        because=(
            "Pale, yawning and silent, he is about to faint. The needle comes out and is made "
            "safe before he moves, and he lies flat with his legs up. The price is the third "
            "tube, which can be taken later."
        ),
    ),
)

CHILDREN = (
    Case(
        key="child-cream",
        title="Twenty minutes of cream",
        section="Pain relief takes time",
        story=(
            "A boy of four is to have a drip for an antibiotic, due in two hours. A numbing cream "
            "went on twenty minutes ago; its instructions ask for longer. He is calm, sits on his "
            "mother's lap and watches a film. The near-infrared picture shows a vein on the back "
            "of his hand, soft and 2.0 mm wide by ultrasound. The team that helps is free now, "
            "and again in an hour."
        ),
        ways=(
            Option(
                "now",
                "Go in now with the team, as the cream has surely begun to work by now.",
                "counts on a cream before its time: a child who was hurt remembers it",
            ),
            Option(
                "more",
                "Put on some more of the cream, and go in with the team in ten minutes.",
                "takes more cream for more time: its instructions say how much goes on",
            ),
            Option("wait", "Wait for as long as the cream needs, and go in when the team is back."),
            Option(
                "held",
                "Go in now with the team, and have him held by his mother and a nurse.",
                "uses hands where time would do: nothing is due for two hours",
            ),
        ),
        reasons=(
            Option(
                "calm",
                "He is calm and watches a film now.",
                "tells how he is before a needle that still hurts",
            ),
            Option(
                "team",
                "The team that helps is free just now.",
                "tells who is there, and the team is back in an hour",
            ),
            Option(
                "vein",
                "The vein is soft and 2.0 mm in width.",
                "says that the vein will do, now or later",
            ),
            Option("time", "The cream has not had its full time."),
        ),
        because=(
            "The dose is not due for two hours, so the cream gets the time that its instructions "
            "name. The price is an hour in which he must be kept busy."
        ),
        sources=("harrison-2023",),
    ),
    Case(
        key="child-fights",
        title="Four hands",
        section="Holding that comforts, and restraint",
        story=(
            "A girl of three needs fluid because she drinks too little. She is awake and pink, "
            "and the doctor has said that it can wait until the afternoon. In a comfort hold on "
            "her father's lap she has begun to kick and scream. The near-infrared device shows a "
            "vein. “Four hands, and it's over in a minute,” says a colleague. “If you must,” says "
            "her father."
        ),
        ways=(
            Option(
                "hands",
                "Hold her with four hands, and do it quickly while the vein shows.",
                "is restraint for something that can wait",
            ),
            Option("pause", "Let her go and calm down, and then plan it anew for the afternoon."),
            Option(
                "father",
                "Ask her father to hold her still, as he knows how to calm her.",
                "makes a parent hold her down: a parent's part is to comfort",
            ),
            Option(
                "once",
                "Hold her for one attempt alone, and let her go if that one fails.",
                "is force all the same, however short",
            ),
        ),
        reasons=(
            Option("can-wait", "The fluid she needs can wait for some hours."),
            Option(
                "if-you-must",
                "Her father has said that we may if we must.",
                "agrees to what must be, and nothing must be now",
            ),
            Option(
                "shows",
                "The device shows a vein at this moment.",
                "takes a picture for a reason: the vein is there in the afternoon too",
            ),
            Option(
                "minute",
                "It would all be over within one minute.",
                "is no reason: she remembers the minute",
            ),
        ),
        because=(
            "Restraint is the last resort, for what cannot wait, by local policy and by staff "
            "trained in it. The price is a drip that starts later."
        ),
        sources=("assent-page",),
    ),
    Case(
        key="child-hand-on",
        title="Before the first attempt",
        section="When to hand on",
        story=(
            "A girl of eighteen months, born at term, needs a drip within two hours. With the "
            "tourniquet on you see no vein, and your finger finds none. Near-infrared light draws "
            "one faint line on the back of her hand. Your ward allows each person two attempts, "
            "and wants children handed on early where failure is likely. The colleague who goes "
            "in under ultrasound is free in half an hour. “Try once first,” says the doctor."
        ),
        ways=(
            Option(
                "once",
                "Make one attempt at the line, and then ask for the colleague.",
                "spends a vein of a child whose first attempt is more likely to fail than not",
            ),
            Option(
                "both",
                "Make the two attempts that the ward allows, and then hand on.",
                "uses up what is allowed: a limit need not be used up",
            ),
            Option(
                "thin",
                "Make one attempt with the thinnest catheter on the ward's trolley.",
                "takes a thin catheter for a remedy: the vein is neither seen nor felt",
            ),
            Option("ask-now", "Make no attempt, and ask now for the colleague with ultrasound."),
        ),
        reasons=(
            Option(
                "line",
                "The light draws one faint line on her hand.",
                "is a place to feel, and the finger found nothing there",
            ),
            Option(
                "limit",
                "The ward allows two attempts each.",
                "names the most that is allowed, and no reason to use it",
            ),
            Option("neither", "Her vein can be neither seen nor felt."),
            Option(
                "half-hour",
                "The colleague is free in half an hour.",
                "makes it easy to wait, and would not be a reason with a good vein",
            ),
        ),
        because=(
            "One score gives 2 points for a vein that is not seen with the tourniquet on, 2 for "
            "one that is not felt, and 1 from one to two years. With 4 points or more, more than "
            "half of first attempts failed; she has 5. Whether a line in near-infrared light "
            "counts as seen, the score does not say. The price is half an hour."
        ),
        sources=("riker-2011",),
    ),
)
