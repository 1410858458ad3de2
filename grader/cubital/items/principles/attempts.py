"""The limit of attempts, by one person and as a team, and handing on before it is reached."""

from cubital.items.principles.vignette import Principle, Vignette, Way

PRINCIPLE = Principle(
    key="attempts",
    title="The limit of attempts",
    rule=(
        "The local limit of attempts holds for each person and for all together. At the limit, or "
        "sooner where you expect to fail, hand on the way that local policy names."
    ),
    section="Then: lower, advance, slide",
    pairs=(
        ("own-two-made", "a-child-rests"),
        ("four-in-all", "nothing-before-ten"),
        ("nothing-felt-or-seen", "pressure-falls"),
    ),
    vignettes=(
        Vignette(
            key="own-two-made",
            present=True,
            story=(
                "Ten in the evening on a surgical ward. Local limit: two attempts by one person, "
                "four in all. You have made two on a woman who moved both times; nobody else has "
                "tried. Her veins are easy to feel and show well in near-infrared light. A "
                "colleague, signed off and free, stands beside you, and an antibiotic is due. What "
                "do you do?"
            ),
            ways=(
                Way(
                    "to-colleague",
                    "Hand over to the colleague beside you, tell her of both needles, and help to "
                    "steady the arm.",
                    stops=True,
                ),
                Way(
                    "to-prescriber",
                    "Hand over to the prescriber, report both needles to him, and have a midline "
                    "considered tonight.",
                    stops=True,
                    misconception=(
                        "goes up the ladder, though a colleague may still try twice on easy "
                        "veins, and the dose comes late"
                    ),
                ),
                Way(
                    "to-day-team",
                    "Hand over to the day team, put both needles into the notes, and leave the "
                    "arm to rest.",
                    stops=True,
                    misconception=(
                        "leaves until morning what is due tonight, while somebody who may try "
                        "stands by"
                    ),
                ),
                Way(
                    "one-more-held",
                    "Have the colleague hold the arm for one last needle, now that you know why "
                    "two have failed.",
                    stops=False,
                    misconception=(
                        "makes a reason for the failures into a third attempt: the limit is two, "
                        "whatever the cause"
                    ),
                ),
            ),
            because=(
                "Your own two are made, the total is not, and a colleague with good chances is "
                "there for a dose that is due."
            ),
        ),
        Vignette(
            key="four-in-all",
            present=True,
            story=(
                "A nurse rings from the next ward at three in the morning. Two of them have tried "
                "twice each on a man who needs fluid, and you are known for your hands. The man is "
                "steady and drinks. Local limit: two attempts by one person, four in all; after "
                "that the prescriber chooses the way. What comes next?"
            ),
            ways=(
                Way(
                    "prescriber-told",
                    "Keep away from his arms, and have the prescriber told of the four and that "
                    "the man drinks.",
                    stops=True,
                ),
                Way(
                    "next-in-line",
                    "Keep away from his arms, and send the nurse from your own ward who has not "
                    "tried yet.",
                    stops=True,
                    misconception=(
                        "counts each newcomer afresh: the four are the patient's, whoever comes"
                    ),
                ),
                Way(
                    "rested-veins",
                    "Keep away from his arms, and have the day team begin on rested veins with "
                    "everything written down.",
                    stops=True,
                    misconception=(
                        "starts a new count in the morning, and nobody who may choose "
                        "another way hears of it"
                    ),
                ),
                Way(
                    "own-count-nought",
                    "Make one attempt at his best vein, and have the prescriber told if that does "
                    "not go in.",
                    stops=False,
                    misconception=(
                        "counts one person's attempts alone: the total for all is reached"
                    ),
                ),
            ),
            because=(
                "The total of four is reached, so the next needle is nobody's on the wards: the "
                "prescriber chooses."
            ),
        ),
        Vignette(
            key="nothing-felt-or-seen",
            present=True,
            story=(
                "A man's arms are swollen after months of treatment. No vein is felt, and the "
                "near-infrared picture shows none. Last time six needles failed until somebody "
                "took an ultrasound probe. Local policy: two attempts by one person, but expected "
                "difficulty goes to the access team straight away, on call until midnight. It is "
                "ten; the drug is due at eleven. What do you do?"
            ),
            ways=(
                Way(
                    "access-team-now",
                    "Keep the needle in its wrapper, and have the access team come to him within "
                    "the hour.",
                    stops=True,
                ),
                Way(
                    "surest-hand",
                    "Keep the needle in its wrapper, and have the ward's most experienced hand "
                    "try twice by touch.",
                    stops=True,
                    misconception=(
                        "hands on to the same method: a more experienced hand does not feel "
                        "a vein that nobody feels"
                    ),
                ),
                Way(
                    "morning-list",
                    "Keep the needle in its wrapper, and have the access team put him on "
                    "tomorrow's list.",
                    stops=True,
                    misconception=(
                        "lets a drug that is due tonight wait for the morning, although the team "
                        "is on call"
                    ),
                ),
                Way(
                    "one-of-two",
                    "Use one needle at the likeliest place, and have the access team come if it "
                    "fails.",
                    stops=False,
                    misconception=(
                        "spends an attempt since the limit allows it: with chances this poor it "
                        "goes to the team unused"
                    ),
                ),
                Way(
                    "central-within-the-hour",
                    "Keep the needle in its wrapper, and have the prescriber order a central line.",
                    stops=True,
                    misconception=(
                        "skips the access team, which is on call and finds veins that nobody feels"
                    ),
                ),
            ),
            because=(
                "Nothing is felt or seen and the last time was hard: local policy hands this on "
                "before any needle, and the team can be here in time."
            ),
        ),
        Vignette(
            key="nothing-before-ten",
            present=True,
            story=(
                "Nine in the evening. You have tried twice on a patient who needs a cannula for a "
                "scan at ten tomorrow, and for nothing before. Local limit: two attempts by one "
                "person, then the access team by written request; they start at seven. The "
                "anaesthetist on call takes what cannot wait. What do you do now?"
            ),
            ways=(
                Way(
                    "written-request",
                    "Put both attempts into a request for the access team, and let her sleep "
                    "until they come.",
                    stops=True,
                ),
                Way(
                    "anaesthetist-tonight",
                    "Put both attempts to the anaesthetist on call, and let her have it over "
                    "before she sleeps.",
                    stops=True,
                    misconception=(
                        "takes for urgent what has time until ten tomorrow: the anaesthetist "
                        "on call is there for what cannot wait"
                    ),
                ),
                Way(
                    "ward-colleague",
                    "Put both attempts to a colleague on the ward, and let her have the other arm "
                    "tried.",
                    stops=True,
                    misconception=(
                        "does not take the way that local policy names after two, and uses "
                        "needles that nobody needs tonight"
                    ),
                ),
                Way(
                    "third-narrow-miss",
                    "Put a third into the hand vein missed so narrowly, and let her sleep when it "
                    "is in.",
                    stops=False,
                    misconception=(
                        "lets a narrow miss lift the limit: each time the needle goes through the "
                        "skin counts"
                    ),
                ),
                Way(
                    "early-shift-first",
                    "Put both attempts into the notes for the early shift, and let them try before "
                    "seven.",
                    stops=True,
                    misconception=(
                        "has others try first, although after two local policy names the access "
                        "team"
                    ),
                ),
            ),
            because=(
                "Your two are made, nothing is needed before ten, and the access team starts at "
                "seven: their request is the way that policy names."
            ),
        ),
        Vignette(
            key="a-child-rests",
            present=True,
            story=(
                "A small boy has cried through your two attempts. His fluid may start at any time "
                "this evening, says the doctor. Local policy for children: two attempts by one "
                "person, four in all, and an hour's rest after every two. A colleague, and a "
                "doctor with an ultrasound probe, have come to the door to help. What comes next?"
            ),
            ways=(
                Way(
                    "an-hour-first",
                    "Give him back to his mother, and have the doctor with the probe come after "
                    "an hour.",
                    stops=True,
                ),
                Way(
                    "doctor-now",
                    "Give your place to the doctor with the probe, and have the boy held for two "
                    "more.",
                    stops=True,
                    misconception=(
                        "thinks that a better method makes up for the rest: after every two the "
                        "child has an hour"
                    ),
                ),
                Way(
                    "colleague-now",
                    "Give your place to the colleague, and have his mother hold him for two more "
                    "at most.",
                    stops=True,
                    misconception=(
                        "keeps the limit of one person and forgets the rest that comes after every "
                        "two"
                    ),
                ),
                Way(
                    "other-hand",
                    "Give him a minute with his mother, and take the other hand for one last "
                    "attempt.",
                    stops=False,
                    misconception=(
                        "adds a third attempt by the same person, and takes a minute for the "
                        "hour that policy gives"
                    ),
                ),
                Way(
                    "day-team-tomorrow",
                    "Give him back to his mother, and have the day team try again tomorrow "
                    "morning.",
                    stops=True,
                    misconception=(
                        "leaves until tomorrow what is to start this evening: the rest is an hour"
                    ),
                ),
            ),
            because=(
                "After two attempts the child has an hour's rest, his fluid can wait, and then "
                "somebody else tries."
            ),
        ),
        Vignette(
            key="pressure-falls",
            present=True,
            story=(
                "A woman bleeds after giving birth, and her pressure falls. Two midwives have "
                "tried twice each; you come in as the third. Local limit: two attempts by one "
                "person, four in all; then, where life is at stake, the emergency team for bone "
                "access. A nurse with an ultrasound probe could be here in half an hour. What do "
                "you do?"
            ),
            ways=(
                Way(
                    "bone-access",
                    "Leave her arms alone, and have the emergency team come to put the line into "
                    "bone.",
                    stops=True,
                ),
                Way(
                    "probe-in-half-an-hour",
                    "Leave her arms alone, and have the nurse with the probe come to search for a "
                    "vein.",
                    stops=True,
                    misconception=(
                        "waits half an hour for a gentler way, which a falling pressure does not "
                        "allow"
                    ),
                ),
                Way(
                    "third-midwife",
                    "Leave her arms alone, and have the midwife from next door come to try her "
                    "two attempts.",
                    stops=True,
                    misconception=(
                        "counts each newcomer afresh: four were made, and a fifth is the least "
                        "likely to succeed"
                    ),
                ),
                Way(
                    "quick-fifth",
                    "Try her other arm once, and have the emergency team come if that does not go "
                    "in.",
                    stops=False,
                    misconception=(
                        "lets urgency lift the limit: a further attempt costs the time that she "
                        "does not have"
                    ),
                ),
                Way(
                    "neck-line",
                    "Leave her arms alone, and have a doctor put a central line into her neck.",
                    stops=True,
                    misconception=(
                        "skips bone access, which policy names and which is in more quickly"
                    ),
                ),
            ),
            because=(
                "The total is reached and life is at stake: bone access is the way that policy "
                "names, and it is the quickest."
            ),
        ),
        Vignette(
            key="drawn-back-in-time",
            present=False,
            story=(
                "You have made one attempt at a man's left forearm. For a second one, your "
                "needle was near his right arm when he sneezed. You drew back, and the "
                "needle brushed his sleeve. Local policy: two attempts by one person, and "
                "one counts once the skin is pierced. The vein on the right is felt and "
                "measured, the skin clean and dry. What do you do?"
            ),
            ways=(
                Way(
                    "fresh-needle",
                    "Take a new needle to the vein on the right, and count that as your second.",
                    stops=False,
                ),
                Way(
                    "same-needle",
                    "Take this needle to the vein on the right, and count that as your second.",
                    stops=False,
                    misconception=(
                        "spares a needle that has brushed a sleeve: it is no attempt yet, and it "
                        "is no longer sterile"
                    ),
                ),
                Way(
                    "two-unwrapped",
                    "Hand the vein on the right over to a colleague, and count this as your "
                    "second.",
                    stops=True,
                    misconception=(
                        "counts needles that were only unwrapped: no skin was pierced, so "
                        "one attempt is left"
                    ),
                ),
                Way(
                    "access-team",
                    "Hand him over to the access team, and have the sneeze written down as your "
                    "second.",
                    stops=True,
                    misconception=(
                        "writes down an attempt that was not made, and hands on a vein with "
                        "good chances"
                    ),
                ),
                Way(
                    "until-the-day-team",
                    "Leave the vein on the right to the day team, and count this as your second.",
                    stops=True,
                    misconception=(
                        "writes down an attempt that was not made, and lets him wait "
                        "although one is left"
                    ),
                ),
            ),
            because=(
                "No skin was pierced, so by local policy one attempt is left; the needle that "
                "brushed the sleeve is changed."
            ),
        ),
        Vignette(
            key="two-by-a-colleague",
            present=False,
            story=(
                "A colleague has failed twice at a woman's left hand, and gives up his place to "
                "you. Local limit: two attempts by one person, four in all. You have made none. In "
                "her right forearm you feel a springy vein, which the near-infrared picture shows "
                "too; by ultrasound it is wide enough for your catheter. What comes next?"
            ),
            ways=(
                Way(
                    "two-are-left",
                    "Try the right forearm, and have the prescriber told if your own two fail as "
                    "well.",
                    stops=False,
                ),
                Way(
                    "four-on-this-arm",
                    "Try the right forearm, and have a colleague go on there if your own two fail.",
                    stops=False,
                    misconception=(
                        "counts each arm anew: with your two the total of four is reached, and no "
                        "colleague goes on"
                    ),
                ),
                Way(
                    "limit-is-two",
                    "Spare the right forearm, and have the access team come, as two attempts have "
                    "been made.",
                    stops=True,
                    misconception=(
                        "takes the limit of one person for that of all: two attempts, with good "
                        "chances, are left"
                    ),
                ),
                Way(
                    "without-a-needle",
                    "Spare the right forearm, and have the prescriber look for a way that needs "
                    "no needle.",
                    stops=True,
                    misconception="gives up while two attempts are left and a good vein is known",
                ),
                Way(
                    "as-long-as-it-is-good",
                    "Try the right forearm, and go on there for as long as the vein stays good.",
                    stops=False,
                    misconception=("stops counting: two are left, and then the total is reached"),
                ),
            ),
            because=(
                "Two attempts are left, they are yours, and the vein is good; after them the total "
                "is reached."
            ),
        ),
        Vignette(
            key="pricks-that-do-not-count",
            present=False,
            story=(
                "“They have stuck me three times today,” says a man before you open the pack. His "
                "chart has two finger pricks for sugar, and one blood sample from the right elbow. "
                "Nobody has tried a cannula. Local policy counts attempts at a cannula: two by one "
                "person, four in all. Both his forearms have good veins. He is willing. What do "
                "you do?"
            ),
            ways=(
                Way(
                    "left-forearm",
                    "Tell him that his three count elsewhere, and put the cannula into the left "
                    "forearm.",
                    stops=False,
                ),
                Way(
                    "right-elbow",
                    "Tell him that his three count elsewhere, and put the cannula into the right "
                    "elbow crease.",
                    stops=False,
                    misconception=(
                        "follows the sample into the bend of the elbow, over a fresh hole, with "
                        "good veins in both forearms"
                    ),
                ),
                Way(
                    "access-team-for-three",
                    "Agree with him on three as enough, and have the access team put the cannula "
                    "in.",
                    stops=True,
                    misconception=(
                        "counts pricks and a sample as attempts at a cannula: policy does not"
                    ),
                ),
                Way(
                    "tablets",
                    "Agree with him on three as enough, and have the prescriber go over to "
                    "tablets.",
                    stops=True,
                    misconception=(
                        "stops for attempts that were not made, and changes the order "
                        "although there is a vein"
                    ),
                ),
            ),
            because=(
                "No attempt at a cannula has been made, he is willing, and the forearm is a better "
                "place than the bend of an elbow."
            ),
        ),
    ),
)
