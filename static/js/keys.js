// Typing instead of pointing: digits on a scale, Enter and arrows in a grid, "no" to all the rest.
"use strict";

const TEN_WITHIN_MS = 600;
let last = { key: "", scale: null, at: 0 };

const choose = (radio) => {
  radio.checked = true;
  radio.focus();
  radio.dispatchEvent(new Event("input", { bubbles: true }));
  radio.dispatchEvent(new Event("change", { bubbles: true }));
};

const typeRating = (event, scale) => {
  const follows = (key) => last.key === key && last.scale === scale;
  const ten = event.key === "0" && follows("1") && event.timeStamp - last.at < TEN_WITHIN_MS;
  const below = follows("-") && /^[1-9]$/.test(event.key);
  last = { key: event.key, scale, at: event.timeStamp };
  const blank = event.key === "Backspace" || event.key === "Delete";
  const value = blank ? "" : ten ? "10" : below ? `-${event.key}` : event.key;
  const radio = [...scale.querySelectorAll("input[type=radio]")].find((key) => key.value === value);
  if (!radio) return;
  event.preventDefault();
  choose(radio);
};

// A group of radio buttons is one stop: the chosen one, or the first.
const standsFor = (radio) => {
  const group = [...document.getElementsByName(radio.name)];
  return group.find((other) => other.checked) ?? group[0];
};
const stop = (control) => (control.type === "radio" ? standsFor(control) : control);

// What Tab leaves out, Enter and the arrows leave out too.
const STOPS = "input:not([type=hidden], [tabindex='-1']), select:not([tabindex='-1'])";

const controls = (place) =>
  [...place.querySelectorAll(STOPS)].filter(
    (c) => !c.disabled && c.checkVisibility() && c === stop(c),
  );

const goTo = (event, control) => {
  if (!control) return;
  event.preventDefault();
  control.focus();
  control.select?.();
};

const moveInGrid = (event, grid) => {
  const all = controls(grid);
  if (event.key === "Enter") return goTo(event, all[all.indexOf(stop(event.target)) + 1]);
  const row = event.target.closest("tr");
  if (!row || event.target.type === "radio") return;
  const steps = { ArrowUp: "previousElementSibling", ArrowDown: "nextElementSibling" };
  const column = controls(row).indexOf(event.target);
  let other = row[steps[event.key]];
  while (other && !controls(other)[column]) other = other[steps[event.key]];
  if (other) goTo(event, controls(other)[column]);
};

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const scale = event.target.closest("[data-scale]");
  if (scale && /^(\d|-|Backspace|Delete)$/.test(event.key)) typeRating(event, scale);
  const grid = event.target.closest("[data-grid]");
  if (grid && event.target.matches(STOPS) && /^(Enter|ArrowUp|ArrowDown)$/.test(event.key)) {
    if (event.target.tagName !== "SELECT" || event.key === "Enter") moveInGrid(event, grid);
  }
});

// A button[data-no-to-rest] answers "no" (or its own value) wherever a table [data-all-no] of its form has no
// answer yet.
document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-no-to-rest]");
  if (!button) return;
  const names = new Set();
  const place = button.form ?? document;
  const no = button.dataset.noToRest || "no";
  const radios = [...place.querySelectorAll("[data-all-no] input[type=radio]")];
  radios.filter((radio) => radio.checked).forEach((radio) => names.add(radio.name));
  const open = radios.filter((radio) => radio.value === no && !names.has(radio.name));
  open.forEach((radio) => (radio.checked = true));
  open.at(-1)?.dispatchEvent(new Event("change", { bubbles: true }));
});

// A link of the error summary leads into its field; of a group of keys into the group, not only to the frame around it.
// The address stays as it is: with a # in it, the page after saving would open at the field, below the word that it is
// saved. What stands in a closed part is left to the browser, which opens the part.
document.addEventListener("click", (event) => {
  const link = event.target.closest(".error-summary a[href^='#']");
  const place = link && document.getElementById(link.hash.slice(1));
  const first = place?.matches("fieldset") ? place.querySelector("input") : place;
  const field = first?.matches("input, select, textarea") ? stop(first) : null;
  if (!field?.checkVisibility()) return;
  event.preventDefault();
  field.focus();
});

// Errors and conflicts take the focus, on a fresh page and after a swap, and so does what a link or button of the page
// before was about; on a short form, without a summary, the field does. A form that saves itself never takes it away
// from somebody who is typing.
const focusOnTrouble = (root, otherwise) => {
  if (document.activeElement?.matches("input, select, textarea")) return;
  (root.querySelector("[data-focus]") ?? otherwise)?.focus();
};
focusOnTrouble(document, document.querySelector("main [aria-invalid=true]"));
document.addEventListener("htmx:afterSwap", (event) => focusOnTrouble(event.target));
