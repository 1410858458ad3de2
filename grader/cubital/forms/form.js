// A form: Python sends what stands in it, the page sends back what was chosen, typed or pressed.

const PIECE = 1 << 20; // bytes of a file in one message

// Words that stand in a form, with what they are: strong, quiet, good, care.
const AS = { strong: "cubital-strong", quiet: "cubital-quiet", good: "cubital-good", care: "cubital-care" };

const pressed = (block, id, press) => {
  const button = element("button", block.second ? "cubital-second" : "cubital-button", block.words);
  button.type = "button";
  button.id = id;
  button.addEventListener("click", press);
  return button;
};

const linked = (words, href, className = "") => {
  const link = element("a", className, words);
  link.href = href;
  return link;
};

// Give a file to the kernel in pieces.
const giveFile = async (file, name, { model, wait }) => {
  wait({ file, name });
  const bytes = await file.arrayBuffer();
  const pieces = Math.max(1, Math.ceil(bytes.byteLength / PIECE));
  for (let piece = 0; piece < pieces; piece += 1) {
    const part = bytes.slice(piece * PIECE, (piece + 1) * PIECE);
    model.send({ name, file: file.name, piece, pieces }, undefined, [part]);
  }
};

const makers = {
  say: (block) => element("p", AS[block.as] ?? "", block.text),

  heading: (block) => element(`h${block.level ?? 3}`, "cubital-heading", block.text),

  radios: (block, id, { send }) => {
    const set = element("fieldset", "cubital-radios");
    set.append(element("legend", "", block.legend));
    block.options.forEach(([key, words], position) => {
      const row = element("div");
      const input = element("input");
      Object.assign(input, { type: "radio", name: id, id: `${id}-${position}`, value: key });
      input.dataset.name = block.name;
      input.checked = key === block.value;
      input.addEventListener("change", () => send(block.name, key));
      const label = element("label", "", words);
      label.htmlFor = input.id;
      row.append(input, label);
      set.append(row);
    });
    if (block.says) set.append(element("p", "cubital-strong", block.says));
    return set;
  },

  check: (block, id, { send }) => {
    const label = element("label", "cubital-check");
    const input = element("input");
    Object.assign(input, { type: "checkbox", id, checked: block.value });
    input.dataset.name = block.name;
    input.addEventListener("change", () => send(block.name, input.checked));
    label.append(input, element("span", "", block.label));
    return label;
  },

  table: (block) => {
    const table = element("table", "cubital-table");
    table.append(element("caption", "", block.caption));
    const head = element("tr");
    block.head.forEach((words) => {
      const cell = element("th", "", words);
      cell.scope = "col";
      head.append(cell);
    });
    table.append(element("thead"), element("tbody"));
    table.tHead.append(head);
    block.rows.forEach((cells) => {
      const row = element("tr");
      cells.forEach((cell, position) => {
        const box = element(position ? "td" : "th");
        if (!position) box.scope = "row";
        if (cell.href) box.append(linked(cell.text, cell.href));
        else box.textContent = cell.text;
        row.append(box);
      });
      table.tBodies[0].append(row);
    });
    return table;
  },

  button: (block, id, { send }) => pressed(block, id, () => send(block.name, block.value ?? true)),

  link: (block, id) => {
    const link = linked(block.words, block.href, block.second ? "cubital-second" : "cubital-button");
    link.id = id;
    return link;
  },

  // Questions of this page; a press leads to the field.
  questions: (block) => {
    const list = element("ul", "cubital-open");
    block.questions.forEach(([item, words]) => {
      const field = () => document.querySelector(`.cubital-field[data-item="${CSS.escape(item)}"]`);
      const go = element("button", "cubital-to", words);
      go.type = "button";
      go.addEventListener("click", () => {
        field()?.scrollIntoView({ block: "center" });
        field()?.querySelector("input, textarea, select, [tabindex='0']")?.focus({ preventScroll: true });
      });
      const row = element("li");
      row.append(go);
      list.append(row);
    });
    return list;
  },

  details: (block, id, form) => {
    const details = element("details", "cubital-more-of-it");
    details.id = id;
    details.append(element("summary", "", block.summary), ...make(block.blocks, id, form));
    return details;
  },

  // A line to be typed, with the button that sends it; Enter does the same.
  ask: (block, id, { send }) => {
    const ask = element("form", "cubital-ask");
    const label = element("label", "cubital-strong", block.label);
    const input = element("input");
    Object.assign(input, { type: "text", id, defaultValue: block.value ?? "", autocomplete: "off", maxLength: 80 });
    input.dataset.name = block.name;
    label.htmlFor = id;
    const row = element("div", "cubital-line");
    const button = element("button", block.second ? "cubital-second" : "cubital-button", block.words);
    row.append(input, button);
    ask.append(label, row);
    if (block.note) {
      const note = element("p", "cubital-quiet", block.note);
      note.id = `${id}-note`;
      input.setAttribute("aria-describedby", note.id);
      ask.append(note);
    }
    ask.addEventListener("submit", (event) => {
      event.preventDefault();
      send(block.name, input.value);
    });
    return ask;
  },

  // A file to be dropped or chosen.
  file: (block, id, form) => {
    const box = element("div", "cubital-drop");
    const label = element("label", "", block.label);
    const input = element("input");
    Object.assign(input, { type: "file", id, accept: block.accept });
    label.htmlFor = id;
    const give = ([file]) => file && giveFile(file, block.name, form);
    input.addEventListener("change", () => give(input.files));
    for (const name of ["dragenter", "dragover", "dragleave", "drop"]) {
      box.addEventListener(name, (event) => {
        event.preventDefault();
        box.classList.toggle("cubital-over", name.endsWith("er") && name !== "drop");
        if (name === "drop") give(event.dataTransfer.files);
      });
    }
    box.append(label, input);
    return box;
  },

  // The file that the form holds, to be kept where the browser keeps what it loads.
  download: (block, id, { model }) => {
    const link = linked(block.words, "", block.second ? "cubital-second" : "cubital-button");
    link.id = id;
    link.download = block.name;
    link.href = URL.createObjectURL(new Blob([model.get("file")], { type: "application/zip" }));
    return link;
  },

  // Rows of the way: a sign, what it is with its links, and what stands beside.
  way: (block) => {
    const list = element("ol", "cubital-way");
    block.stops.forEach((stop) => {
      const row = element("li", stop.here ? "cubital-here" : "");
      if (stop.here) row.setAttribute("aria-current", "step");
      const sign = element("span", "cubital-sign", stop.sign);
      sign.setAttribute("aria-hidden", "true");
      const what = element("div");
      stop.lines.forEach((parts) => {
        const line = element("p");
        parts.forEach((one) => line.append(one.href ? linked(one.text, one.href) : one.text));
        what.append(line);
      });
      row.append(sign, what, element("span", "cubital-quiet", stop.beside));
      list.append(row);
    });
    return list;
  },

  // Of the steps that stand on the page only the one at hand is shown, once it is another.
  steps: (block) => {
    block.steps.forEach((parts, n) => {
      for (const one of parts) {
        const part = document.querySelector(`[data-block="${CSS.escape(one)}"]`);
        if (part) part.hidden = n !== block.at;
      }
    });
    document.querySelector(".cubital-rail")?.setAttribute("hidden", "");
    const none = element("span");
    none.hidden = true;
    return none;
  },

  card: (block, id, form) => {
    const card = element("section", block.soft ? "cubital-card cubital-soft" : "cubital-card");
    card.append(...make(block.blocks, id, form));
    return card;
  },
};

const make = (blocks, id, form) =>
  blocks.map((block, n) => makers[block.kind](block, `${id}-${n}`, form));

function render({ model, el }) {
  const own = `cubital-course-${unique()}`;
  const root = element("section", "cubital-course");
  const spoken = element("p", "cubital-spoken");
  spoken.setAttribute("role", "status");
  if (model.get("title")) {
    const title = element("p", "cubital-title", model.get("title"));
    title.id = `${own}-title`;
    root.setAttribute("aria-labelledby", title.id);
    root.append(title);
  }
  const body = element("div", "cubital-course-body");
  root.append(body, spoken);
  let inHand = null; // what was given to the kernel and has no answer yet
  let turns = []; // what is to be given to it after that
  const wait = (what) => {
    inHand = what;
    tellWaiting(root, true);
    showBusy();
  };
  const give = (what) => {
    wait(what);
    model.send(what);
  };
  // Until the answer is there nothing is pressed twice; what is chosen meanwhile waits for its turn.
  const send = (name, value) => {
    if (!inHand) give({ name, value });
    else if (choices().some((input) => input.dataset.name === name)) {
      turns = [...turns.filter((one) => one.name !== name), { name, value }];
    }
  };
  const form = { model, send, wait };

  const choices = () => [...body.querySelectorAll("[data-name]:is([type=radio], [type=checkbox])")];
  const lines = () => [...body.querySelectorAll("[data-name][type=text]")];
  const chosenNow = () =>
    choices()
      .filter(({ type, checked }) => type === "checkbox" || checked)
      .map(({ type, dataset, value, checked }) => ({ name: dataset.name, value: type === "radio" ? value : checked }));
  const showChosen = ({ name, value }) => {
    for (const input of choices().filter(({ dataset }) => dataset.name === name)) {
      input.checked = input.type === "radio" ? input.value === value : value;
    }
  };
  const showBusy = () => {
    if (inHand) body.setAttribute("aria-busy", "true");
    else body.removeAttribute("aria-busy");
    body.querySelectorAll("button").forEach((button) => {
      if (inHand) button.setAttribute("aria-disabled", "true");
      else button.removeAttribute("aria-disabled");
    });
  };

  // What is open or holds the focus stays so when the form is drawn anew.
  const draw = () => {
    const active = root.contains(document.activeElement) ? document.activeElement.id : "";
    const open = [...root.querySelectorAll("details[open]")].map(({ id }) => id);
    body.querySelectorAll("a[download]").forEach(({ href }) => URL.revokeObjectURL(href));
    body.replaceChildren(...make(model.get("blocks"), own, form));
    turns.forEach(showChosen);
    showBusy();
    for (const id of open) document.getElementById(id)?.setAttribute("open", "");
    if (active) document.getElementById(active)?.focus();
  };
  const goOn = () => {
    const [next, ...rest] = turns;
    turns = rest;
    if (next) give(next);
  };
  const answered = () => {
    inHand = null;
    tellWaiting(root, false);
    draw();
    goOn();
  };
  const tell = () => {
    spoken.textContent = model.get("spoken");
  };
  const go = () => {
    if (!model.get("goes_to")) return;
    const link = linked("", model.get("goes_to"));
    link.hidden = true;
    root.append(link);
    setTimeout(() => link.click()); // after the page has made the link one of its own
  };
  draw();
  model.on("change:blocks change:file", draw);
  model.on("change:stamp", answered);
  model.on("change:spoken", tell);
  model.on("change:goes_to", go);

  // A notebook reads bare keys as commands, so keys stop here.
  root.addEventListener("keydown", (event) => {
    const passes = event.key === "Tab" || event.key === "Escape" || event.ctrlKey || event.metaKey;
    if (!passes) event.stopPropagation();
  });
  el.append(root);
  // What was pressed and has no answer is asked for again.
  const read = () => ({
    chosen: chosenNow(),
    typed: lines().filter((line) => line.value !== line.defaultValue).map((line) => [line.dataset.name, line.value]),
    pressed: inHand,
  });
  const write = ({ chosen, typed, pressed: before }) => {
    const typedIn = new Map(typed);
    for (const line of lines()) line.value = typedIn.get(line.dataset.name) ?? line.value;
    const now = new Map(chosenNow().map(({ name, value }) => [name, value]));
    turns = chosen.filter(({ name, value }) => now.get(name) !== value);
    turns.forEach(showChosen);
    if (before?.file) giveFile(before.file, before.name, form);
    else if (before && !turns.some(({ name }) => name === before.name)) turns.push(before);
    if (!inHand) goOn();
  };
  keepState(root, model.get("title"), read, write);
  return () => {
    tellWaiting(root, false);
    model.off("change:blocks change:file", draw);
    model.off("change:stamp", answered);
    model.off("change:spoken", tell);
    model.off("change:goes_to", go);
  };
}

export default { render };
