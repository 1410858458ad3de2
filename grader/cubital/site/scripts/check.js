// The page that tells what this browser lacks for the course, a row for each need, with what helps.
// Needs decide whether the course can begin; notes are worth knowing, and forbid nothing.

"use strict";

const MEGABYTE = 1e6;
const ROOM_WANTED = 100 * MEGABYTE;
const ROOM_OF_A_PRIVATE_WINDOW = 1000 * MEGABYTE;
const NARROWEST = 320; // CSS pixels across

const PROGRAM = "python/pyodide.asm.wasm.bin";
// Kinds of file that the course asks for, some of which a web server gives out only once it is told.
const ENDINGS = ["bin", "ipynb", "js", "json", "zip"];

// What the server says of a file, without its content, also where it answers to no HEAD.
const headOf = async (path) => {
  const reply = await fetch(path, { method: "HEAD", cache: "no-store" });
  if (![405, 501].includes(reply.status)) return reply;
  const whole = await fetch(path, { cache: "no-store" });
  await whole.body?.cancel();
  return whole;
};

// One file of each kind that the site's own list has.
const oneOfEach = async () => {
  const list = await (await fetch("sums.txt")).text();
  const paths = list.split("\n").map((line) => line.slice(66));
  return ENDINGS.map((ending) => paths.find((path) => path.endsWith(`.${ending}`)));
};

// Of the server; asked once the browser has all that it must have.
const SERVED = [
  {
    name: "All kinds of file",
    also: `one file of each: .${ENDINGS.join(", .")}`,
    there: async () => {
      const paths = await oneOfEach();
      const replies = await Promise.all(paths.map(headOf));
      const refused = paths.filter((_path, at) => !replies[at].ok);
      if (refused.length) throw new Error(`refused: ${refused.join(", ")}`);
      return true;
    },
    missing: "The web server does not give out some kinds of file of the course.",
    helps: `${TELL_IT} for-it.html lists the types of file.`,
  },
  {
    name: "The course's own program",
    also: `${PROGRAM}, compiled`,
    there: async () => {
      const { body } = await fetch(PROGRAM);
      const program = new Response(body.pipeThrough(new DecompressionStream("gzip")));
      return Boolean(await WebAssembly.compile(await program.arrayBuffer()));
    },
    missing: "This browser could not take in the program in which the course computes: the browser is too old for it, or the file did not arrive whole.",
    helps: `Load this page again. ${ANOTHER_BROWSER}`,
  },
];

const inMegabytes = (bytes) => `${Math.round(bytes / MEGABYTE).toLocaleString("en-GB")} MB`;

const saysRoom = async () => {
  if (!navigator.storage?.estimate) {
    return { words: "This browser does not say how much room there is for your answers. They need little, a few megabytes." };
  }
  const { quota, usage } = await navigator.storage.estimate();
  const free = quota - usage;
  if (free < ROOM_WANTED) {
    return {
      care: true,
      words: `There is room for ${inMegabytes(free)} only; the course wants ${inMegabytes(ROOM_WANTED)}. Delete what you do not need from this computer's disk, or ask your IT department for more room.`,
    };
  }
  return { words: `There is room for ${inMegabytes(free)}; the course wants ${inMegabytes(ROOM_WANTED)} at most.` };
};

const saysKept = async () => {
  const backup = "“Save my file”, on every page of the course, gives you a file of all that is yours: keep it, and you can go on anywhere.";
  if (!navigator.storage?.persisted) {
    return { words: `This browser does not say how long it keeps your answers; over plain http it says so nowhere. ${backup}` };
  }
  if (await navigator.storage.persisted()) return { words: "This browser has promised to keep your answers until you delete them." };
  return { words: `This browser keeps your answers, and may clear them away if the disk is full, or if somebody clears its data. ${backup}` };
};

// Firefox refuses a page a folder of its own in a private window alone.
const isRefusedAFolder = async () => {
  try {
    await navigator.storage?.getDirectory?.();
    return false;
  } catch {
    return true;
  }
};

const saysPrivate = async () => {
  const told = "In a private or incognito window, all answers are gone when it is closed: press “Save my file” on the course's page before you close it. No page can tell for certain whether it is in one: look at the window's frame, or for the words “private”, “incognito” or “InPrivate”.";
  const { quota } = (await navigator.storage?.estimate?.()) ?? {};
  if (quota < ROOM_OF_A_PRIVATE_WINDOW || (await isRefusedAFolder())) {
    return { care: true, words: `The browser grants this page less than usual, which may mean that this is a private window. ${told}` };
  }
  return { words: told };
};

const saysFrame = () => {
  if (window.top === window.self) return { words: "The page has a window of its own." };
  return { care: true, words: "The page is shown within another page. Some browsers then keep your answers apart, or for this visit only, or let no file be saved.", button: toOwnWindow() };
};

const saysWidth = () => {
  const words = `The window is ${innerWidth} pixels wide and ${innerHeight} high, in the measure of web pages.`;
  if (innerWidth >= NARROWEST) return { words: `${words} The course is made for ${NARROWEST} and more across.` };
  return { care: true, words: `${words} The course is made for ${NARROWEST} and more across: make the window wider, turn the screen, or make the text smaller.` };
};

const saysSecure = () => {
  if (isSecureContext) return { words: "The address is one that browsers trust." };
  return { care: true, words: "The address begins with http://. The course works, but others on the way can read and change what is sent, and the browser cannot be asked how much room there is. The IT department should give it an address with https://." };
};

const saysPolicy = async () => {
  const policy = (await headOf("check.html")).headers.get("Content-Security-Policy");
  if (policy) return { words: "The web server sends a policy by which the browser itself forbids the course to speak to any other address." };
  return { care: true, words: "The web server sends no policy. The course works, and speaks to no other address; with the policy in for-it.html the browser itself would see to that." };
};

const saysFiles = () => {
  if (!("download" in document.createElement("a"))) return { care: true, words: "This browser cannot save a file that a page gives it: you could not hand in." };
  const button = element("button", "Save a small file");
  button.className = "button";
  button.onclick = () => {
    const link = element("a");
    link.href = URL.createObjectURL(new Blob(["Files can be saved.\n"], { type: "text/plain" }));
    link.download = "cubital-check.txt";
    link.click();
  };
  return { words: "To hand in and to go on elsewhere, you save a file that the page gives you. No page can see whether it arrived: press, and look for cubital-check.txt among your downloads. If it is not there, ask your IT department to allow downloads from this address.", button };
};

const NOTES = [
  { name: "Saving files", says: saysFiles },
  { name: "Room for your answers", says: saysRoom },
  { name: "How long they are kept", says: saysKept },
  { name: "Private windows", says: saysPrivate },
  { name: "A window of its own", says: saysFrame },
  { name: "Size of the window", says: saysWidth },
  { name: "The address", says: saysSecure },
  { name: "The web server's policy", says: saysPolicy },
];

const row = ({ name, also }, kind, state, words) => {
  const stands = element("span", state);
  stands.className = "stands";
  const made = element("section", "", [element("header", "", [element("h3", name), stands])]);
  made.className = `card ${kind}`;
  made.append(...words.map((one) => (one instanceof Node ? one : element("p", one))));
  if (also) {
    const small = element("p", also);
    small.className = "quiet";
    made.append(small);
  }
  return made;
};

const checkNeed = async (need) => {
  const words = [];
  const there = await Promise.resolve().then(need.there).catch((error) => {
    words.push(`The browser says: ${error.message}`);
    return false;
  });
  if (there === true) return { need, there: true, shown: row(need, "right", "✓ ok", []) };
  return { need, there: false, shown: row(need, "harm", "✗ missing", [need.missing, need.helps, ...words]) };
};

const checkNote = async (note) => {
  const { care, words, button } = await Promise.resolve().then(note.says).catch(() => ({ words: "This browser does not tell." }));
  return { care: Boolean(care), shown: row(note, care ? "care" : "open", care ? "! see here" : "", [words, ...(button ? [button] : [])]) };
};

const number = (count, one, many) => `${count} ${count === 1 ? one : many}`;

(async () => {
  const outcome = document.getElementById("outcome");
  const verdict = document.getElementById("verdict");
  outcome.textContent = "Checking. This takes some seconds: the course's own program, about 3 MB, is loaded too.";
  const [address] = NEEDS;
  const served = address.there();
  const checked = await Promise.all((served ? NEEDS : [address]).map(checkNeed));
  if (checked.every(({ there, need }) => there || need.begins)) checked.push(...(await Promise.all(SERVED.map(checkNeed))));
  const noted = await Promise.all((served ? NOTES : []).map(checkNote));
  document.getElementById("needs").append(...checked.map(({ shown }) => shown));
  document.getElementById("notes").append(...noted.map(({ shown }) => shown));
  const missing = checked.filter(({ there }) => !there).map(({ need }) => need);
  const stops = missing.filter(({ begins }) => !begins);
  const cares = noted.filter(({ care }) => care).length;
  verdict.className = `result ${stops.length ? "harm" : missing.length ? "to-work-on" : "shown"}`;
  outcome.textContent = stops.length
    ? `The course cannot run here: ${number(stops.length, "thing is", "things are")} missing. Each says below what helps.`
    : `${missing[0]?.begins ?? "The course can run in this browser."}${cares ? ` ${number(cares, "note", "notes")} below ${cares === 1 ? "is" : "are"} worth reading.` : ""}`;
  document.getElementById("go").hidden = stops.length > 0;
})();
