// A letter after a reading strikes the trial out: "30f" becomes 30, and the list under it says "too fast".
"use strict";

const strike = (reading) => {
  const [, number, letter] = /^\s*([\d.,]+)\s*([a-z])\s*$/i.exec(reading.value) ?? [];
  const why = reading.nextElementSibling;
  const option = letter && why.querySelector(`[data-letter="${letter.toLowerCase()}"]`);
  if (!option) return;
  reading.value = number;
  why.value = option.value;
};

// In the capture phase, so that the form saves what the cell now says.
document.addEventListener("change", (event) => event.target.matches("[data-trial]") && strike(event.target), true);
