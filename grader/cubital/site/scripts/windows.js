// One window at a time: Python's files are this window's memory, and two would overwrite each other
// in the browser's store. The window that is used has it; another asks, and is given it.

const ELSEWHERE = "The course is open in another window or tab of this browser. Go on there, or go on here.";
const OURS = `cubital ${siteFolder().pathname}`;
const GIVEN_MS = 15000; // a window that does not answer for so long is asleep: it is taken from it
const HERE_MS = 1000; // where the browser has no locks, another window says within this that it is there
const channel = new BroadcastChannel(OURS);

let letGo = null; // how to give it to another window, while this one has it

const claim = (options) =>
  new Promise((resolve) => {
    if (!navigator.locks) return resolve(claimByAsking(options));
    const held = (lock) => {
      resolve(lock !== null);
      return lock && new Promise((release) => (letGo = release));
    };
    return navigator.locks.request(OURS, options, held).catch(() => resolve(false));
  });

// Browsers have locks for https and for this computer only; elsewhere windows ask each other.
const claimByAsking = async ({ ifAvailable }) => {
  const isThere = new Promise((resolve) => {
    const heard = ({ data }) => data === "here" && resolve(true);
    channel.addEventListener("message", heard);
    setTimeout(() => {
      channel.removeEventListener("message", heard);
      resolve(false);
    }, HERE_MS);
  });
  channel.postMessage("who");
  if ((await isThere) && ifAvailable) return false;
  letGo = () => {};
  return true;
};

channel.addEventListener("message", async ({ data }) => {
  if (!letGo) return;
  if (data === "who") channel.postMessage("here");
  if (data !== "give") return;
  const release = letGo;
  letGo = null;
  await stored().catch(() => {}); // what could not be stored is in no window's power
  await here.kernel?.shutdown().catch(() => {});
  release();
});

// Wait until this window may have Python.
const aloneInBrowser = async () => {
  if (letGo || (await claim({ ifAvailable: true }))) return;
  const { told, pressed } = tellAside(ELSEWHERE, "Go on here");
  await new Promise((resolve) => pressed.addEventListener("click", resolve, { once: true }));
  told.remove();
  channel.postMessage("give");
  const isGiven = navigator.locks ? await within(claim({}), GIVEN_MS) : (await pause(HERE_MS), await claim({}));
  if (isGiven !== true) await claim({ steal: true });
};
