// Forms on pictures: marks by mouse, by touch, by arrow keys, or typed; a series frame by frame.

const NEAR_PX = 6; // on the screen: a press so near to a mark takes it away
const FAST_PX = 10; // a step with Shift held
const NUMBER_PX = 24; // the room that a mark's number takes
const CROSS = "M-7 0h5m4 0h5M0 -7v5m0 4v5";
const SQUARE = "M-9.5 -9.5h19v19h-19z";
const SVG = "http://www.w3.org/2000/svg";

function shape(tag, attributes) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  return node;
}

// A mark on the picture; it is as large on the screen at every zoom.
function mark([column, row], d, { width }, number) {
  const group = shape("g", { class: "cubital-mark" });
  group.style.setProperty("--cubital-column", `${column + 0.5}px`);
  group.style.setProperty("--cubital-row", `${row + 0.5}px`);
  for (const [colour, thick] of [["#1d2b33", 5], ["#fbfaf6", 2]]) {
    group.append(shape("path", { d, fill: "none", stroke: colour, "stroke-width": thick }));
  }
  if (number === undefined) return group;
  const isRight = column > width - NUMBER_PX; // its number stands within the picture
  const words = shape("text", { x: isRight ? -9 : 9, y: row < NUMBER_PX ? 16 : -6, class: "cubital-mark-number" });
  if (isRight) words.setAttribute("text-anchor", "end");
  words.textContent = String(number);
  group.append(words);
  return group;
}

// The picture with its marks. `most` 1 lets a new mark take the place of the old one.
function stage(model, id, changed) {
  const { width, height, frames, grey, most } = model.get("parts");
  const bytes = new Uint8Array(grey.buffer ?? grey, grey.byteOffset ?? 0);
  const root = element("div", "cubital-marking");
  const canvas = element("canvas", "cubital-frame");
  const layer = shape("svg", { class: "cubital-layer", "aria-hidden": "true" });
  layer.setAttribute("viewBox", `0 0 ${width} ${height}`);
  const pressed = (across, down) => {
    const column = clamp(across * width - 0.5, width);
    const row = clamp(down * height - 0.5, height);
    Object.assign(cursor, { column, row });
    const near = nearest(column, row);
    if (near && away(near, column, row) <= NEAR_PX * picture.scale()) take(near);
    else put(column, row);
  };
  const picture = view(id, { width, height }, [canvas, layer], { pressed, zoomed: () => bringCursor() });
  const { box } = picture;
  box.classList.add("cubital-stage");
  box.setAttribute("role", "application");
  box.setAttribute(
    "aria-label",
    `${frames > 1 ? "Series" : "Picture"} of dark bands on grey, simulated, not clinically validated`,
  );
  box.setAttribute("aria-describedby", `${id}-help`);
  const note = element("p", "cubital-hint", "Simulated, not clinically validated.");
  const help = element(
    "p",
    "cubital-hint",
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
  const place = element("button", "cubital-plain", "Place a mark there");
  place.type = "button";
  typing.append(place);
  const list = element("ul", "cubital-mark-list");
  const said = element("p", "cubital-said");
  said.setAttribute("role", "status");
  root.append(note, box, picture.looks, help, typing, list, said);

  let marks = [];
  let shown = 0;
  let disabled = false;
  const cursor = { column: Math.floor(width / 2), row: Math.floor(height / 2) };
  const clamp = (value, size) => Math.min(Math.max(Math.round(value), 0), size - 1);
  const away = (mark, column, row) => Math.hypot(mark[0] - column, mark[1] - row);
  const nearest = (column, row) =>
    [...marks].sort((a, b) => away(a, column, row) - away(b, column, row))[0];
  const bring = ([column, row]) => picture.bring((column + 0.5) / width, (row + 0.5) / height);
  const bringCursor = () => bring([cursor.column, cursor.row]);

  const change = (next, words) => {
    if (disabled) return;
    marks = next;
    draw();
    said.textContent = words;
    changed();
  };
  const put = (column, row) => {
    if (marks.some((mark) => mark[0] === column && mark[1] === row)) return;
    const next = most === 1 ? [[column, row]] : [...marks, [column, row]];
    change(next, `Mark ${next.length} placed at column ${column}, row ${row}`);
  };
  const take = ([column, row]) => {
    const next = marks.filter((mark) => mark[0] !== column || mark[1] !== row);
    change(next, `Mark at column ${column}, row ${row} taken away; ${next.length} left`);
  };

  const drawPicture = () => {
    layer.replaceChildren(
      ...model.get("there").map((one) => mark(one, SQUARE, { width })),
      ...marks.map((one, n) => mark(one, CROSS, { width }, most === 1 ? undefined : n + 1)),
    );
    if (document.activeElement === box) {
      const { column, row } = cursor;
      const d = `M0 ${row + 0.5}H${width}M${column + 0.5} 0V${height}`;
      for (const part of ["cubital-cursor", "cubital-cursor cubital-dashes"]) {
        layer.append(shape("path", { d, class: part }));
      }
    }
  };
  // The list is made anew only when marks change: a button that is about to be pressed must stay.
  const draw = () => {
    drawPicture();
    list.replaceChildren(
      ...marks.map((one, n) => {
        const item = element("li", "", `Mark ${n + 1}: column ${one[0]}, row ${one[1]} `);
        const button = element("button", "cubital-plain", `Take mark ${n + 1} away`);
        Object.assign(button, { type: "button", disabled });
        button.addEventListener("click", () => take(one));
        button.addEventListener("focus", () => bring(one));
        item.append(button);
        return item;
      }),
    );
  };
  const paintFrame = () => {
    const from = shown * width * height;
    paint(canvas, { width, height, grey: bytes.slice(from, from + width * height) });
  };

  // By keyboard the cross comes into the window; by mouse nothing moves under a press.
  box.addEventListener("focus", () => {
    if (box.matches(":focus-visible")) bringCursor();
    drawPicture();
  });
  box.addEventListener("blur", drawPicture);
  const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  box.addEventListener("keydown", (event) => {
    const step = moves[event.key];
    if (step) {
      const by = event.shiftKey ? FAST_PX : 1;
      cursor.column = clamp(cursor.column + by * step[0], width);
      cursor.row = clamp(cursor.row + by * step[1], height);
      bringCursor();
      said.textContent = `Cross at column ${cursor.column}, row ${cursor.row}`;
      drawPicture();
    } else if (event.key === "Enter") put(cursor.column, cursor.row);
    else if (event.key === "Delete" || event.key === "Backspace") {
      const near = nearest(cursor.column, cursor.row);
      if (near) take(near);
    } else return;
    event.preventDefault();
  });
  place.addEventListener("click", () => {
    const [column, row] = inputs.map((input) => Number(input.value.trim() || NaN));
    const whole = (value, size) => Number.isInteger(value) && value >= 0 && value < size;
    if (whole(column, width) && whole(row, height)) {
      Object.assign(cursor, { column, row });
      put(column, row);
      bringCursor();
    } else {
      said.textContent =
        `No mark placed: the column must be a whole number from 0 to ${width - 1}, ` +
        `the row one from 0 to ${height - 1}.`;
    }
  });
  model.on("change:there", drawPicture);
  paintFrame();
  draw();
  return {
    root,
    marks: () => marks,
    show: (next) => {
      if (JSON.stringify(next) === JSON.stringify(marks)) return;
      marks = next;
      draw();
    },
    frame: (number) => {
      shown = number;
      paintFrame();
    },
    disable: (yes) => {
      disabled = yes;
      inputs.forEach((input) => (input.disabled = yes));
      place.disabled = yes;
      draw();
    },
  };
}

// What stands below every picture: its words where they were given out, and what is there.
function below(model) {
  const { words, reveal } = model.get("parts");
  const nodes = [];
  if (words) {
    const details = element("details", "cubital-words");
    const lines = words.split("\n").map((line) => element("p", "cubital-line", line));
    details.append(element("summary", "", "The picture in words and numbers"), ...lines);
    nodes.push(details);
  }
  if (reveal) {
    const button = element("button", "cubital-plain", "Show what is there, in squares");
    button.type = "button";
    const told = element("p", "cubital-said");
    told.setAttribute("role", "status");
    button.addEventListener("click", () => {
      if (model.get("state") === "empty") told.textContent = "Answer first, then look.";
      else model.send({ reveal: true });
    });
    model.on("change:there", () => {
      const list = model.get("there").map(([column, row]) => `column ${column}, row ${row}`);
      told.textContent = list.length ? `There: ${list.join("; ")}.` : "There is nothing to mark.";
    });
    nodes.push(button, told);
  }
  return nodes;
}

function asked(model, id) {
  const question = element("p", "cubital-question", model.get("question"));
  question.id = `${id}-question`;
  return [question, element("p", "cubital-hint", model.get("hint"))];
}

function place(model, id, send) {
  const hand = () => send(none.checked || picture.marks().length ? picture.marks() : null, true);
  const picture = stage(model, id, () => {
    none.checked = false;
    hand();
  });
  const label = element("label", "cubital-choice");
  const none = element("input");
  none.type = "checkbox";
  label.append(none, element("span", "", model.get("parts").none));
  // Marks that the tick took away can be put back, whatever was done since.
  let aside = [];
  const back = element("button", "cubital-plain");
  back.type = "button";
  const lay = (marks) => {
    aside = marks;
    back.hidden = aside.length === 0;
    back.textContent = aside.length === 1 ? "Put the mark back" : `Put the ${aside.length} marks back`;
  };
  const putBack = () => {
    const now = picture.marks();
    const isNew = ([column, row]) => !now.some((mark) => mark[0] === column && mark[1] === row);
    none.checked = false;
    picture.show([...aside.filter(isNew), ...now]);
    lay([]);
    hand();
  };
  none.addEventListener("change", () => {
    if (!none.checked) return putBack();
    if (picture.marks().length) lay(picture.marks());
    picture.show([]);
    return hand();
  });
  back.addEventListener("click", putBack);
  lay([]);
  const group = element("div");
  group.setAttribute("role", "group");
  group.setAttribute("aria-labelledby", `${id}-question`);
  group.append(...asked(model, id), picture.root, label, back, ...below(model));
  return {
    nodes: [group],
    show: (entered) => {
      none.checked = entered?.length === 0;
      picture.show(entered ?? []);
    },
    disable: (yes) => {
      picture.disable(yes);
      none.disabled = yes;
      back.disabled = yes;
    },
  };
}

function series(model, id, send) {
  const parts = model.get("parts");
  const last = parts.frames - 1;
  const frameOf = (text) => (text === "" ? null : Number.isNaN(Number(text)) ? text : Number(text));
  const value = () => ({
    what: list.chosen(),
    frame: frameOf(from.value.trim()),
    mark: picture.marks()[0] ?? null,
  });
  // With “no change” neither frame nor mark counts: they are laid aside, and come back with any
  // other choice.
  let aside = null;
  const isUnseen = () => list.chosen() === parts.unseen;
  const choose = () => {
    if (isUnseen()) {
      if (from.value !== "" || picture.marks().length) {
        aside = { frame: from.value, marks: picture.marks() };
        told.textContent = "With this answer no frame and no mark count. Choose another, and yours are back.";
      }
      from.value = "";
      picture.show([]);
    } else {
      if (aside) {
        from.value = aside.frame;
        picture.show(aside.marks);
      }
      aside = null;
      told.textContent = "";
    }
    send(value(), true);
  };
  const hand = () => {
    if (!isUnseen()) return send(value(), true);
    from.value = "";
    picture.show([]);
    told.textContent = "With this answer no frame and no mark count. Choose another first.";
    return undefined;
  };
  const picture = stage(model, id, hand);

  const moving = reel(id, parts.frames, (number) => picture.frame(number));

  const group = element("fieldset", "cubital-choices");
  const list = options(parts.options, id, choose);
  group.append(element("legend", "cubital-label", "What happens"), ...list.labels);
  const when = element("div", "cubital-typing");
  const from = element("input", "cubital-typed");
  Object.assign(from, { type: "text", inputMode: "numeric", id: `${id}-from`, size: 4 });
  const fromLabel = element("label", "cubital-label", "From which frame on");
  fromLabel.htmlFor = from.id;
  from.addEventListener("change", hand);
  const take = element("button", "cubital-plain", "Take the frame shown");
  take.type = "button";
  take.addEventListener("click", () => {
    from.value = String(moving.value());
    hand();
  });
  when.append(fromLabel, from, take);
  const told = element("p", "cubital-said");
  told.setAttribute("role", "status");
  const where = element("p", "cubital-label", "Where: a mark on the picture");
  const whole = element("div");
  whole.setAttribute("role", "group");
  whole.setAttribute("aria-labelledby", `${id}-question`);
  whole.append(...asked(model, id), moving.row, where, picture.root, group, when, told, ...below(model));
  return {
    nodes: [whole],
    show: (entered, isForced) => {
      list.choose(entered?.what ?? null);
      if (document.activeElement !== from || isForced) from.value = entered?.frame ?? "";
      picture.show(entered?.mark ? [entered.mark] : []);
    },
    disable: (yes) => {
      picture.disable(yes);
      list.disable(yes);
      from.disabled = yes;
      take.disabled = yes;
    },
  };
}
