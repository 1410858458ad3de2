"""Swelling, coolness, tightness or resistance at a running infusion: it is stopped, then judged.

What has no source is common practice, as the lesson on complications teaches it.
"""

from cubital.items.complications.bleeding import FIRST
from cubital.items.principles.vignette import Principle, Vignette, Way

# ---------------------------------------------------------------- fluid may run outside

_ASLEEP = Vignette(
    key="asleep-after-surgery",
    present=True,
    story=(
        "A pump runs saline into the forearm of a man who sleeps deeply after surgery. You turn "
        "the blanket back: the forearm is thicker than the other, firm and cool. The near-infrared "
        "picture is as it was at noon, and the pump has not alarmed. Your ward takes out such "
        "catheters after plain fluids. What do you do?"
    ),
    ways=(
        Way(
            "stop-and-out",
            "Stop the pump, take the line off, take the catheter out, and raise the arm.",
            stops=True,
        ),
        Way(
            "stop-and-leave",
            "Stop the pump, take the line off, leave the catheter unflushed, and call for help.",
            stops=True,
            misconception="does what is done for a drug that harms tissue: after a plain fluid "
            "nothing is to be drawn back, and the catheter lies in a swollen arm for nothing",
        ),
        Way(
            "stop-and-picture",
            "Stop the pump, raise the arm, and start it again if the picture stays the same.",
            stops=True,
            misconception="lets an unchanged picture outweigh the hand: clear fluid that lies deep "
            "changes nothing in it",
        ),
        Way(
            "half-rate",
            "Slow the pump down, raise the arm, mark the swelling's edge, and call for help.",
            stops=False,
            misconception="runs a leak more slowly: it goes on into the tissue",
        ),
        Way(
            "flush-and-start",
            "Stop the pump, flush the catheter, and start it again if that goes in easily.",
            stops=True,
            misconception=(
                "takes an easy flush for proof: it pushes more fluid into the swollen arm"
            ),
        ),
    ),
    because=(
        "thicker, firm and cool is a leak in somebody who cannot complain, whatever pump and "
        "picture say: stop, and after a plain fluid the catheter comes out"
    ),
    sources=("extravasation-lesson",),
)

_VESICANT = Vignette(
    key="burning-with-blood-back",
    present=True,
    story=(
        "A drug on your ward's list of vesicants runs into a woman's forearm. She says that it "
        "burns and pulls, and over the tip the skin is tight. A colleague has drawn back on the "
        "line: “Blood comes, so it's in the vein. We can let it run.” The drug can wait. What do "
        "you do first?"
    ),
    ways=(
        Way(
            "stop-and-leave",
            "Stop the pump, take the line off, leave the catheter unflushed, and call for help.",
            stops=True,
        ),
        Way(
            "stop-and-out",
            "Stop the pump, take the line off, take the catheter out, and raise the arm.",
            stops=True,
            misconception="does what is done for saline: with the catheter goes the way to draw "
            "the drug back or to give an antidote",
        ),
        Way(
            "stop-and-flush",
            "Stop the pump, take the line off, flush the catheter clean, and call for help.",
            stops=True,
            misconception="pushes what is left in the catheter into the tissue, and spreads it",
        ),
        Way(
            "slow-and-call",
            "Slow the pump down, leave the line on, raise the arm, and call for help.",
            stops=False,
            misconception="takes blood that comes back for proof, and lets a drug that destroys "
            "tissue run on while help is on its way",
        ),
        Way(
            "stop-and-draw",
            "Stop the pump, draw back on the line yourself, and start it again if blood comes.",
            stops=True,
            misconception=(
                "repeats a test that proves nothing: blood can come back while the drug runs "
                "out beside the vein"
            ),
        ),
    ),
    because=(
        "burning and tight skin are a leak, and blood that comes back rules none out: stop, and "
        "with a vesicant the catheter stays, unflushed, for those who treat it"
    ),
    sources=("extravasation-lesson",),
)

_DRAPES = Vignette(
    key="under-the-drapes",
    present=True,
    story=(
        "In theatre both arms lie under drapes. The drip of plain fluid on the left has slowed "
        "down by itself, and through the cloth that forearm feels tight and cold. A second drip "
        "runs well on the right, and the patient is stable. “Ten more minutes, please don't move "
        "anything,” says the surgeon. What comes next?"
    ),
    ways=(
        Way(
            "shut-and-see",
            "Shut the left clamp, and have the drape lifted to look at that arm now.",
            stops=True,
        ),
        Way(
            "shut-and-wait",
            "Shut the left clamp, and look at that arm once the ten minutes are over.",
            stops=True,
            misconception="leaves a tight, cold arm unseen in somebody who cannot complain: the "
            "pressure inside it can cost the hand",
        ),
        Way(
            "shut-and-flush",
            "Shut the left clamp, flush the catheter, and open it again if that goes well.",
            stops=True,
            misconception="pushes more fluid into a tight arm to find out whether it leaks",
        ),
        Way(
            "lift-and-look",
            "Leave the left clamp open, and have the drape lifted to look at that arm now.",
            stops=False,
            misconception="looks for the cause while it runs into the arm: the clamp needs no "
            "look, and another drip runs",
        ),
    ),
    because=(
        "a drip that slows and an arm that is tight and cold are enough to stop, and the clamp "
        "does not wait for the look; nor does the look wait for the surgeon, since nobody feels "
        "the pressure rise under anaesthesia"
    ),
    sources=("infiltration-pressure",),
)

_CHILD = Vignette(
    key="splinted-hand",
    present=True,
    story=(
        "A pump runs plain fluid into a small boy's hand; splint and bandage leave only the "
        "fingertips bare. It has alarmed twice for high pressure, and each time it was started "
        "again. “His fingers are fatter than this morning,” says his father. They are, and the boy "
        "whimpers when you touch them. What do you do?"
    ),
    ways=(
        Way(
            "stop-and-unwrap",
            "Stop the pump, unwrap the whole arm, and compare it with the other one.",
            stops=True,
        ),
        Way(
            "stop-and-flush",
            "Stop the pump, flush gently, and start it again if the resistance gives way.",
            stops=True,
            misconception="takes a leak for a plug in the catheter, and forces fluid into the hand",
        ),
        Way(
            "stop-and-raise",
            "Stop the pump, raise the whole arm, and compare it at the next round.",
            stops=True,
            misconception="thinks that stopping the pump is enough: under the bandage nobody "
            "has seen how tight the hand is",
        ),
        Way(
            "run-and-unwrap",
            "Let the pump run, unwrap the whole arm, and compare it with the other one.",
            stops=False,
            misconception="looks for the cause while it runs on: stopping takes a second, "
            "unwrapping minutes",
        ),
        Way(
            "stop-for-an-antidote",
            "Stop the pump, leave the catheter unflushed, and get an antidote.",
            stops=True,
            misconception=(
                "does what is done for a drug that harms tissue: for plain fluid there is no "
                "antidote, and the hand stays wrapped up"
            ),
        ),
    ),
    because=(
        "fat fingers, pain and two alarms at a hand that nobody can see: stop, and only then "
        "unwrap the arm and look"
    ),
)

_SYRINGE = Vignette(
    key="push-it-through",
    present=True,
    story=(
        "An antibiotic drip has nearly stopped by itself. The clamp is open, the line has no kink, "
        "and the arm lies straight. “It's tight, as if blown up,” says the patient, whose skin is "
        "deep brown. You see no redness, and the near-infrared picture is unchanged. A colleague "
        "holds out a syringe: “Push it through.” What comes next?"
    ),
    ways=(
        Way(
            "shut-and-ask",
            "Shut the clamp, feel both arms, and ask the pharmacist if the catheter may stay.",
            stops=True,
        ),
        Way(
            "nearer-the-hand",
            "Shut the clamp, feel for a vein nearer the hand, and let the drip run there.",
            stops=True,
            misconception="moves the drip below the leak: there the fluid comes past the same hole",
        ),
        Way(
            "shut-rest-open",
            "Shut the clamp, feel both arms, and open it if the picture is still the same.",
            stops=True,
            misconception="lets the picture decide: it can stay as it is while fluid gathers "
            "beneath the vein",
        ),
        Way(
            "ask-while-it-runs",
            "Leave the clamp open, feel both arms, and ask the pharmacist if it may run.",
            stops=False,
            misconception="lets the fluid run into a tight arm until somebody answers",
        ),
    ),
    because=(
        "a drip that stops by itself and a tight arm are a leak until shown otherwise; colour can "
        "hide and the picture can stay: it is stopped, and the drug decides what becomes of the "
        "catheter"
    ),
)

_TELEPHONE = Vignette(
    key="on-the-telephone",
    present=True,
    story=(
        "You answer the telephone for patients who have infusions at home. A man rings: above the "
        "catheter his forearm has become tight and cool since breakfast. It does not hurt, and the "
        "pump is silent. Only saline runs, and he drinks well. A nurse can be with him at noon. "
        "What do you tell him?"
    ),
    ways=(
        Way(
            "off-until-the-nurse",
            "He stops the pump now, leaves it off, and waits there for the nurse.",
            stops=True,
        ),
        Way(
            "off-until-tomorrow",
            "He stops the pump now, leaves it off, and sees the nurse tomorrow as planned.",
            stops=True,
            misconception="leaves a tight arm unseen until tomorrow, although a nurse can come at "
            "noon",
        ),
        Way(
            "off-and-send-picture",
            "He stops the pump now, sends a picture, and starts it if you see nothing.",
            stops=True,
            misconception="lets a picture overrule what he feels: tight and cool are not seen in "
            "it",
        ),
        Way(
            "run-until-the-nurse",
            "He leaves the pump on now, raises the arm, and waits there for the nurse.",
            stops=False,
            misconception="lets a leak run for hours since it neither hurts nor alarms: saline "
            "need not hurt, and a pump pushes on against tissue",
        ),
        Way(
            "off-and-flush",
            "He stops the pump now, flushes it by hand, and starts it again.",
            stops=True,
            misconception="has him push more fluid into a tight arm to find out whether it leaks",
        ),
    ),
    because=(
        "tight and cool above the catheter is a leak without pain and without an alarm: it is "
        "stopped from afar, and stays stopped until somebody has seen the arm; if pain grows, or "
        "fingers go numb, weak, pale or cold, he calls for help at once"
    ),
)

# ----------------------------------------------------------------------- nothing runs outside

_COLD_ROOM = Vignette(
    key="cold-room",
    present=False,
    story=(
        "The ward's heating has failed. The hand with the drip is cool to the back of your "
        "fingers, and so is the other. The forearms are soft and equally thick, nothing hurts, and "
        "the saline drips as freely as before. In the near-infrared picture the veins are thinner "
        "on both sides than yesterday. What comes next?"
    ),
    ways=(
        Way(
            "warm-and-feel",
            "Let it run, warm both hands, and shut the clamp if one stays cooler.",
            stops=False,
        ),
        Way(
            "wrap-overnight",
            "Let it run, wrap the whole arm, and leave it warm until the morning.",
            stops=False,
            misconception="covers the place that has to be looked at and felt through the night",
        ),
        Way(
            "shut-until-warmer",
            "Shut the clamp, warm the hand, and open it again if it feels warmer.",
            stops=True,
            misconception="stops because the hand is cool, but the other hand is as cool",
        ),
        Way(
            "shut-and-out",
            "Shut the clamp, take the line off, take the catheter out, and warm both hands.",
            stops=True,
            misconception="takes one sign for a leak: both hands are cool, and all else is well",
        ),
        Way(
            "picture-each-hour",
            "Let it run, take a picture each hour, and shut the clamp if a band fades.",
            stops=False,
            misconception="sets the picture to watch: it need not show a leak",
        ),
    ),
    because=(
        "coolness counts beside the other side: both hands are cool, both arms soft and equal, and "
        "the drip runs freely, so it is the room"
    ),
)

_SHUT_CLAMP = Vignette(
    key="clamp-still-shut",
    present=False,
    story=(
        "You have just changed a bag of saline, and the pump alarms for high pressure and pauses. "
        "You run your eyes along the line: its slide clamp is still shut. The forearm is as soft, "
        "as warm and as thick as the other, the patient feels nothing there, and before the change "
        "it ran well. What do you do?"
    ),
    ways=(
        Way(
            "open-and-feel",
            "Open the clamp, start the pump again, and feel the arm again a little later.",
            stops=False,
        ),
        Way(
            "open-and-raise-limit",
            "Open the clamp, start the pump again, and set its pressure limit higher for tonight.",
            stops=False,
            misconception=(
                "blames the alarm, which was right, and makes the pump alarm later the next time"
            ),
        ),
        Way(
            "off-and-out",
            "Leave the clamp shut, take the line off, take the catheter out, and feel the arm.",
            stops=True,
            misconception="takes the line's resistance for the vein's: the clamp explains it, and "
            "the arm is well",
        ),
        Way(
            "off-and-leave",
            "Leave the clamp shut, take the line off, leave the catheter unflushed, and call for "
            "help.",
            stops=True,
            misconception="treats a clamp that was forgotten as a drug outside the vein",
        ),
        Way(
            "open-and-push",
            "Open the clamp, start the pump again, and push some saline by hand to help it.",
            stops=False,
            misconception="pushes by hand what has built up behind the clamp",
        ),
    ),
    because=(
        "the shut clamp explains the alarm, and the arm is soft, warm and as thick as the other: "
        "the clamp is opened, and the arm felt again. What has built up behind a clamp goes in at "
        "once: the pump's instructions say how it is let off first, above all with a strong drug"
    ),
)

_PUFFY = Vignette(
    key="both-arms-puffy",
    present=False,
    story=(
        "For weeks a man with a weak heart has had puffy arms, and a pump runs into one. At your "
        "marks both measure alike, and as much as this morning. Over the tip the skin is as soft "
        "and warm as on the other side, nothing hurts, and the near-infrared picture shows both "
        "alike. “Isn't it running into the flesh?” asks his wife. What do you do?"
    ),
    ways=(
        Way(
            "measure-on",
            "Let the pump run, measure both arms as before, and stop it if they differ.",
            stops=False,
        ),
        Way(
            "pictures-for-tape",
            "Let the pump run, measure no more, and go by the picture of both arms.",
            stops=False,
            misconception="gives up tape and hand for a picture, which need not show a leak",
        ),
        Way(
            "stop-until-thinner",
            "Stop the pump, raise the arm, and start it again if both arms measure less.",
            stops=True,
            misconception="waits for an old swelling to go, which did not come from the catheter",
        ),
        Way(
            "stop-and-out",
            "Stop the pump, take the line off, take the catheter out, and raise the arm.",
            stops=True,
            misconception="takes a swelling of both arms, weeks old, for a leak at one of them",
        ),
    ),
    because=(
        "both arms are alike, unchanged since this morning, soft and warm: the swelling is the "
        "heart's, and comparing goes on as before"
    ),
)

PRINCIPLE = Principle(
    key="leak",
    title="A leak at a running infusion",
    rule=(
        "Swelling, coolness, tightness, burning or resistance at a running infusion: stop, and "
        "then look for the cause. No unchanged picture, no silent pump and no blood that comes "
        "back rules a leak out. What ran decides what becomes of the catheter, and nothing is "
        "flushed to find out."
    ),
    section=FIRST,
    pairs=(
        ("asleep-after-surgery", "under-the-drapes"),
        ("burning-with-blood-back", "push-it-through"),
        ("splinted-hand", "on-the-telephone"),
    ),
    vignettes=(
        _ASLEEP,
        _VESICANT,
        _DRAPES,
        _CHILD,
        _SYRINGE,
        _TELEPHONE,
        _COLD_ROOM,
        _SHUT_CLAMP,
        _PUFFY,
    ),
)
