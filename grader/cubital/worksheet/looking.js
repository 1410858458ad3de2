// What every form on pictures shares: a window on the picture with the reader's own contrast and
// zoom, and frames that are gone through. None of it is part of an answer; print shows the picture
// as it was recorded.

const LOOKS = [
  { name: "Contrast", unit: "%", min: 50, max: 400, step: 25, usual: 100 },
  { name: "Zoom", unit: "%", min: 100, max: 400, step: 50, usual: 100 },
];
const WAYS = [["Left", -1, 0], ["Right", 1, 0], ["Up", 0, -1], ["Down", 0, 1]];
const PRESSED = 0.5; // of the window: how far a press on one of the ways goes
const ROOM_PX = 24; // kept around a place that is brought into the window
const SLIP_PX = 4; // a press that moved further has moved the picture, and is no press on it
const SKIN = 0.635; // of white: the middle grey of skin, of which the brightest is shown at grey 190
const FRAME_MS = 250; // a frame of a series that plays

// A slider with its words, its number and its unit.
function dial(id, { name, unit, min, max, step, usual }, changed) {
  const input = element("input", "cubital-slider");
  Object.assign(input, { type: "range", min, max, step, value: usual, id: `${id}-${name.toLowerCase()}` });
  const label = element("label", "", name);
  label.htmlFor = input.id;
  const output = element("output");
  const tell = () => {
    output.textContent = `${input.value} ${unit}`;
    input.setAttribute("aria-valuetext", output.textContent);
  };
  const set = (value) => {
    input.value = String(Math.min(Math.max(value, min), max));
    tell();
    changed(Number(input.value));
  };
  input.addEventListener("input", () => set(Number(input.value)));
  tell();
  return { nodes: [label, input, output], set, value: () => Number(input.value) };
}

// Contrast about the grey of skin: bands get darker, and skin stays as bright as it is.
function contrasted(share) {
  return share === 1 ? "none" : `brightness(${0.5 / SKIN}) contrast(${share}) brightness(${SKIN / 0.5})`;
}

// The window on a picture, of which `layers` lie on each other. `pressed` gets where the picture was
// pressed, as shares of its width and height; `zoomed` is told of another zoom. It is moved by
// scrolling, by dragging with a mouse, or by the buttons below it.
function view(id, { width, height }, layers, { pressed, zoomed } = {}) {
  const box = element("div", "cubital-view");
  const sheet = element("div", "cubital-sheet");
  box.tabIndex = 0;
  box.style.aspectRatio = `${width} / ${height}`;
  sheet.append(...layers);
  box.append(sheet);

  const go = element("div", "cubital-ways");
  go.setAttribute("role", "group");
  go.setAttribute("aria-label", "Move over the picture");
  for (const [words, across, down] of WAYS) {
    const button = element("button", "cubital-plain", words);
    button.type = "button";
    button.addEventListener("click", () =>
      box.scrollBy(across * PRESSED * box.clientWidth, down * PRESSED * box.clientHeight),
    );
    go.append(button);
  }
  let last = LOOKS[1].usual;
  const [contrast, zoom] = LOOKS.map((look) => dial(id, look, () => apply()));
  const apply = () => {
    box.style.setProperty("--cubital-look", contrasted(contrast.value() / 100));
    if (zoom.value() === last) return;
    last = zoom.value();
    // What lay in the middle of the window stays there.
    const across = (box.scrollLeft + box.clientWidth / 2) / sheet.offsetWidth;
    const down = (box.scrollTop + box.clientHeight / 2) / sheet.offsetHeight;
    box.style.setProperty("--cubital-zoom", last / 100);
    go.hidden = last === LOOKS[1].usual;
    box.dataset.zoomed = String(!go.hidden);
    box.scrollLeft = across * sheet.offsetWidth - box.clientWidth / 2;
    box.scrollTop = down * sheet.offsetHeight - box.clientHeight / 2;
    zoomed?.();
  };
  const reset = element("button", "cubital-plain", "As recorded");
  reset.type = "button";
  reset.addEventListener("click", () => [contrast, zoom].forEach((one, n) => one.set(LOOKS[n].usual)));
  const dials = [contrast, zoom].map(({ nodes }) => {
    const row = element("div", "cubital-dial");
    row.append(...nodes);
    return row;
  });
  const looks = element("div", "cubital-looks");
  const help = element("p", "cubital-hint", "Contrast and zoom change what you see, never your answer.");
  looks.append(...dials, reset, go, help);

  let from = { x: 0, y: 0, left: 0, top: 0 };
  sheet.addEventListener("pointerdown", ({ clientX, clientY }) => {
    from = { x: clientX, y: clientY, left: box.scrollLeft, top: box.scrollTop };
  });
  sheet.addEventListener("pointermove", ({ pointerType, buttons, clientX, clientY }) => {
    if (pointerType !== "mouse" || buttons !== 1) return;
    box.scrollTo(from.left + from.x - clientX, from.top + from.y - clientY);
  });
  sheet.addEventListener("click", ({ clientX, clientY }) => {
    if (!pressed || Math.hypot(clientX - from.x, clientY - from.y) > SLIP_PX) return;
    const area = sheet.getBoundingClientRect();
    pressed((clientX - area.left) / area.width, (clientY - area.top) / area.height);
  });

  const kept = (scrolled, place, size) => Math.min(Math.max(scrolled, place + ROOM_PX - size), place - ROOM_PX);
  go.hidden = true;
  // What is drawn over the picture in its own pixels is as large on the screen at every size of it.
  const scale = () => width / (sheet.offsetWidth || width);
  new ResizeObserver(() => box.style.setProperty("--cubital-scale", scale())).observe(sheet);
  return {
    box,
    looks,
    scale,
    // Bring a place, in shares of width and height, into the window.
    bring: (across, down) => {
      box.scrollLeft = kept(box.scrollLeft, across * sheet.offsetWidth, box.clientWidth);
      box.scrollTop = kept(box.scrollTop, down * sheet.offsetHeight, box.clientHeight);
    },
  };
}

// The frames of a series, gone through by a slider or played once. `show` gets the frame's number.
function reel(id, count, show) {
  const last = count - 1;
  const frame = { name: "Frame", unit: `of ${last}`, min: 0, max: last, step: 1, usual: 0 };
  const moving = dial(id, frame, show);
  const play = element("button", "cubital-plain", "Play once");
  play.type = "button";
  let playing = 0;
  const stop = () => {
    clearInterval(playing);
    playing = 0;
    play.textContent = "Play once";
  };
  play.addEventListener("click", () => {
    if (playing) return stop();
    moving.set(0);
    play.textContent = "Stop";
    playing = setInterval(() => {
      if (moving.value() >= last) stop();
      else moving.set(moving.value() + 1);
    }, FRAME_MS);
    return undefined;
  });
  const row = element("div", "cubital-typing");
  row.append(...moving.nodes, play);
  return { row, set: moving.set, value: moving.value, stop };
}
