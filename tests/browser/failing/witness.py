"""What a page says, from moment to moment, held against what is so.

A page may lag behind for up to a second: so long a figure may stand beside a control that was just
moved, and “Saved” beside an answer that was just changed elsewhere.
"""

import contextlib
import json
import threading
import time
from collections.abc import Iterable

from cubital.handin.answers import BrokenAnswersError, read_answers

GRACE_MS = 1000
LOOK_MS = 20
LOOKS_S = 0.02

# Note what the page shows whenever it is another thing than before, by the page's own clock.
LOOK = """
([figure, field]) => {
  const seen = [];
  const shown = (e) => e !== null && e.checkVisibility({ visibilityProperty: true });
  const figureNow = () => {
    const root = document.querySelector(figure);
    if (root === null) return null;
    const numbers = root.querySelector('.cubital-readings');
    return {
      controls: [...root.querySelectorAll('input[type=range], select')].map((e) => e.value),
      numbers: shown(numbers) && numbers.childElementCount
        ? [...numbers.querySelectorAll('dd:not(.cubital-note)')].map((e) => e.textContent) : null,
    };
  };
  const fieldNow = () => {
    const root = document.querySelector(field);
    if (root === null) return null;
    return {
      answer: root.querySelector('input[type=radio]:checked, input[type=text]')?.value ?? null,
      status: root.querySelector('.cubital-status').textContent,
    };
  };
  window.seen = seen;
  window.stays = true; // gone if the page is loaded again
  let last = '';
  let looks = 0;
  const look = () => {
    looks += 1;
    window.looks = looks;
    const now = JSON.stringify({
      figure: figure && figureNow(),
      field: field && fieldNow(),
      bar: document.querySelector('.cubital-saved')?.textContent ?? '',
      news: document.querySelector('.cubital-news')?.textContent ?? '',
    });
    if (now !== last) seen.push([Date.now(), looks, (last = now)]);
  };
  look();
  setInterval(look, 20); // LOOK_MS
}
"""


class Witness:
    """Sees a figure or a field of a page, and beside it the file of answers."""

    def __init__(self, page, *, figure="", explorer=None, item=None, folder=None):
        self.page, self.explorer, self.item, self.folder = page, explorer, item, folder
        field = f'.cubital-field[data-item="{item.id}"]' if item else ""
        self._file = []
        self._ended = threading.Event()
        if folder is not None:
            threading.Thread(target=self._look_at_the_file, daemon=True).start()
        page.evaluate(LOOK, [figure, field])

    def _look_at_the_file(self):
        while not self._ended.wait(LOOKS_S):
            held = self.held()
            if not self._file or self._file[-1][1] != held:
                self._file.append((time.time() * 1000, held))

    def held(self):
        """The answer that the file holds now, as it was entered."""
        with contextlib.suppress(BrokenAnswersError, OSError):
            answers = read_answers(self.folder)
            entry = answers.last(self.item.id) if answers else None
            if entry is not None:
                return entry.answer.get("typed", entry.answer.get("chosen"))
        return None

    def told(self):
        """All that was seen so far: when, and what."""
        return [(at, n, json.loads(what)) for at, n, what in self.page.evaluate("window.seen")]

    def news(self):
        """The words that stood under the bar, one after the other."""
        return [what["news"] for _, _, what in self.told()]

    def spells_of_wrong_numbers(self):
        """How long each time numbers stood there that are not those of the controls, in ms.

        By the looks of the page itself, so that a computer that is slow is no liar.
        """
        told = self.told()
        ends = [n for _, n, _ in told[1:]] + [self.page.evaluate("window.looks")]
        wrong = [
            (LOOK_MS * n, LOOK_MS * end)
            for (_, n, what), end in zip(told, ends, strict=True)
            if (figure := what["figure"]) and figure["numbers"] and not self._are_right(figure)
        ]
        return merged(wrong)

    def _are_right(self, figure):
        traits = self.explorer().traits()
        state = {
            name: traits[name].validate(None, json.loads(value))
            for name, value in zip(self.explorer.inputs, figure["controls"], strict=True)
        }
        readings = self.explorer.compute(state).readings
        return figure["numbers"] == [reading.value for reading in readings]

    def spells_of_false_saved(self):
        """How long each time “Saved” stood by an answer that the file did not hold, in ms."""
        told, now = self.told(), time.time() * 1000
        file = list(self._file)
        wrong = []
        for n, (at, _, what) in enumerate(told):
            field = what["field"]
            end = told[n + 1][0] if n + 1 < len(told) else now
            if not field or not field["status"].startswith("Saved"):
                continue
            for m, (held_at, held) in enumerate(file):
                held_until = file[m + 1][0] if m + 1 < len(file) else now
                begin, stop = max(at, held_at), min(end, held_until)
                if begin < stop and held != field["answer"]:
                    wrong.append((begin, stop))
        return merged(wrong)

    def testify(self):
        """Nothing false stood on the page for longer than it may lag behind."""
        numbers, saved = self.spells_of_wrong_numbers(), self.spells_of_false_saved()
        self._ended.set()
        assert max([0, *numbers]) <= GRACE_MS, f"wrong numbers for {numbers} ms: {self.told()}"
        assert max([0, *saved]) <= GRACE_MS, f"“Saved” for {saved} ms: {self.told()}, {self._file}"
        assert self.page.evaluate("window.stays === true"), "the page was loaded again"


def merged(spells: Iterable[tuple[float, float]]) -> list[float]:
    """Return how long spells last of which some follow one another without a gap."""
    whole: list[list[float]] = []
    for begin, end in sorted(spells):
        if whole and begin <= whole[-1][1]:
            whole[-1][1] = max(whole[-1][1], end)
        else:
            whole.append([begin, end])
    return [end - begin for begin, end in whole]
