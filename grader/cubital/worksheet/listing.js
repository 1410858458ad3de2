// Forms that are lists: options, a decision with its reason, steps to put in order, a table of one answer a row.
// Each form gives its nodes, shows what was saved, and hands a change on by `send`.

function radio(name, value, checked, whenChosen) {
  const input = element("input");
  Object.assign(input, { type: "radio", name, value, checked });
  input.addEventListener("change", whenChosen);
  return input;
}

function options(list, name, send) {
  const inputs = list.map(({ key }) => radio(name, key, false, () => send(key)));
  const labels = list.map(({ text }, n) => {
    const label = element("label", "cubital-choice");
    label.append(inputs[n], element("span", "", text));
    return label;
  });
  return {
    labels,
    chosen: () => inputs.find((input) => input.checked)?.value ?? null,
    choose: (key) => inputs.forEach((input) => (input.checked = input.value === key)),
    disable: (yes) => inputs.forEach((input) => (input.disabled = yes)),
  };
}

function choice(model, id, send) {
  const group = element("fieldset", "cubital-choices");
  const list = options(model.get("parts").options, id, (key) => send(key, true));
  group.append(element("legend", "cubital-question", model.get("question")), ...list.labels);
  group.setAttribute("aria-describedby", `${id}-status`);
  return { nodes: [group], show: list.choose, disable: list.disable };
}

// What is done and what decided it: two groups of options under one story, in one answer.
function decision(model, id, send) {
  const whole = element("div", "cubital-decision");
  whole.setAttribute("role", "group");
  whole.setAttribute("aria-labelledby", `${id}-question`);
  whole.setAttribute("aria-describedby", `${id}-hint ${id}-status`);
  const question = element("p", "cubital-question", model.get("question"));
  question.id = `${id}-question`;
  const hint = element("p", "cubital-hint", model.get("hint"));
  hint.id = `${id}-hint`;
  const groups = model.get("parts").groups.map(({ name, asked, options: listed }) => {
    const group = element("fieldset", "cubital-choices");
    const list = options(listed, `${id}-${name}`, () => send(value(), true));
    group.append(element("legend", "cubital-asked", asked), ...list.labels);
    group.setAttribute("aria-describedby", `${id}-status`);
    return { name, group, list };
  });
  const value = () =>
    Object.fromEntries(groups.map(({ name, list }) => [name, list.chosen()]).filter(([, key]) => key));
  whole.append(question, hint, ...groups.map(({ group }) => group));
  return {
    nodes: [whole],
    show: (entered) => groups.forEach(({ name, list }) => list.choose(entered?.[name])),
    disable: (yes) => groups.forEach(({ list }) => list.disable(yes)),
  };
}

function order(model, id, send) {
  const group = element("div", "cubital-order");
  group.setAttribute("role", "group");
  group.setAttribute("aria-labelledby", `${id}-question`);
  group.setAttribute("aria-describedby", `${id}-hint ${id}-status`);
  const question = element("p", "cubital-question", model.get("question"));
  question.id = `${id}-question`;
  const hint = element("p", "cubital-hint", model.get("hint"));
  hint.id = `${id}-hint`;
  const list = element("ol", "cubital-steps");
  const asShown = element("button", "cubital-plain", "Save this order");
  asShown.type = "button";
  const said = element("p", "cubital-said");
  said.setAttribute("role", "status");
  const texts = Object.fromEntries(model.get("parts").steps.map(({ key, text }) => [key, text]));
  let keys = Object.keys(texts);
  let disabled = false;

  const move = (key, by) => {
    const from = keys.indexOf(key);
    const to = from + by;
    if (to < 0 || to >= keys.length) return;
    keys.splice(from, 1);
    keys.splice(to, 0, key);
    draw();
    const label = by < 0 ? "up" : "down";
    const buttons = list.children[to].querySelectorAll("button");
    const wanted = [...buttons].find((button) => button.dataset.way === label && !button.disabled);
    (wanted ?? [...buttons].find((button) => !button.disabled)).focus();
    said.textContent = `Now number ${to + 1} of ${keys.length}: ${texts[key]}`;
    send(keys, true);
  };

  const draw = () => {
    list.replaceChildren(
      ...keys.map((key, place) => {
        const row = element("li", "cubital-step");
        row.append(element("span", "cubital-step-text", texts[key]));
        for (const [way, by, words] of [["up", -1, "Earlier"], ["down", 1, "Later"]]) {
          const button = element("button", "cubital-plain", words);
          Object.assign(button, { type: "button" });
          button.dataset.way = way;
          button.setAttribute("aria-label", `${words}: ${texts[key]}`);
          button.disabled = disabled || (way === "up" ? place === 0 : place === keys.length - 1);
          button.addEventListener("click", () => move(key, by));
          row.append(button);
        }
        return row;
      }),
    );
    asShown.disabled = disabled;
  };
  asShown.addEventListener("click", () => send(keys, true));
  draw();
  group.append(question, hint, list, asShown, said);
  return {
    nodes: [group],
    show: (entered) => {
      if (!Array.isArray(entered) || entered.join() === keys.join()) return;
      keys = [...entered];
      draw();
    },
    disable: (yes) => {
      if (disabled === yes) return;
      disabled = yes;
      draw();
    },
  };
}

function table(model, id, send) {
  const { rows, columns } = model.get("parts");
  const wrap = element("div", "cubital-table");
  const node = element("table");
  const caption = element("caption", "cubital-question", model.get("question"));
  const head = element("tr");
  head.append(element("td"), ...columns.map(({ text }) => {
    const cell = element("th", "", text);
    cell.scope = "col";
    return cell;
  }));
  const header = element("thead");
  header.append(head);
  const body = element("tbody");
  const inputs = rows.map((row, number) => {
    const line = element("tr");
    const name = element("th", "", row.text);
    name.scope = "row";
    const own = columns.map(({ key, text }) => {
      const input = radio(`${id}-${number}`, key, false, () => send(value(), true));
      input.setAttribute("aria-label", `${row.text}: ${text}`);
      return input;
    });
    line.append(name, ...own.map((input, at) => {
      const cell = element("td");
      const label = element("label", "cubital-cell");
      label.append(input, element("span", "cubital-narrow", columns[at].text));
      cell.append(label);
      return cell;
    }));
    body.append(line);
    return own;
  });
  const value = () =>
    Object.fromEntries(
      rows.map(({ key }, n) => [key, inputs[n].find((input) => input.checked)?.value]).filter(([, v]) => v),
    );
  node.append(caption, header, body);
  wrap.append(node);
  return {
    nodes: [wrap],
    show: (entered) =>
      rows.forEach(({ key }, n) =>
        inputs[n].forEach((input) => (input.checked = input.value === entered?.[key])),
      ),
    disable: (yes) => inputs.flat().forEach((input) => (input.disabled = yes)),
  };
}
