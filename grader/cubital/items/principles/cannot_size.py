"""A vein that cannot be sized, or is too small or too deep for what was ordered."""

from cubital.items.principles.vignette import Principle, Vignette, Way

PRINCIPLE = Principle(
    key="cannot-size",
    title="A vein that cannot be sized",
    rule=(
        "A vein whose width or depth nobody has measured, or that is too small or too deep for "
        "what was ordered, does not get this catheter: have it measured, take another vein, or go "
        "another way."
    ),
    section="Measure the vein, do not read it off the picture",
    pairs=(
        ("three-by-the-ruler", "half-of-the-flow"),
        ("twelve-deep", "measured-when-tight"),
        ("sharp-taken-for-shallow", "net-on-the-hand"),
    ),
    vignettes=(
        Vignette(
            key="three-by-the-ruler",
            present=True,
            story=(
                "The projected near-infrared picture shows a straight band on a woman's "
                "forearm, three millimetres wide by the ruler. Her scan at four needs an 18 "
                "G. It is three o'clock now. Nobody has used ultrasound; a nurse on the next "
                "ward has a probe. The local limit is 45 % of the vein. What do you do?"
            ),
            ways=(
                Way(
                    "probe-before-four",
                    "Leave the band for now, and have the nurse measure that vein without a "
                    "tourniquet by four.",
                    stops=True,
                ),
                Way(
                    "give-up-the-scan",
                    "Leave the band for today, and have the scan put off, as no vein takes an 18 "
                    "G.",
                    stops=True,
                    misconception=(
                        "says that no vein is wide enough, which nobody knows: an hour is "
                        "enough to have it measured"
                    ),
                ),
                Way(
                    "straight-to-midline",
                    "Leave the band for good, and have the access team put a midline into the "
                    "upper arm.",
                    stops=True,
                    misconception=(
                        "goes up the ladder from a vein that may well do: only the measurement is "
                        "missing"
                    ),
                ),
                Way(
                    "one-size-down",
                    "Take the band with a 20 G for now, and keep that one size as a margin for "
                    "blur.",
                    stops=False,
                    misconception=(
                        "takes one size less for safety, but nobody knows the error: the "
                        "band can be wider than the vein by more"
                    ),
                ),
                Way(
                    "sharper-by-the-ruler",
                    "Leave the band for now, and have it measured by the ruler again in a sharper "
                    "picture.",
                    stops=True,
                    misconception=(
                        "measures the band once more: its width is not the vein's, however sharp "
                        "it is"
                    ),
                ),
            ),
            because=(
                "A band's width is not the vein's: it cannot be sized from the picture, and "
                "somebody can measure it in time."
            ),
        ),
        Vignette(
            key="half-of-the-flow",
            present=True,
            story=(
                "A man is to have fluid fast. He is awake, his pressure holds, and the "
                "prescriber is on the ward. Both arms have been scanned by ultrasound, "
                "without a tourniquet, and the widest vein is 2.2 mm. A 22 G is the largest "
                "catheter that the local limit allows in it, and a 22 G lets half of the "
                "ordered flow through. What comes next?"
            ),
            ways=(
                Way(
                    "prescriber-for-device",
                    "Hold the 22 G back, and have the prescriber decide on a larger device for "
                    "this flow.",
                    stops=True,
                ),
                Way(
                    "with-tourniquet",
                    "Hold the 22 G back, and have the veins measured once more with a tourniquet "
                    "for this flow.",
                    stops=True,
                    misconception=(
                        "measures a vein that the tourniquet has widened: it is narrower "
                        "again when fluid is to run"
                    ),
                ),
                Way(
                    "search-the-picture",
                    "Hold the 22 G back, and have the near-infrared picture searched for a wider "
                    "vein for this flow.",
                    stops=True,
                    misconception=(
                        "looks in the picture for a width: it shows none, and both arms have been "
                        "measured"
                    ),
                ),
                Way(
                    "pressed-bag",
                    "Put the 22 G in now, and have the bag pressed to come nearer to this flow.",
                    stops=False,
                    misconception=(
                        "settles for a catheter that cannot give the order, and tells nobody who "
                        "could choose another way"
                    ),
                ),
            ),
            because=(
                "No vein here takes a catheter that gives the ordered flow: who ordered it decides "
                "on another device. Were his pressure falling, what fits would go in at once, "
                "while somebody calls."
            ),
        ),
        Vignette(
            key="twelve-deep",
            present=True,
            story=(
                "A man needs a drip for two days; nothing is urgent. By ultrasound the only vein "
                "in his arms is 3.5 mm wide, its near wall 12 mm deep. Your catheters are 32 mm "
                "long at the most, and local policy wants two thirds in the vein. The access team, "
                "with longer ones, comes within the hour. What do you do?"
            ),
            ways=(
                Way(
                    "longer-by-ultrasound",
                    "Leave this vein alone for now, and have the access team bring one of their "
                    "longer catheters.",
                    stops=True,
                ),
                Way(
                    "central-for-two-days",
                    "Leave this vein alone for good, and have the prescriber order a line into "
                    "the neck instead.",
                    stops=True,
                    misconception=(
                        "skips a rung: for two days a longer catheter under ultrasound will do"
                    ),
                ),
                Way(
                    "picture-for-depth",
                    "Leave this vein alone for now, and have its depth taken again from a sharper "
                    "near-infrared picture.",
                    stops=True,
                    misconception=(
                        "waits for a picture to tell the depth: it tells none, and 12 mm were "
                        "measured"
                    ),
                ),
                Way(
                    "steep-in",
                    "Enter this vein now at 45 degrees, and use the whole length of your longest "
                    "catheter for it.",
                    stops=False,
                    misconception=(
                        "takes reaching the vein for lying in it: 17 of the 32 mm would be used up "
                        "on the way"
                    ),
                ),
                Way(
                    "filled-by-tourniquet",
                    "Leave this vein alone for now, and have it scanned again when a tourniquet "
                    "has filled it.",
                    stops=True,
                    misconception=(
                        "hopes that a full vein lies less deep: its near wall is too deep "
                        "all the same"
                    ),
                ),
            ),
            because=(
                "With a near wall at 12 mm, too little of a short catheter comes to lie in "
                "the vein, and a longer one can be had within the hour."
            ),
        ),
        Vignette(
            key="sharp-taken-for-shallow",
            present=True,
            story=(
                "“Sharp means shallow, three millimetres at most,” says a colleague of a crisp "
                "near-infrared band in the left arm. No finger finds it. In the right arm a "
                "springy vein was scanned an hour ago for this very order: 2.9 mm wide, 3 mm deep, "
                "a 22 G fits. The probe is in theatre until evening; the dose is due. What comes "
                "next?"
            ),
            ways=(
                Way(
                    "measured-one",
                    "Leave the crisp band alone, and put the 22 G into the vein in the right arm.",
                    stops=True,
                ),
                Way(
                    "until-evening",
                    "Leave the right arm alone too, and have the crisp band scanned when the "
                    "probe is back.",
                    stops=True,
                    misconception=(
                        "holds back a dose that is due for the sake of a vein that nobody needs"
                    ),
                ),
                Way(
                    "both-to-the-team",
                    "Leave the right arm alone too, and have the access team judge the crisp "
                    "band's depth.",
                    stops=True,
                    misconception=(
                        "asks for help that is not needed: a vein was measured for this "
                        "order an hour ago"
                    ),
                ),
                Way(
                    "flat-and-slow",
                    "Leave the right arm alone, and put the 22 G flat and slowly into the crisp "
                    "band.",
                    stops=False,
                    misconception=(
                        "takes sharp for shallow: the picture tells no depth, and the finger does "
                        "not find it"
                    ),
                ),
                Way(
                    "midline-for-this",
                    "Leave the right arm alone too, and have a midline put in for this order.",
                    stops=True,
                    misconception="skips the vein that was measured for this order, and that fits",
                ),
            ),
            because=(
                "The picture does not tell the depth of the crisp band; another vein was measured "
                "for this order, and it fits."
            ),
        ),
        Vignette(
            key="measured-when-tight",
            present=True,
            story=(
                "“2.7 mm, and that with the tourniquet nice and tight,” says a colleague, and "
                "leaves for lunch. Her ultrasound probe stands there, and you are signed off to "
                "use it. The near-infrared picture marks the place. Of 2.7 mm a 20 G takes 43 %; "
                "the local limit is 45 %. Blood is to run in an hour. What do you do?"
            ),
            ways=(
                Way(
                    "again-when-loose",
                    "Loosen the tourniquet, and measure the vein again before a 20 G is laid out "
                    "for it.",
                    stops=True,
                ),
                Way(
                    "too-narrow-then",
                    "Loosen the tourniquet, and look for another vein, since a 20 G is too large "
                    "for it.",
                    stops=True,
                    misconception=(
                        "gives up a vein that nobody has measured: without the tourniquet it may "
                        "do or may not"
                    ),
                ),
                Way(
                    "blood-put-off",
                    "Loosen the tourniquet, and have the blood put off, since a 20 G is too large "
                    "for it.",
                    stops=True,
                    misconception=(
                        "puts off what an hour allows: whether the vein takes the catheter is soon "
                        "measured"
                    ),
                ),
                Way(
                    "within-the-limit",
                    "Leave the tourniquet tight, and put the 20 G in, since its share is below "
                    "the limit.",
                    stops=False,
                    misconception=(
                        "sizes a vein that the tourniquet has widened: when it is off, the "
                        "catheter's share can be over the limit"
                    ),
                ),
            ),
            because=(
                "A tourniquet distends the vein, so 2.7 mm says nothing of the share afterwards; a "
                "probe and an hour are there to measure it."
            ),
        ),
        Vignette(
            key="net-on-the-hand",
            present=True,
            story=(
                "On a thin old man's hand the near-infrared picture shows a fine net. The widest "
                "vein of his lower arms is there: 1.5 mm by ultrasound, without a tourniquet. Even "
                "a 24 G takes half of it; the local limit is 45 %. The upper arm has a vein of 4 "
                "mm, in which the access team places midlines. The therapy takes ten days. What "
                "comes next?"
            ),
            ways=(
                Way(
                    "midline-above",
                    "Spare the hand, and have the access team see the vein in the upper arm for "
                    "this.",
                    stops=True,
                ),
                Way(
                    "warmed-and-again",
                    "Spare the hand, and have the net measured again in the warm, when it has "
                    "filled more.",
                    stops=True,
                    misconception=(
                        "hopes that warmth makes the vein wider: it must take the catheter "
                        "for ten days, also when it is cold"
                    ),
                ),
                Way(
                    "central-at-once",
                    "Spare the hand, and have the prescriber order a central line at the neck for "
                    "this.",
                    stops=True,
                    misconception=(
                        "skips a rung: the upper arm has a vein for the midline that ten days call "
                        "for"
                    ),
                ),
                Way(
                    "changed-every-other-day",
                    "Use the hand, and have the 24 G changed for another in the net every two "
                    "days.",
                    stops=False,
                    misconception=(
                        "goes over the limit again and again: no vein of the net takes even the "
                        "thinnest catheter"
                    ),
                ),
                Way(
                    "search-the-net",
                    "Spare the hand, and have the picture searched for a wider vein.",
                    stops=True,
                    misconception=(
                        "looks in the picture for a width: it shows none, and the lower arms have "
                        "been measured"
                    ),
                ),
            ),
            because=(
                "No vein of the lower arms takes even the thinnest catheter; the upper arm has one "
                "for the device that ten days need."
            ),
        ),
        Vignette(
            key="faint-but-measured",
            present=False,
            story=(
                "The near-infrared picture shows two bands on a forearm: one dark and sharp, the "
                "other so faint that a student overlooks it. The faint one is springy, without a "
                "pulse; by ultrasound, tourniquet off, it is 2.8 mm wide and 3 mm deep. A 22 G "
                "takes 34 % of it and gives the ordered flow. The local limit is 45 %. What do you "
                "do?"
            ),
            ways=(
                Way(
                    "faint-one",
                    "Have the student feel where the faint one runs, and put the 22 G into it.",
                    stops=False,
                ),
                Way(
                    "sharp-one",
                    "Have the student see where the sharp one runs, and put the 22 G into it.",
                    stops=False,
                    misconception=(
                        "takes a vein that is sharp in the picture for one that the catheter "
                        "fits: nobody has measured or felt that one"
                    ),
                ),
                Way(
                    "team-for-faint",
                    "Lay the 22 G aside, and have the access team judge why the band is faint.",
                    stops=True,
                    misconception=(
                        "doubts the measurement because of the picture: a faint band need "
                        "not be too narrow or too deep"
                    ),
                ),
                Way(
                    "picture-first",
                    "Lay the 22 G aside, and have the picture set until both bands are alike.",
                    stops=True,
                    misconception=(
                        "waits for the picture to agree with the measurement: it need not"
                    ),
                ),
                Way(
                    "scan-both-when-tight",
                    "Lay the 22 G aside, and have both bands scanned again under a tourniquet.",
                    stops=True,
                    misconception=(
                        "measures again what was measured, and under a tourniquet, which "
                        "makes the veins wider than they will be"
                    ),
                ),
            ),
            because=(
                "The faint one was measured and felt, and the catheter fits; the picture's "
                "contrast does not size a vein."
            ),
        ),
        Vignette(
            key="narrow-but-enough",
            present=False,
            story=(
                "A slight woman's best vein, of both forearms, is 2.0 mm wide and 3 mm deep by "
                "ultrasound without a tourniquet. A 24 G takes 37 % of it, a 22 G 47 %; local "
                "policy allows 45 %. One dose is ordered, to run over an hour, and a 24 G carries "
                "that easily. She has no restriction and has agreed. What comes next?"
            ),
            ways=(
                Way(
                    "within",
                    "Put the 24 G into this vein, and have the dose run over the hour.",
                    stops=False,
                ),
                Way(
                    "with-reserve",
                    "Put the 22 G into this vein, and have some flow in reserve for more.",
                    stops=False,
                    misconception="goes over the limit for a flow that nobody ordered",
                ),
                Way(
                    "midline-for-one-dose",
                    "Spare this vein for now, and have the access team see the upper arm.",
                    stops=True,
                    misconception=(
                        "takes narrow for too narrow: the catheter fits, and one dose needs no "
                        "midline"
                    ),
                ),
                Way(
                    "tell-too-narrow",
                    "Spare this vein for now, and have the prescriber choose a dose by mouth.",
                    stops=True,
                    misconception=(
                        "turns down a vein that takes the needed catheter within the limit"
                    ),
                ),
                Way(
                    "in-half-the-time",
                    "Put the 24 G into this vein, and have the dose run in half the time.",
                    stops=False,
                    misconception="gives a dose faster than it was ordered",
                ),
            ),
            because=(
                "The thinnest catheter that carries the dose stays within the limit: narrow is not "
                "too narrow here."
            ),
        ),
        Vignette(
            key="picture-looks-narrower",
            present=False,
            story=(
                "Ten minutes ago ultrasound, without a tourniquet, gave 3.0 mm for a vein at a "
                "place that was marked. A 20 G was ordered; it takes 38 % of that, and the limit "
                "is 45 %. Now the near-infrared device hangs too far away, and at the mark the "
                "band looks 2 mm wide. The vein feels as it did. What do you do?"
            ),
            ways=(
                Way(
                    "by-the-scan",
                    "Enter at the mark with the 20 G, and move the device back to its own "
                    "distance.",
                    stops=False,
                ),
                Way(
                    "by-the-picture",
                    "Enter at the mark with a 22 G, and move the device back to its own distance.",
                    stops=False,
                    misconception=(
                        "lets the picture overrule what was measured: the band's width goes with "
                        "the device's distance"
                    ),
                ),
                Way(
                    "measure-once-more",
                    "Wait at the mark with the 20 G, and have the vein measured again at its new "
                    "width.",
                    stops=True,
                    misconception=(
                        "takes a change in the picture for one in the vein, which was measured ten "
                        "minutes ago"
                    ),
                ),
                Way(
                    "tell-of-spasm",
                    "Wait at the mark with the 20 G, and report to the prescriber how the vein "
                    "has shrunk.",
                    stops=True,
                    misconception=(
                        "reports a change in the vein, but only the picture has changed: the "
                        "device hangs too far away"
                    ),
                ),
            ),
            because=(
                "The vein was measured ten minutes ago where the catheter will lie; the device's "
                "distance changes the picture and not the vein."
            ),
        ),
    ),
)
