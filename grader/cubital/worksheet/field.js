// One answer field. Everything shown comes from the model as text; what is typed goes to the
// kernel, which checks and saves it. Until the kernel says so, the field says "Not saved yet".
const PAUSE_MS = 800;

function make(tag, className, text) {
  const node = document.createElement(tag);
  if (className) node.className = className;
  if (text !== undefined) node.textContent = text;
  return node;
}

// Keys pressed in a field must not reach the notebook's own commands.
function keepKeys(root) {
  root.dataset.lmSuppressShortcuts = "true";
  root.addEventListener("keydown", (event) => {
    const passes = event.key === "Tab" || event.key === "Escape" || event.ctrlKey || event.metaKey;
    if (!passes) event.stopPropagation();
  });
}

function render({ model, el }) {
  const id = `cubital-${model.get("item")}-${Math.random().toString(36).slice(2, 10)}`;
  const root = make("div", "cubital-field");
  const status = make("p", "cubital-status");
  status.id = `${id}-status`;
  status.setAttribute("role", "status");
  let pause;

  const send = (typed, final) => {
    clearTimeout(pause);
    model.send({ typed, final });
  };
  const typing = (typed) => {
    clearTimeout(pause);
    root.dataset.state = "typing";
    status.textContent = "Not saved yet.";
    pause = setTimeout(() => send(typed, false), PAUSE_MS);
  };

  const control = model.get("options").length ? choice(model, id, send) : box(model, id, typing, send);
  root.append(...control.nodes, status);

  const showStatus = () => {
    root.dataset.state = model.get("state");
    status.textContent = model.get("status");
    control.refused(model.get("state") === "refused");
  };
  const showTyped = () => control.show(model.get("typed"), model.get("state"));
  model.on("change:status change:state change:stamp", showStatus);
  model.on("change:typed", showTyped);
  root.addEventListener("focusin", () => {
    if (root.dataset.state !== "typing" && root.dataset.state !== "refused") model.send({ look: true });
  });
  showTyped();
  showStatus();
  keepKeys(root);
  el.append(root);
  model.send({ look: true }); // something may have been saved while this page was loading
  return () => clearTimeout(pause);
}

function box(model, id, typing, send) {
  const long = model.get("long");
  const question = make("p", "cubital-question", model.get("question"));
  question.id = `${id}-question`;
  const label = make("label", "cubital-label", model.get("label"));
  const input = make(long ? "textarea" : "input", "cubital-input");
  input.id = label.htmlFor = `${id}-input`;
  const hint = make("p", "cubital-hint", model.get("hint"));
  hint.id = `${id}-hint`;
  if (long) input.rows = 6;
  else Object.assign(input, { type: "text", autocomplete: "off", spellcheck: false });
  input.setAttribute("aria-describedby", `${id}-question ${id}-hint ${id}-status`);
  input.disabled = model.get("state") === "blocked";
  input.addEventListener("input", () => typing(input.value));
  input.addEventListener("change", () => send(input.value, true));
  return {
    nodes: [question, label, input, hint],
    show: (typed) => {
      if (document.activeElement !== input || input.value === "") input.value = typed;
    },
    refused: (yes) => input.setAttribute("aria-invalid", String(yes)),
  };
}

function choice(model, id, send) {
  const group = make("fieldset", "cubital-choices");
  group.append(make("legend", "cubital-question", model.get("question")));
  group.setAttribute("aria-describedby", `${id}-status`);
  const inputs = model.get("options").map(({ key, text }) => {
    const label = make("label", "cubital-choice");
    const input = make("input");
    Object.assign(input, { type: "radio", name: id, value: key });
    input.disabled = model.get("state") === "blocked";
    input.addEventListener("change", () => send(key, true));
    label.append(input, make("span", "", text));
    group.append(label);
    return input;
  });
  return {
    nodes: [group],
    show: (typed) => inputs.forEach((input) => (input.checked = input.value === typed)),
    refused: () => {},
  };
}

export default { render };
