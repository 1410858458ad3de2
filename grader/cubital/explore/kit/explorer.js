// One view for every explorer: Python sends the controls once and a picture for each state.
// The view sends back the state's numbers and nothing else.

const SPOKEN_PAUSE_MS = 700;

// A slider, and beside it the number, which can also be typed.
function slider(model, control, id) {
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
  const set = (value) => {
    model.set(control.name, value);
    model.save_changes();
  };
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

function choice(model, control, id) {
  const input = element("select");
  input.id = id;
  for (const [value, words] of control.options) {
    const option = element("option", "", words);
    option.value = JSON.stringify(value);
    input.append(option);
  }
  const show = () => { input.value = JSON.stringify(model.get(control.name)); };
  input.addEventListener("change", () => {
    model.set(control.name, JSON.parse(input.value));
    model.save_changes();
  });
  return { input, shown: null, show };
}

function controls(model, id) {
  const panel = element("div", "cubital-controls");
  const undo = model.get("controls").map((control, position) => {
    const make = control.options ? choice : slider;
    const { input, shown, wrong, show } = make(model, control, `${id}-${position}`);
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
function action(model) {
  const box = element("div", "cubital-action");
  const button = element("button", "cubital-button", model.get("action"));
  button.type = "button";
  const bar = element("progress");
  bar.max = 1;
  bar.setAttribute("aria-label", model.get("action"));
  button.addEventListener("click", () => {
    if (button.getAttribute("aria-disabled") === "true") return;
    button.setAttribute("aria-disabled", "true");
    model.send("act");
  });
  const show = () => {
    const done = model.get("progress");
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
  const { panel, stop } = controls(model, id);
  const side = element("div", "cubital-side");
  side.append(panel, readings);
  const run = model.get("action") ? action(model) : null;
  if (run) panel.append(run.box);
  const canvas = element("canvas", "cubital-frame");
  const drawing = element("div");
  figure.append(canvas, drawing);
  const body = element("div", "cubital-body");
  body.append(figure, side);
  root.append(title, body, notice, spoken);

  let timer = null;
  const draw = () => {
    const picture = model.get("picture");
    if (picture.frame) paint(canvas, picture.frame);
    canvas.hidden = !picture.frame;
    drawing.innerHTML = picture.svg;
    figure.setAttribute("aria-label", picture.alt);
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
    clearTimeout(timer);
    timer = setTimeout(() => { spoken.textContent = model.get("picture").spoken; }, SPOKEN_PAUSE_MS);
  };
  draw();
  model.on("change:picture", redraw);

  // A notebook reads bare keys as commands (one of them deletes the cell), so keys stop here.
  root.addEventListener("keydown", (event) => {
    const passes = event.key === "Tab" || event.key === "Escape" || event.ctrlKey || event.metaKey;
    if (!passes) event.stopPropagation();
  });

  el.append(root);
  return () => {
    clearTimeout(timer);
    stop();
    run?.stop();
    model.off("change:picture", redraw);
  };
}

export default { render };
