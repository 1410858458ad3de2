"""What learners are asked and offered, and how their answers are judged, item by item."""

import json
from collections.abc import Mapping
from typing import Any

from cubital import items
from cubital.handin.released import pictures
from cubital.handin.released.release import new_release
from cubital.items.kinds.on_pictures.pictured import PictureItem
from cubital.scene.files.planning import planned


def worksheets() -> list[str]:
    """Name the worksheets."""
    return [*items.WORKSHEETS]


def asked(worksheet: str, seed: str, learner: str) -> dict[str, Any]:
    """Return, by item, what a learner is asked, and how right answer and slips are judged.

    Answers on a picture are judged where there is one, see `pools`.
    """
    return {item.id: _asked(worksheet, item, seed, learner) for item in items.WORKSHEETS[worksheet]}


def _asked(worksheet: str, item: items.Item, seed: str, learner: str) -> dict[str, Any]:
    values = _release(worksheet, seed).values(item, learner)
    told = {
        "values": values,
        "form": item.form(values).data(),
        "key": item.key(values, seal=seed).data(),
        "tolerance": item.tolerance_in_words(values),
        "outcomes": item.outcomes(values),
    }
    if not isinstance(item, PictureItem):
        told["judged"] = judged(item, values, None)
    return json.loads(json.dumps(told, default=_plain))


def judged(item: items.Item, values: Mapping[str, Any], truth: Any) -> dict[str, Any]:
    """Return the judgement of the right answer, of each slip and of none, as they are typed."""
    right = item.solution(values, truth) if item.needs != "person" else "A dark band."
    ways = {"right": right, **item.slip_answers(values, truth)}
    found: dict[str, Any] = {"blank": _plain(item.judge(values, None, truth))}
    for name, typed in ways.items():
        if item.needs == "results":
            found[name] = [typed, _plain(item.judge_results([values], typed))]
        else:
            answer = item.read(typed, values)
            words = item.in_words(values, answer)
            found[name] = [typed, answer, words, _plain(item.judge(values, answer, truth))]
    return found


def _release(worksheet: str, seed: str) -> Any:
    listed = items.WORKSHEETS[worksheet]
    wanted = pictures.wanted(listed)
    jobs = planned(wanted, seed=7) if wanted else ()
    return new_release(seed, worksheet, pictures=pictures.assigned(listed, jobs))


def _plain(value: Any) -> Any:
    if hasattr(value, "__dataclass_fields__"):
        return {name: getattr(value, name) for name in value.__dataclass_fields__}
    if hasattr(value, "item"):
        return value.item()
    return repr(value)
