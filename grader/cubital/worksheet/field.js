// One answer field. Everything shown comes from the model as text; what is entered goes to the
// kernel, which checks and saves it. Until the kernel says so, the field says "Not saved yet".
const PAUSE_MS = 800;
const SAVING = { saved: "saved", typing: "unsaved", refused: "unsaved" };

// Keys pressed in a field must not reach the notebook's own commands.
function keepKeys(root) {
  root.dataset.lmSuppressShortcuts = "true";
  root.addEventListener("keydown", (event) => {
    const passes = event.key === "Tab" || event.key === "Escape" || event.ctrlKey || event.metaKey;
    if (!passes) event.stopPropagation();
  });
}

function box(model, id, send, typing) {
  const long = model.get("kind") === "text";
  const question = element("p", "cubital-question", model.get("question"));
  question.id = `${id}-question`;
  const label = element("label", "cubital-label", model.get("label"));
  const input = element(long ? "textarea" : "input", "cubital-input");
  input.id = label.htmlFor = `${id}-input`;
  const hint = element("p", "cubital-hint", model.get("hint"));
  hint.id = `${id}-hint`;
  if (long) input.rows = 6;
  else Object.assign(input, { type: "text", autocomplete: "off", spellcheck: false });
  input.setAttribute("aria-describedby", `${id}-question ${id}-hint ${id}-status`);
  input.addEventListener("input", () => typing(input.value));
  input.addEventListener("change", () => send(input.value, true));
  return {
    nodes: [question, label, input, hint],
    show: (entered) => {
      if (document.activeElement !== input || input.value === "") input.value = entered ?? "";
    },
    take: (typed) => {
      input.value = typed;
      input.focus();
    },
    disable: (yes) => (input.disabled = yes),
    refused: (yes) => input.setAttribute("aria-invalid", String(yes)),
  };
}

function blank(model) {
  return { nodes: [element("p", "cubital-question", model.get("question"))], show() {}, disable() {} };
}

// A kind without a form of its own here is typed into a line; "" is a question that is blocked.
const FORMS = { "": blank, choice, order, table, place, series, expression: python, code: python };

// How sure the learner is: it goes with the answer and never counts for a mark.
function certainty(model, id, whenChosen) {
  const row = element("div", "cubital-sure");
  const select = element("select");
  select.id = `${id}-sure`;
  const effect = model.get("once") ? "it helps to set the next date" : "never counts";
  const label = element("label", "", `How sure are you? (${effect})`);
  label.htmlFor = select.id;
  select.append(new Option("not said", ""));
  for (const [share, words] of model.get("levels")) {
    select.append(new Option(`${words}, ${Math.round(100 * share)} %`, String(share)));
  }
  select.addEventListener("change", whenChosen);
  row.append(label, select);
  return {
    row,
    value: () => (select.value === "" ? null : Number(select.value)),
    show: (share) => {
      if (document.activeElement !== select) select.value = share === null ? "" : String(share);
    },
    disable: (yes) => (select.disabled = yes),
  };
}

function render({ model, el }) {
  const id = `cubital-${model.get("item")}-${unique()}`;
  const root = element("div", "cubital-field");
  root.dataset.item = model.get("item");
  const status = element("p", "cubital-status");
  status.id = `${id}-status`;
  status.setAttribute("role", "status");
  let pause;
  let last = model.get("entered");

  // Where the first answer alone counts, nothing is final before its button is pressed.
  const once = model.get("once");
  // What is entered is numbered, and the kernel says up to which it heard: an answer to something
  // earlier, such as a look, must not stand as if it were one to what is typed now.
  let turn = model.get("heard");
  // What was saved here is told to the learner's other windows, which then look for themselves.
  const windows = new BroadcastChannel("cubital-saved");
  let isOwn = false;
  windows.addEventListener("message", ({ data }) => {
    if (data === model.get("item")) model.send({ look: true });
  });
  const next = () => (turn = Math.max(turn, model.get("heard")) + 1);
  const hand = (entered, final) => {
    clearTimeout(pause);
    if (entered === null) return nothing();
    last = entered;
    isOwn = true;
    model.send({ entered, final, turn: next(), confidence: sure?.value() ?? null });
  };
  const send = (entered, final) => hand(entered, final && !once);
  const nothing = () => {
    status.textContent = "Nothing is marked: the earlier answer, if there is one, stays saved.";
  };
  const typing = (entered) => {
    clearTimeout(pause);
    next();
    meant.hidden = true;
    root.dataset.state = "typing";
    tellSaving(root, "unsaved");
    status.textContent = "Not saved yet.";
    pause = setTimeout(() => send(entered, false), PAUSE_MS);
  };

  const form = (FORMS[model.get("kind")] ?? box)(model, id, send, typing);
  const sure = model.get("levels").length
    ? certainty(model, id, () => last !== null && last !== "" && send(last, true))
    : null;
  root.append(...form.nodes, ...(sure ? [sure.row] : []));
  if (once) {
    const mine = element("button", "cubital-plain cubital-mine", "This is my answer");
    mine.type = "button";
    mine.addEventListener("click", () => hand(last ?? "", true));
    root.append(mine);
  }
  root.append(status);

  // What is asked back is taken over as if it had been typed; it comes last, so that Tab reaches it
  // from wherever the answer was left.
  const meant = element("button", "cubital-plain cubital-meant");
  meant.type = "button";
  meant.hidden = true;
  meant.addEventListener("click", () => {
    form.take(model.get("meant"));
    hand(model.get("meant"), true);
  });
  root.append(meant);

  const isLate = () => model.get("heard") < turn && model.get("state") !== "blocked";
  const showStatus = () => {
    const state = model.get("state");
    if (isLate()) return;
    root.dataset.state = state;
    tellSaving(root, SAVING[state] ?? "");
    if (isOwn && state === "saved") {
      isOwn = false;
      windows.postMessage(model.get("item"));
    }
    status.textContent = model.get("status");
    form.refused?.(state === "refused");
    meant.hidden = model.get("meant") === "";
    meant.textContent = `Yes, ${model.get("meant")}`;
    if (!meant.hidden && root.contains(document.activeElement)) meant.scrollIntoView({ block: "nearest" });
    form.disable(state === "blocked");
    sure?.disable(state === "blocked");
  };
  const showEntered = () => {
    if (isLate()) return;
    last = model.get("entered");
    form.show(last);
    sure?.show(model.get("confidence"));
  };
  model.on("change:status change:state change:stamp", showStatus);
  model.on("change:entered change:confidence", showEntered);
  root.addEventListener("focusin", () => {
    if (root.dataset.state !== "typing" && root.dataset.state !== "refused") model.send({ look: true });
  });
  showEntered();
  showStatus();
  keepKeys(root);
  el.append(root);
  model.send({ look: true }); // something may have been saved while this page was loading
  return () => {
    clearTimeout(pause);
    windows.close();
  };
}

export default { render };
