// What only those who want the numbers read: cells in a row whose metadata says `cubital.numbers` stand
// in one fold, closed until it is pressed. The heading of the first, an h3, is what is pressed.

const isNumbers = ({ metadata }) => metadata?.cubital?.numbers === true;

// What stands on the page, in order: the element of a cell, or the fold that a row of them is in.
const foldNumbers = (cells) => {
  const standing = [];
  let fold = null;
  for (const cell of cells) {
    if (!isNumbers(cell)) {
      fold = null;
      standing.push(cell.host);
      continue;
    }
    if (!fold) {
      fold = element("details", "cubital-numbers");
      fold.append(element("summary"));
      standing.push(fold);
    }
    fold.append(cell.host);
  }
  return standing;
};

// Once the texts are drawn.
const nameFolds = (main) => {
  for (const fold of main.querySelectorAll(".cubital-numbers")) {
    fold.firstElementChild.append(fold.querySelector("h3"));
  }
};
