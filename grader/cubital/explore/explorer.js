// One view for every explorer: Python sends the controls once and a picture for each state.
// The view sends back the state's numbers and nothing else.

const SPOKEN_PAUSE_MS = 700;
let count = 0;

function element(tag, className, text) {
  const node = document.createElement(tag);
  if (className) node.className = className;
  if (text !== undefined) node.textContent = text;
  return node;
}

function slider(model, control, id) {
  const input = element("input");
  Object.assign(input, { type: "range", id, min: control.low, max: control.high, step: control.step });
  const shown = element("span", "cubital-value");
  const show = () => {
    const value = Number(model.get(control.name));
    const text = value.toFixed(control.digits);
    input.value = String(value);
    input.setAttribute("aria-valuetext", `${text} ${control.unit_words}`);
    shown.textContent = `${text} ${control.unit}`;
  };
  input.addEventListener("input", () => {
    model.set(control.name, Number(input.value));
    model.save_changes();
  });
  return { input, shown, show };
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
    const { input, shown, show } = make(model, control, `${id}-${position}`);
    const row = element("div", "cubital-control");
    const label = element("label", "", control.label);
    label.htmlFor = input.id;
    const head = element("div", "cubital-label");
    head.append(label);
    if (shown) head.append(shown);
    row.append(head, input);
    panel.append(row);
    show();
    model.on(`change:${control.name}`, show);
    return () => model.off(`change:${control.name}`, show);
  });
  return { panel, stop: () => undo.forEach((f) => f()) };
}

function render({ model, el }) {
  const id = `cubital-explorer-${(count += 1)}`;
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
  const body = element("div", "cubital-body");
  body.append(figure, side);
  root.append(title, body, notice, spoken);

  let timer = null;
  const draw = () => {
    const picture = model.get("picture");
    figure.innerHTML = picture.svg;
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
    model.off("change:picture", redraw);
  };
}

export default { render };
