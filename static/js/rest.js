// Counts the rest between two squeezes down. It begins when a trial has been typed and left, or by its button, and
// stands in nobody's way: nothing is blocked, nothing moves, and only its end is read out.
"use strict";

const setUpRest = (rest) => {
  const [seconds, left, over] = ["seconds", "left", "over"].map((part) => rest.querySelector(`[data-${part}]`));
  let ends = 0;
  let clock = null;

  const stop = (words) => {
    clearInterval(clock);
    left.textContent = "";
    over.textContent = words;
  };

  const count = () => {
    const rests = Math.ceil((ends - Date.now()) / 1000);
    if (rests <= 0) return stop(over.dataset.words);
    left.textContent = left.dataset.words.replace("SECONDS", rests);
  };

  const start = () => {
    stop("");
    ends = Date.now() + 1000 * Number(seconds.value);
    clock = setInterval(count, 250);
    count();
  };

  // The last trial of a side needs no rest after it.
  const afterTrial = (trial) => {
    const row = [...trial.closest("tr").querySelectorAll("[data-trial]")];
    const goesOn = row.some((other) => other.checkVisibility() && !other.value);
    return goesOn ? start() : stop("");
  };

  // The choice of seconds is the page's own: it is no part of the form.
  rest.addEventListener("input", (event) => event.stopPropagation());
  rest.addEventListener("change", (event) => event.stopPropagation());
  rest.querySelector("[data-start]").addEventListener("click", start);
  document.addEventListener("change", (event) => {
    if (event.target.matches("[data-trial]") && event.target.value) afterTrial(event.target);
  });
  rest.hidden = false;
};

document.querySelectorAll("[data-rest]").forEach(setUpRest);
