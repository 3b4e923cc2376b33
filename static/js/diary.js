// The diary: arrows between the cells, "a" for a day as prescribed, a week a screen.
"use strict";

const CELLS = "td > input:not([type=hidden], [data-aside])";
const cells = (place) => [...place.querySelectorAll(CELLS)].filter((cell) => cell.checkVisibility());

const enter = (cell) => {
  cell?.focus();
  if (cell?.type === "number") cell.select();
  return Boolean(cell);
};

// Writes sets, last set and load of the row; the pain is left to be typed, so the focus goes there.
const prescribe = (row) => {
  const { sets, last, load } = row.closest("[data-diary]").dataset;
  const inputs = cells(row);
  [sets, last, load].forEach((value, place) => (inputs[place].value = value));
  enter(inputs.slice(3).find((cell) => cell.value === "") ?? inputs[3]);
  for (const kind of ["input", "change"]) inputs[0].dispatchEvent(new Event(kind, { bubbles: true }));
};

// A week that is typed in whole has no cells to go to.
const turn = (week, to) => {
  const weeks = [...week.parentElement.querySelectorAll(".week:has(td > input)")];
  const other = weeks[weeks.indexOf(week) + to];
  if (!other) return false;
  other.open = true;
  const all = cells(other);
  return enter(to > 0 ? all[0] : all.at(-1));
};

const moveOn = (cell, steps) => {
  const week = cell.closest(".week");
  const all = cells(week);
  const other = all[all.indexOf(cell) + steps];
  if (other ? enter(other) : turn(week, steps)) return true;
  // After the last cell comes the button; Enter must not press it from inside a cell.
  if (steps > 0) cell.form.querySelector("[name=done]").focus();
  return steps > 0;
};

// From a remark the day after is next.
const nextDay = (remark) => {
  const week = remark.closest(".week");
  const after = (cell) => remark.compareDocumentPosition(cell) & Node.DOCUMENT_POSITION_FOLLOWING;
  if (enter(cells(week).find(after)) || turn(week, 1)) return true;
  remark.form.querySelector("[name=done]").focus();
  return true;
};

const CELL_KEYS = {
  r: (cell) => enter(cell.closest("tr").querySelector("[data-aside]")),
  a: (cell) => prescribe(cell.closest("tr")) ?? true,
  Enter: (cell) => moveOn(cell, 1),
  ArrowRight: (cell) => moveOn(cell, 1),
  ArrowLeft: (cell) => moveOn(cell, -1),
  PageDown: (cell) => turn(cell.closest(".week"), 1),
  PageUp: (cell) => turn(cell.closest(".week"), -1),
};

// In the capture phase: a grid's own keys come after.
document.addEventListener("keydown", (event) => {
  const { ctrlKey, metaKey, altKey, target } = event;
  if (ctrlKey || metaKey || altKey || !target.closest("[data-diary] td")) return;
  const keys = target.matches("[data-aside]") ? { Enter: nextDay } : target.matches(CELLS) ? CELL_KEYS : {};
  if (!keys[event.key]?.(target)) return;
  event.preventDefault();
  event.stopPropagation();
}, true);

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-prescribed]");
  if (button) prescribe(button.closest("tr"));
});

// What works by this file alone is hidden without it.
const showAids = () => document.querySelectorAll("[data-prescribed], [data-keys]").forEach((only) => (only.hidden = false));
showAids();

// Of the weeks only one is open, so a week that comes in while the old ones are still there is closed by them.
document.addEventListener("htmx:afterSwap", () => {
  showAids();
  const weeks = [...document.querySelectorAll(".week")];
  const next = weeks.find((week) => week.matches("[data-open]"));
  if (next && !weeks.some((week) => week.open)) next.open = true;
});
