// Predict, then see: at each “Predict” the learner says what they expect, or asks to be shown. Only
// then what belongs to it unfolds, with what they said beside the reading. How a cell asks stands in
// its metadata, `cubital.predict`; what unfolds with it names it by `cubital.unfolds`.

const AGAIN_MS = 3000;
const KEPT_MS = 5000; // without a reply for so long, it may be lost
const SHOWN = "You asked to be shown.";
const given = ({ metadata }) => metadata?.cubital ?? {};

// A part of a form: the elements to answer in, and `said`, the answer in words or null if none.
const askedFor = {
  choice: ({ options }, id) => {
    const boxes = options.map((words, position) => {
      const row = element("label", "cubital-option");
      const input = element("input");
      Object.assign(input, { type: "radio", name: id, id: `${id}-${position}`, value: words });
      row.append(input, element("span", "", words));
      return { row, input };
    });
    const said = () => boxes.find(({ input }) => input.checked)?.input.value ?? null;
    return { nodes: boxes.map(({ row }) => row), first: boxes[0].input, said, missing: "Choose one" };
  },

  number: ({ label, unit }, id) => {
    const row = element("p", "cubital-line");
    const name = element("label", "", `${label}, in ${unit}`);
    const input = element("input");
    Object.assign(input, { type: "text", inputMode: "decimal", autocomplete: "off", id, size: 6 });
    name.htmlFor = id;
    row.append(name, input, element("span", "", unit));
    const said = () => {
      const text = input.value.replace(unit, "").trim();
      const isNumber = text !== "" && Number.isFinite(Number(text.replace(",", ".")));
      return isNumber ? `${text} ${unit}` : null;
    };
    return { nodes: [row], first: input, said, missing: "Write a number" };
  },

  // A place on a line from one end to the other; it is none until somebody puts it there.
  place: ({ label, unit, low, high, step, ends }, id) => {
    const row = element("div", "cubital-place");
    const name = element("label", "", label);
    const input = element("input");
    Object.assign(input, { type: "range", id, min: low, max: high, step, value: low });
    name.htmlFor = id;
    const shown = element("span", "cubital-put");
    const digits = (String(step).split(".")[1] ?? "").length;
    let placed = false;
    const words = () => `${Number(input.value).toFixed(digits)} ${unit}`;
    const show = () => {
      shown.textContent = placed ? words() : "Not put anywhere yet";
      input.setAttribute("aria-valuetext", shown.textContent);
    };
    const put = () => {
      placed = true;
      show();
    };
    input.addEventListener("input", put);
    input.addEventListener("pointerup", put);
    show();
    const line = element("div", "cubital-ends");
    line.append(...ends.map((end) => element("span", "", end)));
    row.append(name, shown, input, line);
    const said = () => (placed ? words() : null);
    return { nodes: [row], first: input, said, missing: "Put the mark where you expect it" };
  },
};

const pressable = (words, className, type = "button") => {
  const node = element("button", className, words);
  node.type = type;
  return node;
};

// The form of one prediction, drawn into `host`; `commit` takes the words, "" for “Show me”.
const drawForm = (asks, count, question, commit) => {
  const id = `cubital-predict-${unique()}`;
  const form = element("form", "cubital-predict");
  form.noValidate = true;
  const set = element("fieldset");
  question.id ||= `${id}-question`;
  set.append(element("legend", "", count));
  const { nodes, first, said, missing } = askedFor[asks.kind](asks, id);
  const wrong = element("p", "cubital-wrong");
  wrong.id = `${id}-wrong`;
  set.setAttribute("aria-describedby", `${question.id} ${wrong.id}`);
  wrong.setAttribute("role", "alert");
  const buttons = element("p", "cubital-line");
  const show = pressable("Show me", "cubital-second");
  show.addEventListener("click", () => commit(""));
  buttons.append(pressable("This is my prediction", "cubital-button", "submit"), show);
  set.append(...nodes, wrong, buttons);
  form.append(set);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const words = said();
    wrong.textContent = words === null ? `${missing}, or press “Show me”.` : "";
    if (words === null) first.focus();
    else commit(words);
  });
  return { form, first };
};

// The file holds it once the kernel has said so; until then it is tried again, as long as the page
// is there and nothing else was said. `told` is where it stands on the page.
const keepPrediction = (haveKernel, cell, words, told) => {
  const code = `predict(${[here.path, cell, words].map((one) => JSON.stringify(one)).join(", ")})`;
  const isNow = () => told.isConnected && told.dataset.words === words;
  const attempt = async () => {
    const reply = await within(ask(await haveKernel(), code), KEPT_MS);
    if (reply === LATE) throw new Error("there is no reply yet");
    const { kept } = reply;
    if (kept !== words) throw new Error(`“${kept}” is kept, not “${words}”`);
    await window.cubitalStored?.();
    if (isNow()) tellSaving(told, "saved");
  };
  const again = () => attempt().catch((error) => {
    console.warn(error);
    if (isNow()) setTimeout(again, AGAIN_MS);
  });
  told.dataset.words = words;
  tellSaving(told, "unsaved");
  again();
};

// A reading gets room for what was said beside it, and can be given the focus.
const prepareReading = (host, number) => {
  const beside = element("p", "cubital-beside");
  beside.id = `cubital-beside-${unique()}`;
  const text = element("div");
  text.append(...host.childNodes);
  host.append(beside, text);
  host.tabIndex = -1;
  host.setAttribute("role", "group");
  host.setAttribute("aria-label", `Reading of prediction ${number}`);
  host.setAttribute("aria-describedby", beside.id);
  return beside;
};

// Draw the form of one prediction beneath its question. Return how to unfold what belongs to it.
const drawPrediction = (cell, number, cells, keep) => {
  const count = `Prediction ${number} of ${cells.filter((one) => given(one).predict).length}`;
  const unfolding = cells.filter((one) => given(one).unfolds === cell.id);
  const reading = unfolding.find(({ cell_type: type }) => type === "markdown").host;
  const question = [...cell.host.querySelectorAll("p")].find((one) => one.textContent.startsWith("Predict:"));
  const after = [...question.parentNode.children];
  const then = after.slice(after.indexOf(question) + 1); // what to move, to see it
  const beside = prepareReading(reading, number);
  unfolding[0].host.prepend(element("p", "cubital-printed", `Reading of prediction ${number}`));
  const told = element("p", "cubital-line cubital-predicted");
  const words = element("strong");
  const another = pressable("Predict again", "cubital-to");
  told.append(element("span", "", `${count}. `), words, another);

  const fold = (folded) => {
    form.hidden = !folded;
    told.hidden = folded;
    for (const node of [...then, ...unfolding.map(({ host }) => host)]) {
      node.classList.toggle("cubital-folded", folded);
    }
  };
  const unfold = (said) => {
    words.textContent = beside.textContent = said ? `You said: ${said}` : SHOWN;
    fold(false);
  };
  const commit = (said) => {
    unfold(said);
    keep(cell.id, said, told);
    reading.focus({ preventScroll: true });
    reading.scrollIntoView({ block: "nearest" });
  };
  const { form, first } = drawForm(given(cell).predict, count, question, commit);
  another.addEventListener("click", () => {
    fold(true);
    first.focus();
  });
  question.after(form, told);
  fold(true);
  return unfold;
};

const makePredictions = (haveKernel) => {
  let unfolds = new Map(); // of the page that is shown, by the cell's id
  let said = {};
  const restore = () => {
    for (const [cell, unfold] of unfolds) if (cell in said) unfold(said[cell]);
  };
  document.addEventListener("cubital-turned", () => {
    unfolds = new Map();
    said = {};
  });
  document.addEventListener("cubital-opened", ({ detail: { predicted } }) => {
    said = { ...predicted, ...said }; // what was said while the page was opened is newer
    restore();
  });
  const keep = (cell, words, told) => {
    said[cell] = words;
    keepPrediction(haveKernel, cell, words, told);
  };
  return {
    // Before anything is drawn: what unfolds later is not to be seen.
    fold: (cells) => {
      for (const cell of cells.filter((one) => given(one).unfolds)) {
        cell.host.classList.add("cubital-unfolds", "cubital-folded");
      }
    },
    // Once the texts are drawn.
    draw: (cells) => {
      const asking = cells.filter((one) => given(one).predict);
      unfolds = new Map(asking.map((cell, at) => [cell.id, drawPrediction(cell, at + 1, cells, keep)]));
      restore();
    },
  };
};
