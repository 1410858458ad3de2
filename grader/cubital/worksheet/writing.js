// Forms that take Python: one line behind the word return, or the lines below a function's first.

// What the names in the box stand for, with this learner's numbers.
function namesTable(rows) {
  const table = element("table", "cubital-names");
  table.append(element("caption", "", "Names that you can use"));
  const meant = rows.some(({ meaning }) => meaning);
  const titles = meant ? ["name", "stands for", "on your values"] : ["name", "on your values"];
  const head = element("tr");
  for (const title of titles) {
    const cell = element("th", "", title);
    cell.scope = "col";
    head.append(cell);
  }
  const header = element("thead");
  header.append(head);
  const body = element("tbody");
  for (const { name, meaning, value } of rows) {
    const line = element("tr");
    const first = element("th");
    first.scope = "row";
    first.append(element("code", "", name));
    line.append(first, ...(meant ? [element("td", "", meaning)] : []), element("td", "", value));
    body.append(line);
  }
  table.append(header, body);
  return table;
}

function python(model, id, send, typing) {
  const { before, names } = model.get("parts");
  const oneLine = model.get("kind") === "expression";
  const question = element("p", "cubital-question", model.get("question"));
  question.id = `${id}-question`;
  const label = element("label", "cubital-label", model.get("label"));
  const row = element("div", oneLine ? "cubital-line" : "cubital-lines");
  const word = element("code", "cubital-before", before);
  word.id = `${id}-before`;
  const input = element("textarea", "cubital-input cubital-code");
  input.id = label.htmlFor = `${id}-input`;
  Object.assign(input, { rows: oneLine ? 2 : 8, autocomplete: "off", spellcheck: false });
  input.setAttribute("autocapitalize", "off");
  input.setAttribute("autocorrect", "off");
  const hint = element("p", "cubital-hint", model.get("hint"));
  hint.id = `${id}-hint`;
  input.setAttribute(
    "aria-describedby",
    `${id}-question ${id}-before ${id}-hint ${id}-status`,
  );
  input.addEventListener("input", () => typing(input.value));
  input.addEventListener("change", () => send(input.value, true));
  if (oneLine) {
    input.addEventListener("keydown", (event) => {
      if (event.key !== "Enter") return;
      event.preventDefault(); // one line: Enter hands it over
      send(input.value, true);
    });
  }
  row.append(word, input);
  return {
    nodes: [question, namesTable(names), label, row, hint],
    show: (entered, isForced) => {
      const shown = entered ?? "";
      const isInHand = document.activeElement === input && input.value !== "" && !isForced;
      if (!isInHand && input.value !== shown) input.value = shown;
    },
    disable: (yes) => (input.disabled = yes),
    refused: (yes) => input.setAttribute("aria-invalid", String(yes)),
  };
}
