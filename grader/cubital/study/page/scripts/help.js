// Help: what moves, what is kept, and what to do when something is not as it should be.

const HELP = [
  ["Figures", "Drag a slider, or press Tab to reach it and then the arrow keys. A number can also be typed into its box. Nothing that you move there is marked."],
  ["Answers", "An answer is saved as soon as you leave its box; beneath it stands when. You can stop at any time and come back."],
  ["From page to page", "Press on a link. The browser's Back button leads back. “Cubital”, top left, leads to the first page."],
  ["A computer that others use", "“Finish here”, top right, gives you one file to go on with on any other computer, and takes all of yours off this one. “Not you?” lets somebody else go on under their own name."],
  ["Something is missing or does not move", "Load the page again (F5, or Cmd + R on a Mac). What was saved comes back. If that does not help, close the page and start the course again."],
];

// What was tried for whom, from `assets/accessibility.md`: a name of a tag and its text a row, where
// ** stands around what is strong.
const makeAccessibility = () => {
  const details = element("details");
  details.append(element("summary", "", "Accessibility: what was tried, and what was not"));
  for (const [tag, text] of ACCESSIBILITY) {
    const line = element(tag);
    text.split("**").forEach((words, place) => line.append(place % 2 ? element("strong", "", words) : words));
    if (tag !== "li") details.append(line);
    else {
      if (details.lastChild.tagName !== "UL") details.append(element("ul"));
      details.lastChild.append(line);
    }
  }
  return details;
};

const help = element("dialog", "cubital-help");
help.setAttribute("aria-labelledby", "cubital-help-title");
help.dataset.cubital = "";

const makeHelp = () => {
  const title = element("h2", "", "Help");
  title.id = "cubital-help-title";
  const close = button("Close", () => help.close());
  const words = HELP.flatMap(([about, text]) => [element("h3", "", about), element("p", "", text)]);
  help.append(title, ...words, makeAccessibility(), close);
  return help;
};
