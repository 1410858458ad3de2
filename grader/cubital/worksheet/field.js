// One answer field. Everything shown comes from the model as text; what is entered goes to the
// kernel, which checks and saves it. Until the kernel says what the file holds, the field says "Not
// saved yet".
const PAUSE_MS = 800;
const LATE_MS = 1000; // without a reply, it is said that it is tried again
const AGAIN_MS = 2000; // after which what could not be written is given again
const SAVING = { saved: "saved", typing: "unsaved", refused: "refused", trying: "unsaved" };

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
    show: (entered, isForced) => {
      const shown = entered ?? "";
      const isInHand = document.activeElement === input && input.value !== "" && !isForced;
      if (!isInHand && input.value !== shown) input.value = shown;
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
const FORMS = { "": blank, choice, decision, order, table, place, series, trials, expression: python, code: python };

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
    show: (share, isForced) => {
      if (document.activeElement !== select || isForced) select.value = share === null ? "" : String(share);
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
  let handed = turn; // the turn of what was given to the kernel last
  let replied = turn; // the turn of its last reply
  let waiting = null; // what was given to the kernel and is not in the file yet
  let late;
  let again;
  const next = () => (turn = Math.max(turn, model.get("heard")) + 1);
  const unsaved = (words) => {
    root.dataset.state = "typing";
    tellSaving(root, "unsaved");
    status.textContent = words;
  };
  const stopTimers = () => [pause, late, again].forEach(clearTimeout);
  const give = (entered, final) => {
    stopTimers();
    last = entered;
    waiting = { entered, final };
    handed = next();
    model.send({ entered, final, turn, confidence: sure?.value() ?? null });
    tellWaiting(root, true);
    late = setTimeout(() => unsaved("Not saved yet, trying again."), LATE_MS);
  };
  const hand = (entered, final) => {
    unsaved("Not saved yet.");
    give(entered, final);
  };
  const send = (entered, final) => hand(entered, final && !once);
  const typing = (entered) => {
    stopTimers();
    next();
    waiting = null;
    meant.hidden = true;
    unsaved("Not saved yet.");
    last = entered;
    pause = setTimeout(() => send(entered, false), PAUSE_MS);
  };

  const form = (FORMS[model.get("kind")] ?? box)(model, id, send, typing);
  const sure = model.get("levels").length
    ? certainty(model, id, () => (last ?? "") !== "" && send(last, true))
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
  const show = () => {
    const heard = model.get("heard");
    if (heard >= handed) tellWaiting(root, false);
    if (isLate()) return;
    stopTimers();
    const state = model.get("state");
    const isReply = heard !== replied;
    replied = heard;
    // What the file holds stands in the field; in reply to what is in hand here, that is the same.
    if (state === "saved" || state === "empty") {
      last = model.get("entered");
      form.show(last, !isReply);
      sure?.show(model.get("confidence"), !isReply);
    }
    if (state !== "trying") waiting = null;
    else again = setTimeout(() => waiting && give(waiting.entered, waiting.final), AGAIN_MS);
    root.dataset.state = state;
    root.dataset.told = model.get("told_wrong") ? "wrong" : "";
    tellSaving(root, SAVING[state] ?? "");
    status.textContent = model.get("status");
    form.refused?.(state === "refused");
    meant.hidden = model.get("meant") === "";
    meant.textContent = `Yes, ${model.get("meant")}`;
    if (!meant.hidden && root.contains(document.activeElement)) meant.scrollIntoView({ block: "nearest" });
    form.disable(state === "blocked");
    sure?.disable(state === "blocked");
  };
  // Where Python's files are in memory, "saved" waits until the browser has stored them.
  const changed = async () => {
    const heard = model.get("heard");
    if (model.get("state") !== "saved" || !window.cubitalStored) return show();
    const isNow = () => model.get("heard") === heard && !isLate() && root.isConnected;
    const error = await window.cubitalStored().then(() => null, (reason) => reason);
    if (!isNow()) return undefined;
    if (!error) return show();
    stopTimers();
    tellWaiting(root, false);
    unsaved("Not saved: this browser has stored nothing. Save your file, in the bar above.");
    again = setTimeout(changed, AGAIN_MS);
    return undefined;
  };
  model.on("change:stamp", changed);
  show();
  keepKeys(root);
  el.append(root);
  model.send({ look: true }); // something may have been saved while this page was loading

  // What is in hand and not in the file. What comes back after a reload is not put over an answer
  // that was saved since.
  const read = () => {
    const { state } = root.dataset;
    if (!["typing", "refused", "trying"].includes(state)) return null;
    const final = waiting?.final ?? state === "refused";
    const question = model.get("question");
    return { entered: last, final, sure: sure?.value() ?? null, over: model.get("entered"), question };
  };
  // What was typed to another question, of a release that this one replaced, is no answer here.
  const write = ({ entered, final, sure: share, over, question, isStored }) => {
    if (question !== model.get("question")) return;
    if (isStored && JSON.stringify(over) !== JSON.stringify(model.get("entered"))) return;
    form.show(entered, true);
    sure?.show(share, true);
    send(entered, final);
  };
  keepState(root, "answer", read, write, { isTyped: true });
  return () => {
    stopTimers();
    tellWaiting(root, false);
    model.off("change:stamp", changed);
  };
}

export default { render };
