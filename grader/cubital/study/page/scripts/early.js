// What a page shows before its kernel answers, where there is such: in a cell's place, above what the
// kernel draws there, which is not seen until it has taken over what was set and typed.

const early = new Map(); // by a cell's element, how to take away what is shown there

const isEarly = (node) => node.closest(".cubital-early") !== null;
const isHeld = (host) => host.querySelector(".cubital-early :active") !== null;

const putEarly = (host, away) => early.set(host, away);

// What is read stays where it is, and so does the focus, with what is selected.
const endEarly = (host) => {
  const away = early.get(host);
  if (!away) return;
  early.delete(host);
  const focus = focusPlace();
  host.style.minHeight = `${host.offsetHeight}px`;
  const fields = [...host.querySelectorAll(".cubital-early .cubital-field")];
  away();
  fields.forEach((field) => tellSaving(field, ""));
  focusAgain(focus);
};

const endAllEarly = () => {
  early.forEach((away) => away());
  early.clear();
};

const TAKES_OVER_MS = 10_000; // a live part that is not there by then could not be drawn

// The kernel has run a cell: what it drew takes over, a live part by itself once it stands there.
const takeOverFromEarly = (host, isLive) => {
  if (!early.has(host)) return;
  if (isLive) setTimeout(() => endEarly(host), TAKES_OVER_MS);
  else requestAnimationFrame(() => endEarly(host));
};
