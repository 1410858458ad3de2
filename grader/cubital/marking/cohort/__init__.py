"""The cohort's folder and all that is put into it: roster, releasing, the inbox and what cannot be
read there, whose a hand-in is, two at work at once, changes since a release."""

from cubital.marking.loading import leave_out

leave_out()
