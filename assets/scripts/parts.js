// What every part of ours in a page stands on: put before each part's own script by Python.

// Each class of figures loads this file afresh, so a count would not be one page's own.
const unique = () => Math.random().toString(36).slice(2);

function element(tag, className, text) {
  const node = document.createElement(tag);
  if (className) node.className = className;
  if (text !== undefined) node.textContent = text;
  return node;
}

// A grey picture, one byte a pixel, with nothing drawn on it.
function paint(canvas, frame) {
  canvas.width = frame.width;
  canvas.height = frame.height;
  const grey = new Uint8Array(frame.grey.buffer ?? frame.grey, frame.grey.byteOffset ?? 0);
  const context = canvas.getContext("2d");
  const image = context.createImageData(frame.width, frame.height);
  const pixels = new Uint32Array(image.data.buffer);
  for (let i = 0; i < pixels.length; i += 1) pixels[i] = 0xff000000 | (grey[i] * 0x010101);
  context.putImageData(image, 0, 0);
}

// How it stands with saving in a part of ours: "saved", "unsaved", "refused" where it
// cannot be read and is not taken, or "" where nothing is entered.
// A page that shows it listens on the document.
function tellSaving(part, state) {
  document.dispatchEvent(new CustomEvent("cubital-saving", { detail: { part, state } }));
}

// Whether a part of ours waits for Python to work out what it shows, or to say what it has kept. A
// page that watches over that listens on the document.
function tellWaiting(part, waits) {
  document.dispatchEvent(new CustomEvent("cubital-waiting", { detail: { part, waits } }));
}

// What was set or typed in a part of ours, for a page that may have to draw it anew: `read` gives it
// as plain data, null if it is as the page gave it; `write` takes it over. What was typed and is not
// yet saved is kept for a reload as well.
function keepState(part, name, read, write, { isTyped = false } = {}) {
  const detail = { part, name, read, write, isTyped };
  document.dispatchEvent(new CustomEvent("cubital-part", { detail }));
}
