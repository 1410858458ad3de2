"""Vignettes on a limb that gets no needle, however good its veins look."""

from cubital.items.principles.vignette import Principle, Vignette, Way

_FISTULA = Vignette(
    "fistula-and-infection",
    present=True,
    story=(
        "A man on dialysis is to have one dose by vein; it can wait an hour. His left arm "
        "has the fistula. The right one is red, hot and infected around its last catheter, "
        "up to the elbow. On the left hand a straight vein stands out. Where both arms are "
        "barred, your policy lets the renal team decide. What do you do?"
    ),
    ways=(
        Way(
            "renal-team",
            "Leave both arms alone until the renal team has said how the dose is to go in.",
            stops=True,
        ),
        Way(
            "until-it-heals",
            "Leave both arms alone until the right one is no longer red, hot and sore to touch.",
            stops=True,
            misconception="waits days for the infection, with a dose that can wait an hour, "
            "instead of handing on",
        ),
        Way(
            "a-foot",
            "Leave both arms alone, and use a vein of the foot, as it is for one dose.",
            stops=True,
            misconception="chooses another limb alone, where the policy has named who chooses",
        ),
        Way(
            "hand-below-fistula",
            "Leave the tourniquet off, and use the left hand's vein, as it is for one dose.",
            stops=False,
            misconception="takes the hand for another limb: what protects a fistula holds from "
            "the shoulder to the fingers",
        ),
    ),
    because=(
        "The fistula bars one arm, the infection the other. Then nobody chooses alone at the "
        "bedside: the policy names the renal team, and there is an hour to reach them."
    ),
)

_NODES = Vignette(
    "arm-held-out",
    present=True,
    story=(
        "An elderly lady holds out her right arm: “Take this one, dear, everybody does.” Lymph "
        "nodes were removed from that armpit twelve years ago, and your policy keeps such an arm "
        "free as long as the other will do. On the left your finger finds one thin vein that "
        "springs back; the catheter fits it. What comes next?"
    ),
    ways=(
        Way(
            "thin-vein-left",
            "Thank her, and use the left arm, as the one vein there fits the catheter.",
            stops=True,
        ),
        Way(
            "doctor-decides",
            "Thank her, and leave both arms alone until the ward doctor has chosen between them.",
            stops=True,
            misconception="asks for a decision that nobody has to make: the policy keeps one "
            "arm free, and the other has a vein that will do",
        ),
        Way(
            "central-line-for-her",
            "Thank her, and have a longer line discussed, as the left arm offers one vein alone.",
            stops=True,
            misconception="takes one thin vein for none: the catheter fits it, and one is enough",
        ),
        Way(
            "her-wish",
            "Thank her, and use the right arm, as she knows it and has chosen it.",
            stops=False,
            misconception="takes habit and a friendly offer for permission: the policy asks "
            "whether the other arm will do, and it will",
        ),
        Way(
            "foot-for-her",
            "Thank her, and use the foot, as the left arm offers one vein alone.",
            stops=True,
            misconception=(
                "goes to a worse place, although the one vein of the left arm fits the catheter"
            ),
        ),
    ),
    because=(
        "The policy keeps the right arm free while the left will do, and the left has a vein "
        "that fits the catheter. Her offer would count only if the left arm had no vein."
    ),
)

_PALSY = Vignette(
    "still-arm",
    present=True,
    story=(
        "Since a stroke a man can neither lift nor feel his right arm. Fluid runs into the back "
        "of his left hand; a drug that is due now needs a line of its own. The right forearm lies "
        "still, with broad bands in the near-infrared picture; on the left one, well above the "
        "hand, another vein bounces under your finger. How do you go on?"
    ),
    ways=(
        Way(
            "above-the-first",
            "Put a second catheter into the left forearm, above the first, while the fluid runs "
            "on.",
            stops=True,
        ),
        Way(
            "after-the-fluid",
            "Put the drug off until the fluid is through, and give it into the left hand then.",
            stops=True,
            misconception="lets a drug that is due wait for a line, though the sound arm has a "
            "second vein",
        ),
        Way(
            "left-foot",
            "Put a second catheter into the left foot, and keep the arm for the fluid alone.",
            stops=True,
            misconception="goes to the foot, where a catheter in an adult is a last choice, "
            "though the sound arm has a vein that bounces",
        ),
        Way(
            "where-it-lies-still",
            "Put a second catheter into the right forearm, and look at it with every round.",
            stops=False,
            misconception="takes an arm that lies still for a good one: he feels no leak in it "
            "and can tell nobody",
        ),
        Way(
            "doctor-says-which",
            "Put the drug off until the doctor has said which arm gets the second catheter.",
            stops=True,
            misconception=(
                "asks for a decision that nobody has to make: one arm is barred, and the "
                "other has a second vein"
            ),
        ),
    ),
    because=(
        "An arm without feeling reports neither pain nor swelling. The sound arm has a vein "
        "nearer to the heart than the first catheter, so that the two do not disturb each other."
    ),
)

_TRAUMA = Vignette(
    "both-arms-injured",
    present=True,
    story=(
        "A motorcyclist's blood pressure is falling. His right forearm is broken, the left upper "
        "arm crushed. While the leader reads the X-ray, a colleague points at the left hand, "
        "where one vein stands out broad and blue. Both legs are sound, the drill for a bone "
        "needle lies open beside the shin, and the policy names it next. What do you do?"
    ),
    ways=(
        Way(
            "bone-now",
            "Leave the arms, and have the leader put in the bone needle before the X-ray is read.",
            stops=True,
        ),
        Way(
            "central-after-film",
            "Leave the arms, and have the leader put in a central line once the X-ray is read.",
            stops=True,
            misconception="waits for the greater skill while the pressure falls, beside a drill "
            "that is ready",
        ),
        Way(
            "ultrasound-fetched",
            "Leave the arms, and have the ultrasound brought over to find a deep vein in the "
            "thigh.",
            stops=True,
            misconception="has a machine brought to look for a vein, where seconds count and "
            "the policy names bone",
        ),
        Way(
            "hand-below-crush",
            "Use the left hand, and tell the leader that this vein has to hold until more is in.",
            stops=False,
            misconception="goes in below the crushed part: what runs in there can run out on its "
            "way to the heart",
        ),
        Way(
            "foot-before-bone",
            "Leave the arms, and have the leader feel both feet for a vein first.",
            stops=True,
            misconception=(
                "looks for a vein in the foot where seconds count and the policy names bone"
            ),
        ),
    ),
    because=(
        "Both arms are injured above any vein that shows, so that what is given there may never "
        "arrive. He cannot wait, a leg is sound, and the policy and the drill are at hand."
    ),
)

_KIDNEYS = Vignette(
    "veins-to-be-spared",
    present=True,
    story=(
        "A teacher whose kidneys are failing is to have one short infusion. Her card says that "
        "forearm and elbow are spared for a fistula to come, and the ward's rule for such "
        "patients is the back of the hand. The near-infrared picture shows a wide, dark forearm "
        "vein; on the hand two thin ones spring back. What do you do?"
    ),
    ways=(
        Way(
            "back-of-hand",
            "Leave the forearm alone, and use the hand's thin vein, as it is for one infusion.",
            stops=True,
        ),
        Way(
            "renal-team-for-rule",
            "Leave both arms alone until the renal team has said how the infusion is to go in.",
            stops=True,
            misconception="asks again what the rule has answered: the hand is allowed, and it has "
            "veins",
        ),
        Way(
            "foot-for-one",
            "Leave both arms alone, and use a vein of the foot, as it is for one infusion.",
            stops=True,
            misconception="bars the whole arm where forearm and elbow are spared, and goes to a "
            "worse place",
        ),
        Way(
            "forearm-once",
            "Leave the elbow alone, and use the forearm's dark vein, as it is for one infusion.",
            stops=False,
            misconception="spares half of what is to be spared: one infusion can scar the very "
            "vein that the fistula needs",
        ),
    ),
    because=(
        "Forearm and elbow are kept for the fistula that she may need; the rule gives the hand, "
        "and the hand has veins that a thin catheter fits. For a short infusion that is enough."
    ),
    sources=("kdoqi-veins",),
)

_SLEEVE = Vignette(
    "print-of-a-sleeve",
    present=True,
    story=(
        "In the anaesthetic room the tourniquet is on the left arm already, and its skin is "
        "clean. As the blanket slips you see that this arm is thicker than the right, with the "
        "print of a compression sleeve. The patient murmurs that it has been so since the "
        "radiation. The right arm is uncovered and free. The list is running late. What comes "
        "next?"
    ),
    ways=(
        Way(
            "right-from-the-start",
            "Let the tourniquet off, and begin on the right arm, by cleaning its skin afresh.",
            stops=True,
        ),
        Way(
            "surgeon-chooses",
            "Let the tourniquet off, and wait until the surgeon has said which arm is to be used.",
            stops=True,
            misconception="asks for a decision that nobody has to make: the arm itself shows "
            "what bars it, and the other is free",
        ),
        Way(
            "foot-to-spare-both",
            "Let the tourniquet off, and use a vein of the foot, so that both arms are spared.",
            stops=True,
            misconception="goes to a worse place before anyone has looked at the right arm, which "
            "nothing bars",
        ),
        Way(
            "no-tourniquet",
            "Let the tourniquet off, and go in without it, as the skin is clean and dry.",
            stops=False,
            misconception="thinks that only the tourniquet is barred: in an arm with "
            "lymphoedema needle and infusion are barred too",
        ),
        Way(
            "central-to-spare-both",
            "Let the tourniquet off, and have a central line put in, so that both arms are spared.",
            stops=True,
            misconception=(
                "goes to a greater risk before anyone has looked at the right arm, which nothing "
                "bars"
            ),
        ),
    ),
    because=(
        "An arm that is swollen for good, with the print of a sleeve, has lymphoedema: no needle "
        "goes in there, with or without a tourniquet. The right arm is free, and beginning anew "
        "costs two minutes."
    ),
)

_BOIL = Vignette(
    "scar-in-the-armpit",
    present=False,
    story=(
        "A roofer has a long scar in his right armpit. A boil was opened there, he says; the "
        "surgeon's letter says so too, and that no lymph node was taken. The arm is as slim as "
        "the other. Your policy names only armpits without nodes. On the right a forearm vein "
        "springs back, on the left nothing fills. What do you do?"
    ),
    ways=(
        Way(
            "right-forearm",
            "Use the right arm, and have it looked at by each shift as you usually would.",
            stops=False,
        ),
        Way(
            "surgeon-says",
            "Leave the right arm alone until the surgeon has said whether it may be used.",
            stops=True,
            misconception="asks the surgeon for what stands in the surgeon's letter: no node was "
            "taken",
        ),
        Way(
            "left-once-more",
            "Leave the right arm alone, and try the left one once more with a thinner catheter.",
            stops=True,
            misconception="takes any scar in an armpit for removed nodes, and goes in where "
            "nothing fills",
        ),
        Way(
            "right-hand-short",
            "Use the right hand, and have it out by tonight, to be kind to the arm.",
            stops=False,
            misconception="bars half an arm that nothing bars, and gives up the better vein and "
            "the time that he needs it",
        ),
        Way(
            "foot-for-the-arm",
            "Leave the right arm alone, and use a vein of the foot, to be kind to the arm.",
            stops=True,
            misconception="bars an arm that nothing bars, and goes to a worse place",
        ),
    ),
    because=(
        "Lymph nodes count, not scars: letter, patient and the slim arm agree that none were "
        "taken. The arm is free like any other, and it has the only good vein."
    ),
)

_PLATE = Vignette(
    "old-fracture",
    present=False,
    story=(
        "A gardener broke her left forearm as a girl; the scar of a plate, long removed, "
        "runs along it. She lifts, grips and feels with it as with the right. She needs a "
        "second catheter. On the right are the first catheter and the blood-pressure cuff, "
        "which squeezes every few minutes; on the left, away from the scar, a vein bounces. "
        "How do you go on?"
    ),
    ways=(
        Way(
            "left-away-from-scar",
            "Put a second catheter into the left forearm, and look at it with every round.",
            stops=False,
        ),
        Way(
            "right-above-first",
            "Put a second catheter into the right forearm, above the first, while the fluid runs "
            "on.",
            stops=True,
            misconception="bars an arm for a fracture that healed long ago, and goes in below a "
            "cuff that squeezes the vein shut",
        ),
        Way(
            "film-of-the-bone",
            "Put the second catheter off until an X-ray has shown that the left forearm is sound.",
            stops=True,
            misconception="wants an X-ray to prove that a bone has healed: an arm that "
            "lifts, grips and feels like the other is sound",
        ),
        Way(
            "until-the-cuff-is-off",
            "Put the second catheter off until cuff and first catheter are off the right arm.",
            stops=True,
            misconception="bars an arm for a fracture that healed long ago, and has her wait for "
            "the other",
        ),
        Way(
            "along-the-scar",
            "Put a second catheter into the left forearm, along the scar, where the vein is "
            "widest.",
            stops=False,
            misconception="goes by width into scarred skin, where needle and dressing hold less "
            "well, past a vein that bounces",
        ),
    ),
    because=(
        "A fresh fracture bars an arm; one that healed long ago does not. Strength, feeling and "
        "skin are as on the other side, and there is a good vein away from the scar."
    ),
)

_STONE = Vignette(
    "kidney-clinic",
    present=False,
    story=(
        "“Kidney clinic” stands beside the name on your list. The man laughs: a stone was crushed "
        "last year. This morning's kidney values are normal, and no card asks for veins to be "
        "spared. He needs a catheter for three days. Veins spring back on the hand and in the "
        "forearm, and the near-infrared picture shows the widest at the elbow. What do you do?"
    ),
    ways=(
        Way(
            "forearm",
            "Leave the elbow alone, and use the forearm's good vein, as it is for three days.",
            stops=False,
        ),
        Way(
            "hand-to-spare",
            "Leave the forearm alone, and use the hand's good vein, as it is for three days.",
            stops=True,
            misconception="spares the veins of a man whose kidneys work, and puts up with the "
            "hand, where a catheter moves and hurts more",
        ),
        Way(
            "renal-team-for-stone",
            "Leave both arms alone until the renal team has said where the catheter is to go in.",
            stops=True,
            misconception="takes any kidney patient for one with failing kidneys: his values are "
            "normal, and no card bars a vein",
        ),
        Way(
            "elbow-widest",
            "Leave the hand alone, and use the elbow's wide vein, as it is for three days.",
            stops=False,
            misconception="goes by width: in the crease of the elbow the catheter is bent at "
            "every movement for three days",
        ),
    ),
    because=(
        "Veins are spared for those who may need a fistula. A crushed stone with normal values is "
        "no such case, so the common order holds: forearm before hand, and hand before elbow."
    ),
)

PRINCIPLE = Principle(
    "barred-limb",
    title="A limb that gets no needle",
    rule=(
        "Choose the limb before you look at its veins. A limb with a fistula, lymphoedema, a "
        "palsy, a fracture or an infection, or one that local policy keeps free, gets no needle "
        "from the shoulder to the fingers, however good its veins. Failing kidneys: forearm and "
        "elbow are spared. Where no limb is left, those decide whom local policy names."
    ),
    section="Assessment",
    pairs=(
        ("fistula-and-infection", "arm-held-out"),
        ("still-arm", "veins-to-be-spared"),
        ("both-arms-injured", "print-of-a-sleeve"),
    ),
    vignettes=(
        _FISTULA,
        _NODES,
        _PALSY,
        _TRAUMA,
        _KIDNEYS,
        _SLEEVE,
        _BOIL,
        _PLATE,
        _STONE,
    ),
)
