"""Identity, consent and allergies before the needle: what disagrees is cleared up by then."""

from cubital.items.principles.vignette import Principle, Vignette, Way

PRINCIPLE = Principle(
    key="identity",
    title="The right patient, who agrees, and what the skin bears",
    rule=(
        "No needle before two identifiers agree with the order, the patient has consented, and "
        "allergies are known and heeded. What disagrees is cleared up with those who can."
    ),
    section="Assessment",
    pairs=(
        ("one-digit-off", "yes-to-every-name"),
        ("no-more-needles", "lips-and-balloons"),
        ("welts-where-painted", "nods-and-smiles"),
    ),
    vignettes=(
        Vignette(
            key="one-digit-off",
            present=True,
            story=(
                "Two in the morning. A man tells you his name and date of birth, and his wristband "
                "says the same. On the order for an antibiotic the birthday differs by a digit. "
                "The name is common on this ward. The doctor who wrote the order is on the floor; "
                "the dose is due at three. What do you do?"
            ),
            ways=(
                Way(
                    "order-with-doctor",
                    "Lay the tray aside, and have the doctor find out whose the order with that "
                    "date is.",
                    stops=True,
                ),
                Way(
                    "band-to-match",
                    "Lay the tray aside, and have the front desk print a band with the date on "
                    "the order.",
                    stops=True,
                    misconception=(
                        "makes the wristband agree with the order, which may be another patient's"
                    ),
                ),
                Way(
                    "digit-until-round",
                    "Lay the tray aside, and have the morning round settle the digit with him and "
                    "the doctor.",
                    stops=True,
                    misconception=(
                        "lets a due dose wait for hours, although the doctor who can clear it up "
                        "is on the floor"
                    ),
                ),
                Way(
                    "needle-meanwhile",
                    "Take the tray along, and have the cannula in by the time the doctor corrects "
                    "the digit.",
                    stops=False,
                    misconception=(
                        "thinks that only the drug needs the right patient: the needle is ordered "
                        "for one person too"
                    ),
                ),
                Way(
                    "order-to-match",
                    "Lay the tray aside, and have his nurse write the band's date on the order.",
                    stops=True,
                    misconception=(
                        "makes the order agree with the wristband, although it may be another "
                        "patient's and the nurse did not write it"
                    ),
                ),
            ),
            because=(
                "Wristband and man agree, and the order does not. The doctor who wrote it "
                "finds out whose order it is, before any needle."
            ),
        ),
        Vignette(
            key="yes-to-every-name",
            present=True,
            story=(
                "A confused man in bed 6 says yes to every name. His wristband hangs cut from the "
                "rail. Local policy: where a patient cannot say name and birthday, two people who "
                "know him name him, and he gets a new wristband. His wife and his own nurse stand "
                "in the corridor. A cannula is ordered for him, for fluid. What comes next?"
            ),
            ways=(
                Way(
                    "two-who-know-him",
                    "Wait beside him, and have his wife and his nurse name him for a new band.",
                    stops=True,
                ),
                Way(
                    "wife-asks-again",
                    "Wait beside him, and have his wife ask him again for his name and his "
                    "birthday.",
                    stops=True,
                    misconception=(
                        "hopes that he gives his wife a true answer: he says yes to every name"
                    ),
                ),
                Way(
                    "rail-and-order",
                    "Wait beside him, and have his nurse compare the band on the rail with the "
                    "order.",
                    stops=True,
                    misconception=(
                        "compares a wristband that is off with a sheet of paper: neither says who "
                        "lies in the bed"
                    ),
                ),
                Way(
                    "band-of-the-bed",
                    "Begin with his wife there, and have his nurse bring a band for bed 6 "
                    "meanwhile.",
                    stops=False,
                    misconception=(
                        "lets a bed and a wife who was not asked stand for the two people "
                        "who must name him"
                    ),
                ),
                Way(
                    "nurse-and-order",
                    "Wait beside him, and have his nurse and the order name him for a new band.",
                    stops=True,
                    misconception=(
                        "takes a sheet of paper for the second person: policy asks for two who "
                        "know him"
                    ),
                ),
            ),
            because=(
                "He cannot say who he is, so the two who know him name him, as policy says, before "
                "he gets a wristband and a needle. Who may agree for him, and how, the law and "
                "policy say."
            ),
        ),
        Vignette(
            key="no-more-needles",
            present=True,
            story=(
                "“No more needles today,” says a woman who has heard what her drip is for. She is "
                "clear, and decides for herself. In the picture her veins stand out like a map. "
                "Her daughter whispers: “Just do it, she always comes round.” The drip would give "
                "her some comfort; nothing is urgent. What do you do?"
            ),
            ways=(
                Way(
                    "decision-told",
                    "Switch off the device, and have the prescriber told that she has decided "
                    "against the drip today.",
                    stops=True,
                ),
                Way(
                    "can-she-decide",
                    "Switch off the device, and have a doctor who knows her judge whether she can "
                    "decide today.",
                    stops=True,
                    misconception=(
                        "takes a refusal for a sign that she cannot decide: she is clear, and "
                        "understood what it is for"
                    ),
                ),
                Way(
                    "daughter-persuades",
                    "Switch off the device, and have the daughter talk it over with her before "
                    "you are back.",
                    stops=True,
                    misconception=(
                        "leaves her refusal to somebody who wants to change it: she has "
                        "decided for today"
                    ),
                ),
                Way(
                    "while-talking",
                    "Leave the device on, and have the daughter talk with her while you are "
                    "gentle and quick.",
                    stops=False,
                    misconception="lets distraction stand for consent: she has refused",
                ),
            ),
            because=(
                "She decides for herself and has refused, and nothing is urgent: her no stands, "
                "and the prescriber learns of it."
            ),
        ),
        Vignette(
            key="lips-and-balloons",
            present=True,
            story=(
                "Before a cannula a young man mentions that his lips swell when he blows up "
                "balloons. His record says “no allergies”. The gloves and the tourniquet on your "
                "trolley are of latex. The store two floors down has others, and there is half an "
                "hour. You have just found a vein with the near-infrared light. What comes next?"
            ),
            ways=(
                Way(
                    "from-the-store",
                    "Move the trolley out, fetch others from the store, and enter in his record "
                    "what balloons do.",
                    stops=True,
                ),
                Way(
                    "skin-test-first",
                    "Move the trolley out, put the cannula off, and have a skin test say what "
                    "balloons do.",
                    stops=True,
                    misconception=(
                        "puts off a cannula that need not wait: without latex it can go in, "
                        "tested or not"
                    ),
                ),
                Way(
                    "record-settled",
                    "Move the trolley out, and have the doctor settle with him what the record "
                    "should say first.",
                    stops=True,
                    misconception=(
                        "waits for the record: what he has told is enough to leave latex out now"
                    ),
                ),
                Way(
                    "over-the-sleeve",
                    "Leave the trolley there, put the tourniquet over his sleeve, and enter what "
                    "balloons do in his record.",
                    stops=False,
                    misconception=(
                        "thinks that a sleeve is enough to keep latex from him: the gloves are of "
                        "it too"
                    ),
                ),
                Way(
                    "family-by-phone",
                    "Move the trolley out, and have his family asked by phone what balloons did to "
                    "him.",
                    stops=True,
                    misconception=(
                        "looks for more proof: what he has told is enough to leave latex out now"
                    ),
                ),
            ),
            because=(
                "Lips that swell from balloons speak for an allergy to latex. So the latex "
                "goes, the store has things without it, and the record is put right. "
                "Dressing, catheter and line are looked at for latex too."
            ),
        ),
        Vignette(
            key="welts-where-painted",
            present=True,
            story=(
                "A woman tells you of welts on her belly, wherever the skin had been painted "
                "for an operation. The report names the antiseptic: it is the one on your "
                "swab. For such patients local policy names another antiseptic, which is in "
                "the cupboard. You have found and felt a good vein. Her drip is due now. "
                "What do you do?"
            ),
            ways=(
                Way(
                    "the-other-one",
                    "Lay the swab aside, and use the other from the cupboard, with the welts in "
                    "her record.",
                    stops=True,
                ),
                Way(
                    "clinic-tests-both",
                    "Lay the swab aside, and have a clinic test both on her skin before the drip.",
                    stops=True,
                    misconception=(
                        "puts off a drip that is due, although policy has an antiseptic for such "
                        "patients"
                    ),
                ),
                Way(
                    "doctor-names-one",
                    "Lay the swab aside, and have the doctor name an antiseptic that she and her "
                    "skin bear.",
                    stops=True,
                    misconception=(
                        "asks what is already settled: policy names another antiseptic, it "
                        "is at hand, and the drip is due"
                    ),
                ),
                Way(
                    "coin-sized",
                    "Keep to the swab on a spot like a coin, with the drip and her skin watched.",
                    stops=False,
                    misconception="thinks that a small spot makes an allergy small",
                ),
            ),
            because="She reacted to this antiseptic, and policy names another, which is at hand.",
        ),
        Vignette(
            key="nods-and-smiles",
            present=True,
            story=(
                "A traveller nods and smiles at all you say, also when you try a wrong name; "
                "nobody here speaks her language. Wristband and order agree. Nobody knows of "
                "allergies. Policy has interpreters on the phone, day and night; a cousin of the "
                "next patient offers to translate. The drug may wait. The near-infrared device "
                "shows a vein. What comes next?"
            ),
            ways=(
                Way(
                    "interpreter",
                    "Lay the needle aside, and have the interpreter put name, allergies and "
                    "consent to her by phone.",
                    stops=True,
                ),
                Way(
                    "cousin",
                    "Lay the needle aside, and have the cousin put name, allergies and consent to "
                    "her in person.",
                    stops=True,
                    misconception=(
                        "leaves to a stranger, untrained and bound to no secrecy, what must be "
                        "exact and private"
                    ),
                ),
                Way(
                    "doctor-in-person",
                    "Lay the needle aside, and have the prescriber put name, allergies and "
                    "consent to her in person.",
                    stops=True,
                    misconception=(
                        "gives the same problem to somebody who speaks her language no better"
                    ),
                ),
                Way(
                    "explained-later",
                    "Take the needle now, and have the interpreter put allergies and the drug to "
                    "her before it runs.",
                    stops=False,
                    misconception="takes a nod for consent from somebody who nods at a wrong name",
                ),
                Way(
                    "signs-and-pictures",
                    "Lay the needle aside, and put name, allergies and consent to her by signs and "
                    "pictures.",
                    stops=True,
                    misconception=(
                        "takes signs for a language: somebody who nods at a wrong name nods at "
                        "these as well"
                    ),
                ),
            ),
            because=(
                "She nods at a wrong name too, so neither name, allergies nor consent are known; "
                "an interpreter can be had, and the drug may wait."
            ),
        ),
        Vignette(
            key="two-of-one-name",
            present=False,
            story=(
                "Two women in one bay share first name and surname. The one before you says name "
                "and date of birth; wristband and order agree with both, and with the hospital "
                "number. The other was born eight years earlier. The near-infrared device is on; a "
                "vein is found and measured, and she has agreed. What do you do?"
            ),
            ways=(
                Way(
                    "alert-for-both",
                    "Go on with this woman, and have an alert for like names put on both records.",
                    stops=False,
                ),
                Way(
                    "known-by-beds",
                    "Go on with this woman, and have the beds put before the names on both "
                    "records.",
                    stops=False,
                    misconception=(
                        "tells patients apart by their beds: they are moved, and a bed is no "
                        "identifier"
                    ),
                ),
                Way(
                    "order-anew",
                    "Wait with this woman, and have the order written anew with a second first "
                    "name.",
                    stops=True,
                    misconception=(
                        "asks for more than there is to clear up: all her identifiers agree"
                    ),
                ),
                Way(
                    "other-bay",
                    "Wait with this woman, and have the other put into a bay of her own.",
                    stops=True,
                    misconception=(
                        "moves beds, though nothing is unclear: all her identifiers agree"
                    ),
                ),
                Way(
                    "third-identifier",
                    "Wait with this woman, and have both of them asked for a further identifier.",
                    stops=True,
                    misconception=(
                        "asks for more than there is to clear up: all her identifiers agree"
                    ),
                ),
            ),
            because=(
                "All identifiers agree for the woman before you; the like name is a reason for an "
                "alert and not for waiting."
            ),
        ),
        Vignette(
            key="a-red-band",
            present=False,
            story=(
                "A man wears a red wristband: years ago a painkiller gave him hives. His record "
                "says so too. Antiseptics, dressings and latex have never done him any harm. Plain "
                "saline is ordered for him, and the identifiers agree. He has consented, and a "
                "vein has been found with the near-infrared picture and measured. What comes next?"
            ),
            ways=(
                Way(
                    "band-stays",
                    "Go on with the cannula, and have the red band left on for whatever is "
                    "ordered next.",
                    stops=False,
                ),
                Way(
                    "band-off",
                    "Go on with the cannula, and have the red band cut off, as saline does not "
                    "matter.",
                    stops=False,
                    misconception=(
                        "takes off a warning, since it does not matter today: the next order may "
                        "be that painkiller"
                    ),
                ),
                Way(
                    "pharmacist",
                    "Put the cannula off, and have the pharmacist say whether saline goes with "
                    "the red band.",
                    stops=True,
                    misconception=(
                        "takes any allergy for one to what is ordered: saline is no painkiller"
                    ),
                ),
                Way(
                    "dressings-tested",
                    "Put the cannula off, and have the antiseptic and the dressing tried on his "
                    "skin first.",
                    stops=True,
                    misconception="looks for allergies that he has told you he does not have",
                ),
                Way(
                    "band-on-the-rail",
                    "Go on with the cannula, and have the red band tied to the rail of his bed "
                    "tonight.",
                    stops=False,
                    misconception="takes the warning off the man: he is moved, and the bed stays",
                ),
            ),
            because=(
                "His allergy is known and concerns neither saline, antiseptic, dressing nor latex; "
                "the wristband stays for what comes later."
            ),
        ),
        Vignette(
            key="looks-at-the-wall",
            present=False,
            story=(
                "“I hate these things. Get on with it, please,” says a woman, holds out her arm "
                "and looks at the wall. You have told her what the drip is for, and she has said "
                "it back. Identifiers, order and allergies are settled. Local policy takes consent "
                "by word. The vein is felt and measured. What do you do?"
            ),
            ways=(
                Way(
                    "a-word-to-pause",
                    "Go on as she asks, and have her choose a word at which you will pause.",
                    stops=False,
                ),
                Way(
                    "held-still",
                    "Go on as she asks, and have a colleague keep her arm still until it is in.",
                    stops=False,
                    misconception=(
                        "holds fast somebody who has agreed: nothing calls for it, and she must be "
                        "able to stop you"
                    ),
                ),
                Way(
                    "taken-for-no",
                    "Lay it all aside, and have the prescriber hear of her refusal of the drip.",
                    stops=True,
                    misconception=(
                        "takes fear for a refusal: she has understood, agreed and asked you to "
                        "begin"
                    ),
                ),
                Way(
                    "signed-form",
                    "Lay it all aside, and have her sign for the needle when she is calm.",
                    stops=True,
                    misconception=(
                        "wants a signature where her word is enough, and leaves her longer in fear"
                    ),
                ),
            ),
            because=(
                "She has understood and has said that you are to begin: that is consent, and fear "
                "is no refusal."
            ),
        ),
    ),
)
