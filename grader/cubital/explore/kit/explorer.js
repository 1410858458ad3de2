// One view for every explorer: Python sends the controls once and a picture for each state.
// The view sends back the state's numbers and nothing else.

const SPOKEN_PAUSE_MS = 700;
const LATE_MS = 300; // from here on nothing is shown beside controls that it does not belong to

// A slider, and beside it the number, which can also be typed.
function slider(model, control, id, put) {
  const input = element("input");
  Object.assign(input, { type: "range", id, min: control.low, max: control.high, step: control.step });
  const typed = element("input", "cubital-typed");
  Object.assign(typed, { type: "text", inputMode: "decimal", autocomplete: "off" });
  typed.size = Math.max(3, control.high.toFixed(control.digits).length);
  typed.setAttribute("aria-label", `${control.label}, in ${control.unit_words || "numbers"}`);
  const wrong = element("p", "cubital-wrong");
  wrong.setAttribute("role", "alert");
  const shown = element("span", "cubital-value");
  shown.append(typed, ` ${control.unit}`);
  const show = () => {
    const text = Number(model.get(control.name)).toFixed(control.digits);
    input.value = text;
    input.setAttribute("aria-valuetext", `${text} ${control.unit_words}`);
    typed.value = text;
    wrong.textContent = "";
  };
  const set = (value) => put(control.name, value);
  input.addEventListener("input", () => set(Number(input.value)));
  typed.addEventListener("change", () => {
    const text = typed.value.trim().replace(",", ".");
    const value = Number(text);
    if (text === "" || !(value >= control.low && value <= control.high)) {
      wrong.textContent =
        `“${typed.value}” is not possible here: from ${control.low} to ${control.high} ${control.unit}`;
      typed.value = Number(model.get(control.name)).toFixed(control.digits);
      return;
    }
    const steps = Math.round((value - control.low) / control.step);
    set(Number((control.low + steps * control.step).toFixed(control.digits + 2)));
    show();
  });
  return { input, shown, wrong, show };
}

function choice(model, control, id, put) {
  const input = element("select");
  input.id = id;
  for (const [value, words] of control.options) {
    const option = element("option", "", words);
    option.value = JSON.stringify(value);
    input.append(option);
  }
  const show = () => { input.value = JSON.stringify(model.get(control.name)); };
  input.addEventListener("change", () => put(control.name, JSON.parse(input.value)));
  return { input, shown: null, show };
}

function controls(model, id, put) {
  const panel = element("div", "cubital-controls");
  const undo = model.get("controls").map((control, position) => {
    const make = control.options ? choice : slider;
    const { input, shown, wrong, show } = make(model, control, `${id}-${position}`, put);
    const row = element("div", "cubital-control");
    const label = element("label", "", control.label);
    label.htmlFor = input.id;
    const head = element("div", "cubital-label");
    head.append(label);
    if (shown) head.append(shown);
    row.append(head, input);
    if (wrong) row.append(wrong);
    panel.append(row);
    show();
    model.on(`change:${control.name}`, show);
    return () => model.off(`change:${control.name}`, show);
  });
  return { panel, stop: () => undo.forEach((f) => f()) };
}

// A button for what takes seconds, and how far it is.
function action(model, waits) {
  const box = element("div", "cubital-action");
  const button = element("button", "cubital-button", model.get("action"));
  button.type = "button";
  const bar = element("progress");
  bar.max = 1;
  bar.setAttribute("aria-label", model.get("action"));
  button.addEventListener("click", () => {
    if (button.getAttribute("aria-disabled") === "true") return;
    button.setAttribute("aria-disabled", "true");
    waits("act", true);
    model.send("act");
  });
  const show = () => {
    const done = model.get("progress");
    waits("act", false);
    bar.hidden = done < 0;
    if (done >= 0) bar.value = done;
    button.setAttribute("aria-disabled", String(done >= 0));
  };
  show();
  model.on("change:progress", show);
  box.append(button, bar);
  return { box, stop: () => model.off("change:progress", show) };
}

function render({ model, el }) {
  const id = `cubital-explorer-${unique()}`;
  const root = element("div", "cubital-explorer");
  root.setAttribute("role", "group");
  root.setAttribute("aria-labelledby", `${id}-title`);
  const title = element("p", "cubital-title", model.get("title"));
  title.id = `${id}-title`;
  const figure = element("div", "cubital-figure");
  figure.setAttribute("role", "img");
  const readings = element("dl", "cubital-readings");
  const notice = element("p", "cubital-notice", model.get("notice"));
  const spoken = element("p", "cubital-spoken");
  spoken.setAttribute("role", "status");
  const reasons = new Set();
  const waits = (reason, yes) => {
    if (yes) reasons.add(reason);
    else reasons.delete(reason);
    tellWaiting(root, reasons.size > 0);
  };
  // What somebody set here, until a picture of it is there: a connection that was cut and comes
  // back may bring the state of before.
  const unseen = new Set();
  let isSetting = false;
  const put = (name, value) => {
    isSetting = true;
    model.set(name, value);
    isSetting = false;
    model.save_changes();
  };
  const { panel, stop } = controls(model, id, put);
  const side = element("div", "cubital-side");
  side.append(panel, readings);
  const run = model.get("action") ? action(model, waits) : null;
  if (run) panel.append(run.box);
  const canvas = element("canvas", "cubital-frame");
  const drawing = element("div");
  figure.append(canvas, drawing, element("p", "cubital-late", "Being worked out …"));
  const body = element("div", "cubital-body");
  body.append(figure, side);
  root.append(title, body, notice, spoken);

  // A picture says which state it is of; it is shown beside the controls of that state alone.
  const names = model.get("controls").map(({ name }) => name);
  const given = Object.fromEntries(names.map((name) => [name, model.get(name)]));
  const wanted = { ...given };
  const isDrawn = (name) => JSON.stringify(model.get("picture").of[name]) === JSON.stringify(wanted[name]);
  let late = null;
  const showLate = () => {
    root.toggleAttribute("data-late", true);
    figure.setAttribute("aria-label", "Being worked out");
  };
  const compare = () => {
    names.filter(isDrawn).forEach((name) => unseen.delete(name));
    const isBehind = !names.every(isDrawn);
    waits("picture", isBehind);
    if (isBehind) {
      late ??= setTimeout(showLate, LATE_MS);
      return;
    }
    clearTimeout(late);
    late = null;
    root.removeAttribute("data-late");
    figure.setAttribute("aria-label", model.get("picture").alt);
  };
  const changed = names.map((name) => {
    const follow = () => {
      if (isSetting) unseen.add(name);
      else if (unseen.has(name)) return;
      wanted[name] = model.get(name);
      compare();
    };
    model.on(`change:${name}`, follow);
    return () => model.off(`change:${name}`, follow);
  });

  let timer = null;
  const draw = () => {
    const picture = model.get("picture");
    if (picture.frame) paint(canvas, picture.frame);
    canvas.hidden = !picture.frame;
    drawing.innerHTML = picture.svg;
    readings.replaceChildren(
      ...picture.readings.map(([label, value, note]) => {
        const row = element("div", "cubital-reading");
        row.append(element("dt", "", label), element("dd", "", value));
        if (note) row.append(element("dd", "cubital-note", note));
        return row;
      }),
    );
  };
  const redraw = () => {
    draw();
    clearTimeout(late); // it follows, if a step behind
    late = null;
    compare();
    clearTimeout(timer);
    timer = setTimeout(() => { spoken.textContent = model.get("picture").spoken; }, SPOKEN_PAUSE_MS);
  };
  draw();
  compare();
  model.on("change:picture", redraw);

  // A notebook reads bare keys as commands (one of them deletes the cell), so keys stop here.
  root.addEventListener("keydown", (event) => {
    const passes = event.key === "Tab" || event.key === "Escape" || event.ctrlKey || event.metaKey;
    if (!passes) event.stopPropagation();
  });

  el.append(root);
  const read = () => (names.every((name) => wanted[name] === given[name]) ? null : { ...wanted });
  const write = (state) => names.filter((name) => name in state).forEach((name) => put(name, state[name]));
  keepState(root, model.get("title"), read, write);
  return () => {
    clearTimeout(timer);
    clearTimeout(late);
    tellWaiting(root, false);
    stop();
    changed.forEach((off) => off());
    run?.stop();
    model.off("change:picture", redraw);
  };
}

export default { render };
