"""The ten principles of the course, and the questions by which its worksheets ask for them."""

from cubital.items.principles import (
    attempts,
    barred_limb,
    cannot_size,
    identity,
    infection,
    leak,
    nerve,
    pulse,
    unchanged_picture,
    vesicant,
)
from cubital.items.principles.asked import Asked, asked
from cubital.items.principles.vignette import Principle

PRINCIPLES: dict[str, Principle] = {
    module.PRINCIPLE.key: module.PRINCIPLE
    for module in (
        nerve,
        leak,
        vesicant,
        unchanged_picture,
        pulse,
        barred_limb,
        identity,
        infection,
        attempts,
        cannot_size,
    )
}

NERVE: Asked = asked(nerve.PRINCIPLE)
LEAK: Asked = asked(leak.PRINCIPLE)
VESICANT: Asked = asked(vesicant.PRINCIPLE)
UNCHANGED_PICTURE: Asked = asked(unchanged_picture.PRINCIPLE)
PULSE: Asked = asked(pulse.PRINCIPLE)
BARRED_LIMB: Asked = asked(barred_limb.PRINCIPLE)
IDENTITY: Asked = asked(identity.PRINCIPLE)
INFECTION: Asked = asked(infection.PRINCIPLE)
ATTEMPTS: Asked = asked(attempts.PRINCIPLE)
CANNOT_SIZE: Asked = asked(cannot_size.PRINCIPLE)
