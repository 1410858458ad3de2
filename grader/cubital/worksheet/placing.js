// Marks on a picture: by mouse, by touch, by arrow keys, or typed. Python keeps the marks.

const NEAR_PX = 6; // a press so near to a mark takes it away
const FAST_PX = 10; // a step with Shift held
const SVG = "http://www.w3.org/2000/svg";

function shape(tag, attributes) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  return node;
}

function cross(layer, column, row, number) {
  for (const [colour, width] of [["#1d2b33", 5], ["#fbfaf6", 2]]) {
    const path = `M${column - 7} ${row}h5m4 0h5M${column} ${row - 7}v5m0 4v5`;
    layer.append(shape("path", { d: path, fill: "none", stroke: colour, "stroke-width": width }));
  }
  if (number === undefined) return;
  const words = shape("text", { x: column + 9, y: row - 6, class: "cubital-mark-number" });
  words.textContent = String(number);
  layer.append(words);
}

function render({ model, el }) {
  const id = `cubital-marks-${unique()}`;
  const root = element("div", "cubital-marks");
  root.setAttribute("role", "group");
  root.setAttribute("aria-labelledby", `${id}-title`);
  const title = element("p", "cubital-title", model.get("title"));
  title.id = `${id}-title`;
  const stage = element("div", "cubital-stage");
  stage.tabIndex = 0;
  stage.setAttribute("role", "application");
  stage.setAttribute("aria-label", model.get("alt"));
  stage.setAttribute("aria-describedby", `${id}-help`);
  const canvas = element("canvas", "cubital-frame");
  const layer = shape("svg", { class: "cubital-layer", "aria-hidden": "true" });
  stage.append(canvas, layer);
  const help = element(
    "p",
    "cubital-help",
    "Press on the picture to place a mark, and on a mark to take it away. By keyboard: arrow keys " +
      "move the cross (with Shift by ten), Enter places a mark, Delete takes the nearest away.",
  );
  help.id = `${id}-help`;
  const typing = element("div", "cubital-typing");
  const inputs = ["Column", "Row"].map((words, place) => {
    const input = element("input", "cubital-typed");
    Object.assign(input, { type: "text", inputMode: "numeric", id: `${id}-${place}`, size: 4 });
    const label = element("label", "", words);
    label.htmlFor = input.id;
    typing.append(label, input);
    return input;
  });
  const place = element("button", "cubital-button", "Place a mark there");
  place.type = "button";
  typing.append(place);
  const list = element("ul", "cubital-mark-list");
  const said = element("p", "cubital-said");
  said.setAttribute("role", "status");
  root.append(title, stage, help, typing, list, said);

  const frame = () => model.get("frame");
  const cursor = { column: 0, row: 0 };
  const clamp = (value, size) => Math.min(Math.max(Math.round(value), 0), size - 1);
  const send = (what, column, row) => model.send({ what, column, row });

  const nearest = (column, row) => {
    const away = (mark) => Math.hypot(mark[0] - column, mark[1] - row);
    return [...model.get("marks")].sort((a, b) => away(a) - away(b))[0];
  };

  const draw = () => {
    layer.replaceChildren();
    layer.setAttribute("viewBox", `0 0 ${frame().width} ${frame().height}`);
    model.get("marks").forEach(([column, row], n) => cross(layer, column + 0.5, row + 0.5, n + 1));
    if (document.activeElement === stage) {
      const { column, row } = cursor;
      for (const [colour, dash] of [["#1d2b33", "none"], ["#fbfaf6", "4 4"]]) {
        const d = `M0 ${row + 0.5}H${frame().width}M${column + 0.5} 0V${frame().height}`;
        layer.append(shape("path", { d, stroke: colour, "stroke-dasharray": dash, fill: "none" }));
      }
    }
    list.replaceChildren(
      ...model.get("marks").map(([column, row], n) => {
        const item = element("li", "", `Mark ${n + 1}: column ${column}, row ${row} `);
        const away = element("button", "cubital-away", `Take mark ${n + 1} away`);
        away.type = "button";
        away.addEventListener("click", () => send("away", column, row));
        item.append(away);
        return item;
      }),
    );
  };

  stage.addEventListener("pointerdown", (event) => {
    const box = canvas.getBoundingClientRect();
    const column = clamp(((event.clientX - box.left) / box.width) * frame().width - 0.5, frame().width);
    const row = clamp(((event.clientY - box.top) / box.height) * frame().height - 0.5, frame().height);
    Object.assign(cursor, { column, row });
    const mark = nearest(column, row);
    const isNear = mark && Math.hypot(mark[0] - column, mark[1] - row) <= NEAR_PX;
    if (isNear) send("away", ...mark);
    else send("place", column, row);
  });
  stage.addEventListener("focus", draw);
  stage.addEventListener("blur", draw);

  const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  stage.addEventListener("keydown", (event) => {
    const step = moves[event.key];
    if (step) {
      const by = event.shiftKey ? FAST_PX : 1;
      cursor.column = clamp(cursor.column + by * step[0], frame().width);
      cursor.row = clamp(cursor.row + by * step[1], frame().height);
      said.textContent = `Cross at column ${cursor.column}, row ${cursor.row}`;
      draw();
    } else if (event.key === "Enter") send("place", cursor.column, cursor.row);
    else if (event.key === "Delete" || event.key === "Backspace") {
      const mark = nearest(cursor.column, cursor.row);
      if (mark) send("away", ...mark);
    } else return;
    event.preventDefault();
  });

  place.addEventListener("click", () => {
    const [column, row] = inputs.map((input) => Number(input.value.trim() || NaN));
    model.send({ what: "place", column: Number.isNaN(column) ? null : column, row: Number.isNaN(row) ? null : row });
  });

  // A notebook reads bare keys as commands, so keys stop here.
  root.addEventListener("keydown", (event) => {
    const passes = event.key === "Tab" || event.key === "Escape" || event.ctrlKey || event.metaKey;
    if (!passes) event.stopPropagation();
  });

  const show = () => {
    paint(canvas, frame());
    draw();
  };
  const say = () => { said.textContent = model.get("said"); };
  Object.assign(cursor, { column: Math.floor(frame().width / 2), row: Math.floor(frame().height / 2) });
  show();
  model.on("change:frame", show);
  model.on("change:marks", draw);
  model.on("change:said", say);
  el.append(root);
  return () => {
    model.off("change:frame", show);
    model.off("change:marks", draw);
    model.off("change:said", say);
  };
}

export default { render };
