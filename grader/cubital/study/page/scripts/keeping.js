// What was set and typed on the page, as its parts tell it, kept for when they are drawn again: after
// the page was run again, and, of what was typed and is not yet in the file, after a reload.

const TYPED = "cubital-typed:"; // and the page's path
const DRAWN_MS = 10; // a part is told of a moment before it stands on the page

const makeKeeping = () => {
  let parts = [];
  let kept = new Map(); // by block and name, of each part that is called so, in the page's order

  const keyOf = ({ part: one, name }) => `${one.closest("[data-block]")?.dataset.block}: ${name}`;
  const inOrder = () => {
    parts = parts.filter(({ part: one }) => one.isConnected);
    const follows = (a, b) => a.compareDocumentPosition(b) & Node.DOCUMENT_POSITION_FOLLOWING;
    return [...parts].sort((a, b) => (follows(a.part, b.part) ? -1 : 1));
  };
  const taken = (some) => {
    const all = new Map();
    for (const one of some) all.set(keyOf(one), [...(all.get(keyOf(one)) ?? []), one.read()]);
    return all;
  };
  document.addEventListener("cubital-part", async ({ detail }) => {
    const { turn } = here;
    while (!detail.part.isConnected && turn === here.turn) await pause(DRAWN_MS);
    if (turn !== here.turn) return;
    if (isEarly(detail.part)) return void drawnEarly(detail);
    const host = detail.part.closest("[data-block]");
    while (isHeld(host) && turn === here.turn) await pause(DRAWN_MS);
    if (turn !== here.turn) return;
    const before = earlyOf(detail)?.read() ?? null;
    parts.push(detail);
    const value = kept.get(keyOf(detail))?.shift() ?? null;
    if (before ?? value) detail.write(before ?? value);
    endEarly(host);
  });
  // What is shown before the kernel answers has what comes back too, and leaves it for the live part.
  const drawnEarly = (detail) => {
    parts.push(detail);
    const [value] = kept.get(keyOf(detail)) ?? [];
    if (value) detail.write(value);
  };
  const earlyOf = (detail) =>
    parts.find((one) => one.part.isConnected && isEarly(one.part) && keyOf(one) === keyOf(detail));

  const storeTyped = () => {
    const typed = taken(inOrder().filter(({ isTyped }) => isTyped));
    const some = [...typed].filter(([, values]) => values.some((value) => value !== null));
    if (some.length) sessionStorage.setItem(TYPED + here.path, JSON.stringify(some));
    else sessionStorage.removeItem(TYPED + here.path);
  };
  addEventListener("pagehide", storeTyped);

  return {
    // Keep all for the page that is run again.
    take: () => {
      const left = kept; // what an earlier run did not come to give out
      kept = taken(inOrder());
      for (const [key, values] of left) kept.set(key, [...(kept.get(key) ?? []), ...values]);
    },
    // The page is left for another.
    leave: storeTyped,
    // A page is opened: what was typed there comes back, what others typed is forgotten.
    open: (path) => {
      const stored = sessionStorage.getItem(TYPED + path);
      kept = new Map(JSON.parse(stored ?? "[]").map(([key, values]) => [
        key,
        values.map((value) => value && { ...value, isStored: true }),
      ]));
      const own = path.split("/").slice(0, -2).join("/");
      for (const key of Object.keys(sessionStorage)) {
        if (key.startsWith(TYPED) && !key.slice(TYPED.length).startsWith(own)) sessionStorage.removeItem(key);
      }
    },
  };
};

// Where the focus is, as a block of the page and the place among what can have it there.
const FOCUSABLE = "a[href], button, input, select, textarea, summary, [tabindex]";

const focusPlace = () => {
  const block = document.activeElement?.closest("[data-block]");
  if (!block) return null;
  const { activeElement: focused } = document;
  const place = [...block.querySelectorAll(FOCUSABLE)].indexOf(focused);
  return { block: block.dataset.block, place, selected: [focused.selectionStart, focused.selectionEnd] };
};

const focusAgain = (was) => {
  if (!was || document.activeElement !== document.body) return;
  const block = document.querySelector(`[data-block="${CSS.escape(was.block)}"]`);
  const focused = block?.querySelectorAll(FOCUSABLE)[was.place];
  focused?.focus({ preventScroll: true });
  if (Number.isInteger(was.selected[0]) && focused?.setSelectionRange) focused.setSelectionRange(...was.selected);
};
