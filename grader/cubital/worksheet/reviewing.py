"""In a session to refresh, the first answer to each item is kept as its review."""

from datetime import datetime

from cubital.handin.answers import Entry
from cubital.handin.marks import mark
from cubital.refresh.rating import rating
from cubital.refresh.reviews import (
    WORKSHEET,
    BrokenReviewsError,
    add_review,
    objective_of,
    read_reviews,
    review_id,
)
from cubital.worksheet.sitting import Sitting

_TO_DO = "Marked once you press “This is my answer”."


def keep_review(here: Sitting, item_id: str, entry: Entry, *, final: bool) -> str:
    """Keep a session's first answer to an item as its review; say it if that failed.

    Not kept is what is still being typed, and what lacks a part. A later answer
    changes nothing: the first one is in the log already.
    """
    objective = objective_of(item_id)
    if here.release.worksheet != WORKSHEET or objective is None or not final:
        return ""
    if missing := here.store.form(item_id).missing(entry.answer):
        return f" Still missing: {missing}."
    outcome = mark(here.store.question(item_id), entry, here.truths).outcome
    try:
        add_review(
            here.folder.parent,
            here.learner,
            review=review_id(here.release.name, item_id),
            objective=objective,
            item=item_id,
            outcome=outcome,
            rating=rating(outcome, entry.confidence),
            at=datetime.fromisoformat(entry.at),
        )
    except BrokenReviewsError as error:
        return f" Not counted for what is due when: {error}."
    except OSError as error:
        return f" Not counted for what is due when: the log could not be written ({error})."
    return ""


def waiting_words(here: Sitting, item_id: str) -> str:
    """Say what is to be done while the first answer in a session to refresh is not yet given.

    Until then nothing is marked, or the mark would help with the answer that counts. Empty where
    the answer has been given, and in every other worksheet.
    """
    if here.release.worksheet != WORKSHEET:
        return ""
    try:
        log = read_reviews(here.folder.parent, here.learner)
    except BrokenReviewsError:
        return ""
    if log.has(review_id(here.release.name, item_id)):
        return ""
    return _TO_DO
