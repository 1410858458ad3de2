"""Cases on readiness: when the device is used, and when it is left, against time and wishes."""

from cubital.items.cases.case import Case
from cubital.items.kinds.choice import Option

CASES = (
    Case(
        key="ready-half-charge",
        title="Half a charge",
        section="Before and after the shift: batteries and chargers",
        story=(
            "You take over a device that is checked and clean, with half its charge. Full, it runs "
            "for 3.5 h, as timed last week; charging from empty takes 2.5 h. Six hours of your "
            "shift are left. If it is switched off between patients, it is on for a quarter of the "
            "time. The first patient, who has poor veins, is waiting. The next ward would lend a "
            "full unit, ten minutes away."
        ),
        ways=(
            Option(
                "charge",
                "Put it on its charger, and see the first patient after that.",
                "would suit a unit that is nearly empty: half a charge lasts the shift if it is "
                "switched off",
            ),
            Option("off-between", "Start now with this one, and turn it off after every patient."),
            Option(
                "fetch",
                "Fetch the full one from next door, and start with that one.",
                "would suit a device that is on all the time: it takes a unit from another ward to "
                "bridge a gap that does not come",
            ),
            Option(
                "leave-on",
                "Start now with this one, and leave it on until it runs low.",
                "uses up in 1.75 h what would last for 7.0 h",
            ),
        ),
        reasons=(
            Option(
                "charging",
                "A full charge takes two and a half hours.",
                "says how long a gap would be, but not whether one comes",
            ),
            Option("quarter", "It has to be on for one hour out of four."),
            Option(
                "next-door",
                "A full unit can be had from the next ward.",
                "goes by what you can get, and not by what you need",
            ),
            Option(
                "poor-veins",
                "The first patient's veins are known as poor.",
                "says why the device is wanted, but not how long it lasts",
            ),
        ),
        because=(
            "0.5 × 3.5 h ÷ 0.25 = 7.0 h, and six are left. The price is a reserve of one hour in "
            "the whole, so the switch must not be forgotten."
        ),
    ),
    Case(
        key="ready-vein-in-sight",
        title="Parents who want the light",
        section="When the device stays on its hook",
        story=(
            "A boy's parents have heard of the light and would like it for him. The one device "
            "comes from an isolation room; nobody has wiped it, and the daily check is not done. "
            "Both together take a quarter of an hour. On his forearm a vein stands out, springs "
            "back under your finger and does not beat. His skin has been numbed, which wears off "
            "soon. He is calm and lets you hold his arm."
        ),
        ways=(
            Option(
                "wipe",
                "Wipe the device, let it dry, and use it once it has passed.",
                "would suit a boy whose vein hides: his stands out, and the numbness would be gone",
            ),
            Option(
                "distance",
                "Take the device as it is, from a distance, for a moment.",
                "takes distance for cleanness: hands go from the device to the boy, and it has not "
                "passed its check",
            ),
            Option("without", "Go in now without the light, and tell the parents the reason."),
            Option(
                "last",
                "Put the boy last, when the device will be ready for him.",
                "would suit a boy with hidden veins and time to spare: he would lose the numbness "
                "and his calm",
            ),
        ),
        reasons=(
            Option(
                "isolation",
                "The device comes straight from an isolation room.",
                (
                    "is why you cannot use the device as it is, but if the vein were hidden, you "
                    "would clean it"
                ),
            ),
            Option("plain", "The vein stands out well without the light."),
            Option(
                "parents",
                "The parents would like the light for their son.",
                "weighs a wish that an explanation can meet",
            ),
            Option(
                "numb",
                "The numbness of the skin is going to wear off soon.",
                (
                    "is a reason to hurry, but if the vein were hidden, you would numb the skin "
                    "again"
                ),
            ),
        ),
        because=(
            "A vein that is seen and felt gains little from the light, and the device is neither "
            "clean nor checked. The price is that the parents have to be told."
        ),
    ),
    Case(
        key="ready-rare-picture",
        title="A rare picture",
        section="A picture without a name is still a clinical picture",
        story=(
            "In the device's store is a rare picture: a leak under tattooed skin. Nobody asked for "
            "consent to store it, and the patient is now confused. For such pictures your policy "
            "names the records officer, who is in the house. A lecturer wants it for tomorrow's "
            "class, with a bar over the tattoo. The store is nearly full; by tonight a new picture "
            "will overwrite it."
        ),
        ways=(
            Option(
                "folder",
                "Copy it to the ward's folder for now, and settle consent later.",
                "would suit a picture that was agreed to: a copy that nobody agreed to makes it "
                "worse",
            ),
            Option("officer", "Leave it there for now, and tell the records officer today."),
            Option(
                "class",
                "Let the lecturer have it with the bar, for this class alone.",
                (
                    "takes a black bar for consent to teaching: so rare a picture is recognised "
                    "without the tattoo"
                ),
            ),
            Option(
                "sign",
                "Have the patient sign this afternoon, and copy it after that.",
                "takes the signature of a patient who cannot judge what he or she signs",
            ),
        ),
        reasons=(
            Option("no-consent", "Consent to keep the picture is missing."),
            Option(
                "bar",
                "The tattoo can be hidden under a black bar.",
                "hides one mark on the skin, but is no consent",
            ),
            Option(
                "overwritten",
                "A new picture will overwrite this one tonight.",
                "hurries to save a picture that may have to be deleted in any case",
            ),
            Option(
                "class-learns",
                "A class could learn a great deal from this.",
                "goes by what others gain from a picture that is not theirs",
            ),
        ),
        because=(
            "A picture without consent is copied nowhere and shown to nobody, and whoever policy "
            "names decides what becomes of it. The price is that a rare picture may be lost by "
            "tonight."
        ),
        sources=("photo-consent-page",),
    ),
    Case(
        key="ready-scalp-of-an-infant",
        title="A vein at the temple",
        section="When the device stays on its hook",
        story=(
            "An infant needs an antibiotic within the hour. Hands and feet have been tried in "
            "vain. At the temple a vein can just be guessed at. The device is checked and clean, "
            "its light at the working distance far below the limits, and the mother would hold a "
            "cloth before the eyes. Its instructions for use exclude the head. A colleague who "
            "reaches infants' veins by ultrasound is fifteen minutes away."
        ),
        ways=(
            Option(
                "cloth",
                "Use the light at the temple, with the cloth held before the eyes.",
                "would suit a hand beside the face: the head is excluded, and a cloth does not "
                "change that",
            ),
            Option(
                "moment",
                "Use the light at the temple for a moment, then go in by eye.",
                "would suit instructions that limit the time: these exclude the place",
            ),
            Option(
                "guess",
                "Leave the light off, and go in at the temple at a best guess.",
                ("keeps to the instructions, but spends a needle on a vein that nobody has found"),
            ),
            Option("colleague", "Leave the light off, and leave the infant to the colleague."),
        ),
        reasons=(
            Option(
                "margin",
                "The light is far below the limits there.",
                "takes a margin for a permission",
            ),
            Option(
                "cloth-held",
                "The mother would hold a cloth before the eyes.",
                "makes one risk smaller, but the use is still excluded",
            ),
            Option(
                "hour",
                "The antibiotic is due within the hour.",
                "is a reason to hurry, but fifteen minutes fit into the hour",
            ),
            Option("excluded", "The device's instructions exclude the head."),
        ),
        because=(
            "The instructions exclude the head, a guess is no vein, and fifteen minutes fit into "
            "the hour. The price is a wait with a worried mother."
        ),
    ),
)
