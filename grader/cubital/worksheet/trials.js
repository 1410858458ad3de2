// A form of short trials: one shown at a time, by number, and its frames. What is said of each is one
// answer of the whole.

// The frames of one file lie below each other. A file is decoded when its trial is shown.
function film(width, height, files) {
  const decoded = new Map();
  return (number) => {
    if (!decoded.has(number)) {
      const file = files[number];
      const bytes = new Uint8Array(file.buffer ?? file, file.byteOffset ?? 0, file.byteLength);
      decoded.set(number, createImageBitmap(new Blob([bytes], { type: "image/jpeg" })));
    }
    return decoded.get(number);
  };
}

function trials(model, id, send) {
  const parts = model.get("parts");
  const { width, height, frames, files, closing } = parts;
  const numbers = parts.trials;
  const decode = film(width, height, files);
  let said = {};
  let shown = 0;
  const value = () => ({ said, way: closing ? ways.chosen() : null });

  const question = element("p", "cubital-question", model.get("question"));
  question.id = `${id}-question`;
  const hint = element("p", "cubital-hint", model.get("hint"));
  hint.id = `${id}-hint`;
  const note = element("p", "cubital-hint", "Simulated, not clinically validated.");

  const canvas = element("canvas", "cubital-frame");
  Object.assign(canvas, { width, height });
  canvas.setAttribute("role", "img");
  const picture = view(id, parts, [canvas]);
  let drawing = 0;
  const draw = async () => {
    const turn = ++drawing;
    const [trial, frame] = [shown, moving ? moving.value() : 0];
    canvas.setAttribute("aria-label", `Trial ${trial + 1}, frame ${frame}: dark bands on grey, simulated`);
    const image = await decode(trial);
    if (turn !== drawing) return;
    canvas.getContext("2d").drawImage(image, 0, frame * height, width, height, 0, 0, width, height);
    canvas.dataset.drawn = `${trial + 1}/${frame}`;
  };

  const moving = frames > 1 ? reel(id, frames, () => draw()) : null;

  const list = element("div", "cubital-trial-list");
  list.setAttribute("role", "group");
  list.setAttribute("aria-label", "Trials");
  const buttons = numbers.map((number, n) => {
    const button = element("button", "cubital-plain", number);
    button.type = "button";
    button.addEventListener("click", () => go(n));
    list.append(button);
    return button;
  });
  const group = element("fieldset", "cubital-choices");
  const legend = element("legend", "cubital-label");
  const choices = options(parts.options, id, (key) => {
    said = { ...said, [numbers[shown]]: key };
    mark();
    send(value(), true);
  });
  const next = element("button", "cubital-plain", "Next trial");
  next.type = "button";
  next.addEventListener("click", () => go((shown + 1) % numbers.length));
  group.append(legend, ...choices.labels);

  const words = element("details", "cubital-words");
  const mark = () => {
    buttons.forEach((button, n) => {
      const isDone = numbers[n] in said;
      button.dataset.done = isDone;
      button.textContent = `${numbers[n]}${isDone ? " ✓" : ""}`;
      button.setAttribute("aria-label", `Trial ${numbers[n]}, ${isDone ? "answered" : "not answered"}`);
      button.setAttribute("aria-pressed", String(n === shown));
    });
    legend.textContent = `Trial ${numbers[shown]} of ${numbers.length}`;
    choices.choose(said[numbers[shown]] ?? null);
  };
  const go = (number) => {
    moving?.stop();
    shown = number;
    mark();
    const text = parts.words[number];
    const lines = text ? text.split("\n").map((line) => element("p", "cubital-line", line)) : [];
    words.replaceChildren(element("summary", "", `Trial ${numbers[number]} in words and numbers`), ...lines);
    words.hidden = !text;
    if (moving) moving.set(0);
    else draw();
  };

  const last = element("fieldset", "cubital-choices");
  const ways = options(parts.ways, `${id}-way`, () => send(value(), true));
  last.append(element("legend", "cubital-label", closing), ...ways.labels);

  const whole = element("div", "cubital-trials");
  whole.setAttribute("role", "group");
  whole.setAttribute("aria-labelledby", `${id}-question`);
  whole.setAttribute("aria-describedby", `${id}-hint ${id}-status`);
  whole.append(question, hint, note, list, picture.box, ...(moving ? [moving.row] : []), picture.looks, group, next, words);
  if (closing) whole.append(last);
  go(0);
  return {
    nodes: [whole],
    show: (entered) => {
      said = { ...(entered?.said ?? {}) };
      if (closing) ways.choose(entered?.way ?? null);
      mark();
    },
    disable: (yes) => {
      choices.disable(yes);
      ways.disable(yes);
    },
  };
}
