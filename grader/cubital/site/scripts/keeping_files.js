// What Python has written goes into the browser's store, and from there nothing leaves but by the
// learner's hand: one file of all that is theirs, which any computer with the course takes over.

const SOON_MS = 300; // after the last thing that was sent to Python
const STORE_AGAIN_MS = 2000;
const KEEP = "await cubital_page.keep()";

let entered = false; // whether the learner has entered anything
let inFile = true; // whether all that is the learner's is in the file that they saved last
let queued = null;
let storing = Promise.resolve();
let isStoring = false;
let again;

// Store what there is now; resolves when the browser has it.
const stored = () => {
  queued ??= (async () => {
    await storing.catch(() => {});
    queued = null;
    const kept = `kept(${JSON.stringify(here.path)})`;
    isStoring = true;
    storing = ask(here.kernel, kept, { first: KEEP }).finally(() => (isStoring = false));
    try {
      tellInFile(await storing);
      tellStored();
    } catch (error) {
      tellNotStored();
      tellInFile(await ask(here.kernel, kept, { first: `pass  # ${KEEP}` }));
      throw error;
    }
  })();
  return queued;
};
const tellInFile = (told) => {
  ({ entered, in_file: inFile } = told);
  document.dispatchEvent(new CustomEvent("cubital-stored"));
};
window.cubitalStored = stored;

// Whatever was entered, the page says so where the browser did not take it, until it does. A window
// that has given the course up stores nothing.
const ofStore = {}; // its part of what the bar says
let toldOfStore = null;
const tellStored = () => {
  clearTimeout(again);
  toldOfStore?.remove();
  tellSaving(ofStore, "");
};
const tellNotStored = () => {
  if (!letGo) return;
  if (!document.querySelector(".cubital-aside")) toldOfStore = tellAside(NOT_STORED).told;
  tellSaving(ofStore, "unsaved");
  clearTimeout(again);
  again = setTimeout(tryToStore, STORE_AGAIN_MS);
};
const tryToStore = () => stored().catch((error) => console.info(error.message)); // which is told

let soon;
const keepWhatIsSent = (kernel) => {
  kernel.anyMessage.connect((_kernel, { msg, direction }) => {
    const isOurs = msg.content?.code?.includes(KEEP);
    if (direction !== "send" || isOurs || !["comm_msg", "execute_request"].includes(msg.header.msg_type)) return;
    clearTimeout(soon);
    soon = setTimeout(() => {
      soon = null;
      tryToStore();
    }, SOON_MS);
  });
};

const saveFile = async () => {
  const { name, data } = await ask(here.kernel, `my_file(${JSON.stringify(here.path)})`);
  const bytes = Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0));
  const link = element("a");
  link.href = URL.createObjectURL(new Blob([bytes], { type: "application/zip" }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), GIVEN_MS);
  await tryToStore(); // that it is in the file; the file is made, also where the browser has no room
};

HELP.splice(2, 0, [
  "Where your answers stay",
  "They stay in this browser, on this computer: nothing is sent. They are gone if somebody clears the browser's data, and a private or incognito window forgets them when it is closed. “Save my file”, in the bar, gives you all of it as one file, with which you can go on anywhere.",
]);

TOOLS.unshift((say) => {
  const tool = button("Save my file", () =>
    saveFile().then(
      () => say("Your file is saved where the browser puts files"),
      () => tellAside("Your file could not be made. Load the page again, and try once more."),
    ),
  );
  tool.hidden = true;
  const show = () => {
    tool.hidden = !ownFolder || !entered;
    tool.dataset.due = String(!inFile);
    tool.title = inFile ? "All that you entered is in the file that you saved last." : "";
    tool.textContent = inFile ? "My file is saved" : "Save my file";
  };
  document.addEventListener("cubital-opened", show);
  document.addEventListener("cubital-stored", show);
  return tool;
});

// The browser asks before the window closes, as long as something is only in it.
const onlyHere = new Set(); // parts with something that is not saved yet
document.addEventListener("cubital-saving", ({ detail: { part: one, state } }) => {
  if (["unsaved", "refused"].includes(state)) onlyHere.add(one);
  else onlyHere.delete(one);
});
addEventListener("beforeunload", (event) => {
  const isTyped = [...onlyHere].some((one) => one.isConnected);
  if (soon || queued || isStoring || isTyped || !inFile) event.preventDefault();
});
