"""Broken asepsis, and a site that is inflamed or was placed without asepsis."""

from cubital.items.principles.vignette import Principle, Vignette, Way

PRINCIPLE = Principle(
    key="infection",
    title="Clean, or not used",
    rule=(
        "What was touched is cleaned or changed, and what is wet is left to dry, before it goes "
        "near a vein. A catheter at an inflamed site, or one put in without asepsis, does not stay."
    ),
    section="Removal",
    pairs=(
        ("felt-once-more", "a-warm-cord"),
        ("end-on-the-sheet", "put-in-at-the-roadside"),
        ("still-shiny", "a-drop-of-pus"),
    ),
    vignettes=(
        Vignette(
            key="felt-once-more",
            present=True,
            story=(
                "The skin was cleaned and is dry, the needle bare. You are not sure of the vein, "
                "and press once more with a gloved finger, right where the needle will go in. The "
                "near-infrared picture still lies on the place. The patient has no allergies, and "
                "there is time. What comes next?"
            ),
            ways=(
                Way(
                    "clean-again",
                    "Draw back the needle, and clean the place again, with time to dry and no "
                    "finger after that.",
                    stops=True,
                ),
                Way(
                    "new-gloves",
                    "Draw back the needle, and put on new gloves, with the picture to go by from "
                    "now on.",
                    stops=True,
                    misconception=(
                        "changes the glove that touched: the skin that was touched stays as it is"
                    ),
                ),
                Way(
                    "surer-colleague",
                    "Draw back the needle, and leave the vein to a colleague, with a surer finger "
                    "to go by.",
                    stops=True,
                    misconception=(
                        "gives up because of a moment's touch, which cleaning puts right, "
                        "and tells nobody of the touch"
                    ),
                ),
                Way(
                    "dry-gauze",
                    "Keep the needle there, and wipe the place with sterile gauze, with no finger "
                    "from now on.",
                    stops=False,
                    misconception="takes wiping for disinfecting: dry gauze kills nothing",
                ),
                Way(
                    "in-while-wet",
                    "Draw back the needle, and clean the place again, with the needle in before it "
                    "is dry.",
                    stops=True,
                    misconception="gives the antiseptic no time: it works while it dries",
                ),
            ),
            because=(
                "The place of entry was touched by what is not sterile: it is cleaned again and "
                "left to dry."
            ),
        ),
        Vignette(
            key="end-on-the-sheet",
            present=True,
            story=(
                "A cannula has just gone in well, and you are about to connect a drip. The open "
                "end of the new line slips out of your hand and lies on the sheet for a second. "
                "All the rest is clean, and the blood has been flushed out. A second line hangs on "
                "the stand. What do you do?"
            ),
            ways=(
                Way(
                    "new-line",
                    "Close the clamp, throw this line away, and fill the second one for the "
                    "cannula.",
                    stops=True,
                ),
                Way(
                    "wipe-the-end",
                    "Close the clamp, clean the end with an antiseptic wipe, and give it time to "
                    "dry.",
                    stops=True,
                    misconception=(
                        "cleans what must be sterile inside: an open end that was touched is "
                        "changed"
                    ),
                ),
                Way(
                    "new-cannula",
                    "Close the clamp, take the cannula out again, and begin anew in the other arm.",
                    stops=True,
                    misconception="throws away what stayed clean: only the line lay on the sheet",
                ),
                Way(
                    "run-it-through",
                    "Open the clamp, run some fluid through the end, and connect it to the "
                    "cannula.",
                    stops=False,
                    misconception=(
                        "thinks that a little fluid rinses germs off: some stay at the end and go "
                        "in"
                    ),
                ),
                Way(
                    "cap-and-keep",
                    "Close the clamp, put a cap on the end, and keep this line for later.",
                    stops=True,
                    misconception=(
                        "keeps under the cap what the sheet left on the end: an open end "
                        "that was touched is thrown away"
                    ),
                ),
            ),
            because=(
                "The open end of the line is no longer sterile and cannot be made so; the cannula "
                "is clean, and a second line is there."
            ),
        ),
        Vignette(
            key="still-shiny",
            present=True,
            story=(
                "The skin still shines with antiseptic. By policy it dries by itself, and half the "
                "time for that has passed. A porter waits to take the patient to a scan; he can "
                "come back. In the near-infrared picture the vein stands out under the tourniquet, "
                "which has just gone on. What do you do?"
            ),
            ways=(
                Way(
                    "wait-it-out",
                    "Loosen the tourniquet, and give the place the rest of its time, with the "
                    "porter sent off.",
                    stops=True,
                ),
                Way(
                    "begin-again",
                    "Loosen the tourniquet, and clean the place again for the whole time, with "
                    "the porter sent off.",
                    stops=True,
                    misconception=(
                        "starts again what was done rightly: nothing has touched the place, "
                        "and it only needs the rest of its time"
                    ),
                ),
                Way(
                    "scan-put-off",
                    "Loosen the tourniquet, and put the scan off to another day, with the porter "
                    "sent off.",
                    stops=True,
                    misconception="puts off a scan for a place that is dry in a moment",
                ),
                Way(
                    "fan-it",
                    "Leave the tourniquet tight, and fan the place until it is dry, with the "
                    "porter kept waiting.",
                    stops=False,
                    misconception="fans dry what must dry by itself, and cuts its time short",
                ),
                Way(
                    "dab-it-dry",
                    "Loosen the tourniquet, and dab the place dry with sterile gauze, with the "
                    "porter sent off.",
                    stops=True,
                    misconception=(
                        "wipes off the antiseptic before it has worked: it dries by itself"
                    ),
                ),
            ),
            because=(
                "It works while it dries: the place needs the rest of its time, untouched, and the "
                "porter can come back."
            ),
        ),
        Vignette(
            key="a-warm-cord",
            present=True,
            story=(
                "On the third day a woman's forearm is warm and tender along the vein, and you "
                "feel a cord as long as a thumb above the cannula. Her brown skin shows no "
                "redness, and the near-infrared picture is as it was. Plain fluid is running; it "
                "may pause for an hour. What comes next?"
            ),
            ways=(
                Way(
                    "out-now",
                    "Stop the fluid, take the cannula out now, and put the next one in the other "
                    "arm.",
                    stops=True,
                ),
                Way(
                    "out-if-it-grows",
                    "Stop the fluid, mark the end of the cord now, and take the cannula out if it "
                    "grows.",
                    stops=True,
                    misconception=("waits for more signs: warmth, pain and a cord are enough"),
                ),
                Way(
                    "out-when-replaced",
                    "Stop the fluid, put the next one in the other arm, and then take this one "
                    "out.",
                    stops=True,
                    misconception=(
                        "leaves a cannula in an inflamed vein, although the fluid may pause"
                    ),
                ),
                Way(
                    "half-the-rate",
                    "Slow the fluid, compare the picture in an hour, and take the cannula out if "
                    "it changes.",
                    stops=False,
                    misconception=(
                        "waits until the picture shows it: warmth, pain and the cord tell"
                    ),
                ),
                Way(
                    "flush-and-see",
                    "Stop the fluid, flush the cannula now, and use it for the rest if that goes "
                    "in easily.",
                    stops=True,
                    misconception=(
                        "takes an easy flush for a vein that is well: warmth, pain and a cord say "
                        "otherwise"
                    ),
                ),
            ),
            because=(
                "The vein is inflamed, and the fluid may pause: the cannula comes out now, and the "
                "next one goes elsewhere."
            ),
        ),
        Vignette(
            key="put-in-at-the-roadside",
            present=True,
            story=(
                "A man's only cannula was put in at the roadside, through dirty skin, and "
                "was marked so. The drug that holds up his pressure runs through it and must "
                "not pause. The site looks well. Local policy: such a cannula is out within "
                "24 hours; 22 have passed. In the other arm a good vein has been found and "
                "measured. What do you do?"
            ),
            ways=(
                Way(
                    "new-one-then-out",
                    "Put a clean one in the other arm, move the infusion to it, and take this one "
                    "out.",
                    stops=True,
                ),
                Way(
                    "out-then-new-one",
                    "Take this one out at once, put a clean one in the other arm, and start again "
                    "there.",
                    stops=True,
                    misconception=(
                        "lets the infusion pause, which it must not: the clean cannula goes "
                        "in before this one comes out"
                    ),
                ),
                Way(
                    "ask-for-the-end",
                    "Have the doctor end the infusion by tomorrow, and take this one out when it "
                    "has ended.",
                    stops=True,
                    misconception=(
                        "hopes that the order ends: the time is up in two hours, and a good vein "
                        "is there"
                    ),
                ),
                Way(
                    "dress-and-run-on",
                    "Clean round this one at once, put a new dressing on, and let the infusion "
                    "run on.",
                    stops=False,
                    misconception=(
                        "takes a site that looks well for a clean one: what came in with the "
                        "needle does not show yet"
                    ),
                ),
            ),
            because=(
                "It was put in without asepsis and its time is nearly up; the infusion must not "
                "pause, so the clean one comes before it goes. Whether the drug belongs in a "
                "central line is asked meanwhile."
            ),
        ),
        Vignette(
            key="a-drop-of-pus",
            present=True,
            story=(
                "Under the clear dressing of a cannula is a drop of pus, with a red rim. It is "
                "evening, and the patient has shivered since noon. The cannula flushes well, and "
                "the next dose hangs ready; it is not urgent. Local policy: with pus the cannula "
                "comes out, a swab is taken, and the prescriber is told at once. What comes next?"
            ),
            ways=(
                Way(
                    "out-swab-told",
                    "Take the cannula out, swab the place, and report pus and shivering to the "
                    "prescriber now.",
                    stops=True,
                ),
                Way(
                    "out-and-await",
                    "Take the cannula out, swab the place, and report to the prescriber when the "
                    "swab is read.",
                    stops=True,
                    misconception=(
                        "lets the news wait for the laboratory, though the patient shivers now"
                    ),
                ),
                Way(
                    "closed-and-told",
                    "Close the cannula off, swab the place, and report pus and shivering to the "
                    "prescriber now.",
                    stops=True,
                    misconception=(
                        "tells the prescriber, but leaves in the cannula from which the "
                        "germs may come"
                    ),
                ),
                Way(
                    "dose-while-it-flushes",
                    "Clean the place, run this dose in, and report pus and shivering to the "
                    "prescriber now.",
                    stops=False,
                    misconception=("takes an easy flush for a clean site, and washes the germs in"),
                ),
            ),
            because=(
                "There is pus, and the shivering may mean that it has reached the blood: out, a "
                "swab, pulse, pressure and temperature, and the prescriber is told at once."
            ),
        ),
        Vignette(
            key="where-the-strap-sat",
            present=False,
            story=(
                "You have loosened the tourniquet, and a red ring shows where it sat. It pales "
                "under your finger and is gone in two minutes. Further down, the new cannula's "
                "site is flat, cool and without pain, and the flush went in easily. “Isn't that "
                "phlebitis?” says a student. The drip is ready. What do you do?"
            ),
            ways=(
                Way(
                    "at-the-rate-ordered",
                    "Start the drip at the rate ordered, and look at the site as on any round.",
                    stops=False,
                ),
                Way(
                    "at-half-the-rate",
                    "Start the drip at half the rate ordered, and look whether the ring comes "
                    "again.",
                    stops=False,
                    misconception=(
                        "gives less than was ordered for a mark of the tourniquet that has gone"
                    ),
                ),
                Way(
                    "cannula-out",
                    "Take the cannula out before the drip, and put the next one in the other arm.",
                    stops=True,
                    misconception=(
                        "takes the tourniquet's mark for an inflamed vein: it lay elsewhere, and "
                        "it is gone"
                    ),
                ),
                Way(
                    "prescriber-sees-it",
                    "Keep the drip waiting for the time being, and have the prescriber see the "
                    "site.",
                    stops=True,
                    misconception=(
                        "asks somebody to look at a ring that is gone: the site is flat, "
                        "cool and painless"
                    ),
                ),
                Way(
                    "cool-the-ring",
                    "Start the drip at the rate ordered, and cool the place for as long as it "
                    "drips.",
                    stops=False,
                    misconception=(
                        "cools a place where nothing is wrong: the ring has gone by itself"
                    ),
                ),
            ),
            because=(
                "The ring was the tourniquet's: it paled, it went, and the site of the cannula is "
                "well."
            ),
        ),
        Vignette(
            key="brushed-the-elbow",
            present=False,
            story=(
                "The skin over a vein in the forearm is cleaned and dry. The near-infrared device "
                "swings on its arm and brushes the elbow, a hand's breadth from what was cleaned, "
                "and hangs still again. Nothing has touched the cleaned skin or the needle. The "
                "patient asks whether all is well. What comes next?"
            ),
            ways=(
                Way(
                    "in-at-the-cleaned",
                    "Go in at the cleaned place, and have the device held at its distance from "
                    "now on.",
                    stops=False,
                ),
                Way(
                    "feel-and-in",
                    "Go in at the cleaned place, and have a gloved finger there to find the vein "
                    "again.",
                    stops=False,
                    misconception="touches what nothing had touched: a glove is not sterile",
                ),
                Way(
                    "all-of-the-arm",
                    "Draw back the needle, and clean the place again with the elbow and the "
                    "device.",
                    stops=True,
                    misconception=(
                        "cleans again what nothing touched: the elbow is no part of the place"
                    ),
                ),
                Way(
                    "new-set",
                    "Draw back the needle, and have a new set opened, as the device touched him.",
                    stops=True,
                    misconception=(
                        "throws away what stayed sterile: needle and place were not touched"
                    ),
                ),
                Way(
                    "gauze-and-in",
                    "Go in at the cleaned place, and have dry gauze passed over it once before "
                    "that.",
                    stops=False,
                    misconception="touches what nothing had touched",
                ),
            ),
            because=(
                "The device touched the elbow, and neither the cleaned skin nor the needle: the "
                "place is as clean as before."
            ),
        ),
        Vignette(
            key="light-on-the-skin",
            present=False,
            story=(
                "In a dim room the site of a cannula looks red, and a colleague fears an inflamed "
                "vein. The near-infrared device still throws its coloured picture on the arm. With "
                "that off and the lamp on, the skin is like the other arm's: cool, flat, without "
                "pain or a cord. The flush goes easily; an antibiotic is due. What do you do?"
            ),
            ways=(
                Way(
                    "seen-by-the-lamp",
                    "Give the antibiotic through this cannula, and write down the site as the "
                    "lamp has shown it.",
                    stops=False,
                ),
                Way(
                    "seen-in-the-dim",
                    "Give the antibiotic through this cannula, and write down the redness for the "
                    "others to watch.",
                    stops=False,
                    misconception=(
                        "puts the colour of the device's light into the record as a sign of the "
                        "skin"
                    ),
                ),
                Way(
                    "out-in-time",
                    "Keep the antibiotic back for now, and take the cannula out before the vein "
                    "is hard.",
                    stops=True,
                    misconception=(
                        "takes the device's light for redness: without it the site is like the "
                        "other arm"
                    ),
                ),
                Way(
                    "mark-the-edge",
                    "Keep the antibiotic back for now, and mark the place to see whether the "
                    "redness grows.",
                    stops=True,
                    misconception="waits for a redness that was only the device's light",
                ),
            ),
            because=(
                "The red was the device's light: by the lamp, and to the finger, the site is well."
            ),
        ),
    ),
)
