// Who learns here, on a computer that others may use: “Not you?” leads to the page that asks for a
// name, “Finish here” to the one that clears this computer. Neither is there where the course runs
// for one learner alone, as on a hub.

// A page of another learner's, or of nobody's, keeps no name of the one before.
let ownFolder = "";
document.addEventListener("cubital-turned", ({ detail: path }) => {
  if (!path.startsWith(ownFolder)) {
    document.dispatchEvent(new CustomEvent("cubital-opened", { detail: {} }));
  }
});
document.addEventListener("cubital-opened", ({ detail: { who } }) => {
  ownFolder = who?.name ? here.path.replace(/[^/]*$/, "").replace(/[^/]*\/$/, "") : "";
});

const toPage = (words, key) => {
  const link = element("a", "cubital-tool", words);
  link.hidden = true;
  document.addEventListener("cubital-opened", ({ detail: { who } }) => {
    link.hidden = !who?.[key];
    if (who?.[key]) link.href = addressOf(who[key]);
  });
  return link;
};

TOOLS.push(
  () => toPage("Not you?", "not_you"),
  () => toPage("Finish here", "finish"),
);

const makeWho = () => {
  const who = element("span", "cubital-who");
  document.addEventListener("cubital-opened", ({ detail }) => {
    who.textContent = detail.who?.name ?? "";
  });
  return who;
};
