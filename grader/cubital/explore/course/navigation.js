// A small form: Python sends what stands in it, the page sends back what was chosen or pressed.

const makers = {
  say: (block) => element("p", block.strong ? "cubital-strong" : "", block.text),

  radios: (block, id, send) => {
    const set = element("fieldset", "cubital-radios");
    set.append(element("legend", "", block.legend));
    block.options.forEach(([key, words], position) => {
      const row = element("div");
      const input = element("input");
      Object.assign(input, { type: "radio", name: id, id: `${id}-${position}`, value: key });
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
        if (cell.href) {
          const link = element("a", "", cell.text);
          link.href = cell.href;
          box.append(link);
        } else box.textContent = cell.text;
        row.append(box);
      });
      table.tBodies[0].append(row);
    });
    return table;
  },

  button: (block, id, send) => {
    const button = element("button", "cubital-button", block.words);
    button.type = "button";
    button.id = id;
    button.addEventListener("click", () => send(block.name, true));
    return button;
  },
};

function render({ model, el }) {
  const own = `cubital-course-${unique()}`;
  const root = element("section", "cubital-course");
  const spoken = element("p", "cubital-spoken");
  spoken.setAttribute("role", "status");
  const title = element("p", "cubital-title", model.get("title"));
  title.id = `${own}-title`;
  root.setAttribute("aria-labelledby", title.id);
  const body = element("div", "cubital-course-body");
  root.append(title, body, spoken);
  const send = (name, value) => model.send({ name, value });

  const draw = () => {
    const active = root.contains(document.activeElement) ? document.activeElement.id : "";
    body.replaceChildren(
      ...model.get("blocks").map((block, n) => makers[block.kind](block, `${own}-${n}`, send)),
    );
    if (active) document.getElementById(active)?.focus();
    spoken.textContent = model.get("spoken");
  };
  draw();
  model.on("change:blocks", draw);

  // A notebook reads bare keys as commands, so keys stop here.
  root.addEventListener("keydown", (event) => {
    const passes = event.key === "Tab" || event.key === "Escape" || event.ctrlKey || event.metaKey;
    if (!passes) event.stopPropagation();
  });
  el.append(root);
  return () => model.off("change:blocks", draw);
}

export default { render };
