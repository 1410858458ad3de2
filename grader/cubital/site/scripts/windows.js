// One window at a time: Python's files are this window's memory, and two would overwrite each other
// in the browser's store. The window that is used has it; another asks, and is given it.

const ELSEWHERE = "The course is open in another window or tab of this browser. Go on there, or go on here.";
const UNSTORED =
  "The other window has something that this browser has not stored. Go there and press “Save my file”. " +
  "If you go on here without that, it is lost.";
const OURS = `cubital ${siteFolder().pathname}`;
const GIVEN_MS = 15000; // a window that does not answer for so long is asleep: it is taken from it
const HERE_MS = 1000; // where the browser has no locks, another window says within this that it is there
const channel = new BroadcastChannel(OURS);

let letGo = null; // how to give it to another window, while this one has it
let isGiving = false;
let up = null; // this window's kernel, once it has begun
let tellUp = null; // and how to say so

const claim = (options) =>
  new Promise((resolve) => {
    if (!navigator.locks) return resolve(claimByAsking(options));
    const held = (lock) => {
      resolve(lock !== null);
      return lock && new Promise((release) => (letGo = release));
    };
    return navigator.locks.request(OURS, options, held).catch(() => {
      resolve(false);
      endAtOnce();
    });
  });

// Another window has taken it: what this one would store now would be written over the other's.
const endAtOnce = async () => {
  if (!letGo && !isGiving) return;
  letGo = null;
  isGiving = false;
  const kernel = here.kernel ?? (await up);
  await kernel.shutdown().catch(() => {});
};

// Browsers have locks for https and for this computer only; elsewhere windows ask each other. Of two
// that ask at once one has it: that whose name sorts last.
let asking = null;
const claimByAsking = async ({ steal }) => {
  if (steal) {
    channel.postMessage("taken");
    letGo = () => {};
    return true;
  }
  asking = unique();
  const isThere = new Promise((resolve) => {
    const heard = ({ data }) => (data === "here" || data.who > asking) && resolve(true);
    channel.addEventListener("message", heard);
    setTimeout(() => {
      channel.removeEventListener("message", heard);
      resolve(false);
    }, HERE_MS);
  });
  channel.postMessage({ who: asking });
  const isFree = !(await isThere);
  asking = null;
  if (isFree) letGo = () => {};
  return isFree;
};

// What is in this window alone is not given up before the other has said what that means.
const giveUp = async ({ whatever }) => {
  const release = letGo;
  letGo = null;
  isGiving = true;
  const kernel = await up; // one that is still being started would go on here
  const isSafe = await stored().then(() => true, () => inFile);
  if (isGiving && !isSafe && !whatever) {
    letGo = release;
    isGiving = false;
    tellNotStored();
    channel.postMessage("unstored");
    return;
  }
  await kernel.shutdown().catch(() => {});
  isGiving = false;
  release();
};

channel.addEventListener("message", ({ data }) => {
  if (data.who && (letGo || isGiving || data.who < asking)) channel.postMessage("here");
  if (["give", "give whatever"].includes(data) && letGo) giveUp({ whatever: data !== "give" });
  if (data === "taken") endAtOnce();
});

const isGiven = async (signal) => {
  if (navigator.locks) return claim({ signal });
  while (!signal.aborted) if (await claimByAsking({})) return true;
  return false;
};

// Ask the other window for it: true once it is given, "unstored" where that would lose something.
const askForIt = async (message) => {
  const waiting = new AbortController();
  const { signal } = waiting;
  const isRefused = new Promise((resolve) =>
    channel.addEventListener("message", ({ data }) => data === "unstored" && resolve(data), { signal }),
  );
  channel.postMessage(message);
  const answer = await within(Promise.race([isGiven(signal), isRefused]), GIVEN_MS);
  waiting.abort();
  return answer;
};

const goOnPressed = async (words, press) => {
  const { told, pressed } = tellAside(words, press);
  await new Promise((resolve) => pressed.addEventListener("click", resolve, { once: true }));
  told.remove();
};

// Wait until this window may have Python.
const aloneInBrowser = async () => {
  up = new Promise((resolve) => (tellUp = resolve));
  if (letGo || (await claim({ ifAvailable: true }))) return;
  await goOnPressed(ELSEWHERE, "Go on here");
  let answer = await askForIt("give");
  if (answer === "unstored") {
    await goOnPressed(UNSTORED, "Go on here all the same");
    answer = await askForIt("give whatever");
  }
  if (answer !== true) await claim({ steal: true });
};
