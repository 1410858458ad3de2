// The bar: the course's name, where one is, whether it is saved, and a few tools. Whoever adds a
// tool makes a button and puts it into `TOOLS`.

const SIZES = ["100%", "115%", "130%"];
const SIZE = "cubital-text-size";

const button = (words, press) => {
  const node = element("button", "cubital-tool", words);
  node.type = "button";
  node.addEventListener("click", press);
  return node;
};

const textSize = (say) => {
  const set = (at) => {
    document.documentElement.style.fontSize = SIZES[at];
    localStorage.setItem(SIZE, String(at));
  };
  const now = () => Number(localStorage.getItem(SIZE) ?? 0) % SIZES.length;
  if (now()) set(now());
  return button("Text size", () => {
    set((now() + 1) % SIZES.length);
    say(`Text at ${SIZES[now()].replace("%", " %")}`);
  });
};

const TOOLS = [
  textSize,
  () => button("Help", () => help.showModal()),
  () => button("Print", () => print()),
];

const makeBar = () => {
  const bar = element("header", "cubital-bar");
  const name = element("a", "cubital-name", "Cubital");
  name.setAttribute("aria-label", "Cubital: the first page");
  const where = element("span", "cubital-where");
  const saved = element("span", "cubital-saved");
  saved.setAttribute("role", "status");
  const tools = element("div", "cubital-tools");
  tools.id = "cubital-tools";
  const more = button("More", () => {
    const open = more.getAttribute("aria-expanded") !== "true";
    more.setAttribute("aria-expanded", String(open));
  });
  more.classList.add("cubital-more");
  more.setAttribute("aria-expanded", "false");
  more.setAttribute("aria-controls", tools.id);
  const spoken = element("span", "cubital-spoken");
  spoken.setAttribute("role", "status");
  tools.append(...TOOLS.map((make) => make((words) => { spoken.textContent = words; })), spoken);
  bar.append(name, where, makeWho(), saved, more, tools);
  const states = new Map();
  const showSaved = () => {
    const all = [...states.values()];
    const state = ["unsaved", "refused", "saved"].find((one) => all.includes(one)) ?? "";
    const refused = all.filter((one) => one === "refused").length;
    const words = {
      saved: "Saved",
      unsaved: "Not saved yet",
      refused: refused === 1 ? "1 answer not taken" : `${refused} answers not taken`,
    }[state] ?? "";
    if (saved.textContent === words) return;
    saved.dataset.state = state;
    saved.textContent = words;
  };
  document.addEventListener("cubital-saving", ({ detail: { part: one, state } }) => {
    states.set(one, state);
    showSaved();
  });
  return {
    bar,
    // What stands in the bar of the page at `path` with this title.
    show: (path, title) => {
      where.textContent = title;
      name.href = addressOf(pageOf("../lessons/00-start-here.ipynb", path).path);
    },
    // Nothing is entered on the page that comes.
    begin: () => {
      document.dispatchEvent(new CustomEvent("cubital-turned", { detail: here.path }));
      states.clear();
      showSaved();
    },
    // Parts that are drawn anew say for themselves how they stand; until then nothing is said.
    forgetParts: () => {
      states.clear();
      showSaved();
    },
  };
};
