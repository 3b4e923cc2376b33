// “?” shows the keys of the page; Escape leads back from a source to the figure that it belongs to.
"use strict";

// The page of all keys, which brings the frame of the map; not there for who switched “?” off.
const allKeys = document.querySelector("a[data-opens-key-map]");

// A field that takes letters; on a key of a scale or a box to tick “?” means nothing else.
const takesText = (place) =>
  place.matches("textarea, select, [contenteditable], input:not([type=radio], [type=checkbox])");

// What is seen of it: a button may have other words for another choice, and a field has its words beside it.
const wordsOf = (control) => control.innerText.replace(/\s+/g, " ").trim() || control.ariaLabel || control.title;

const line = (key, words) => {
  const [term, does, cap] = ["dt", "dd", "kbd"].map((name) => document.createElement(name));
  cap.textContent = key;
  term.append(cap);
  does.textContent = words;
  return [term, does];
};

const fetchedMap = async () => {
  const page = await (await fetch(allKeys.href)).text();
  const map = new DOMParser().parseFromString(page, "text/html").querySelector("[data-key-map]");
  document.body.append(map);
  return map;
};

const openKeyMap = async () => {
  const keyMap = document.querySelector("[data-key-map]") ?? (await fetchedMap());
  const here = [...document.querySelectorAll("main [accesskey]")].filter((control) => control.checkVisibility());
  keyMap.querySelector("dl").replaceChildren(...here.flatMap((one) => line(one.accessKey, wordsOf(one))));
  keyMap.querySelector("[data-some]").hidden = here.length === 0;
  for (const place of keyMap.querySelectorAll("[data-where]"))
    place.hidden = ![...document.querySelectorAll(`main ${place.dataset.where}`)].some((one) => one.checkVisibility());
  keyMap.showModal();
};

let figure = null;

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "Escape" && figure && !document.querySelector("dialog[open]")) {
    figure.focus();
    figure = null;
  }
  if (event.key !== "?" || !allKeys || takesText(event.target) || document.querySelector("dialog[open]")) return;
  event.preventDefault();
  openKeyMap().catch(() => location.assign(allKeys.href));
});

document.addEventListener("click", (event) => {
  event.target.closest("[data-key-map] button")?.closest("dialog").close();
  const letter = event.target.closest("a.ref[href^='#']");
  const source = letter && document.getElementById(letter.hash.slice(1));
  if (!source) return;
  figure = letter;
  source.tabIndex = -1;
  source.focus();
});
