// A form that saves itself and can't says so beside what was typed, and tries again by itself as long as waiting may
// help: when the server doesn't answer, and when its answer says in how many seconds.
"use strict";

const WAIT_S = 10;
const tries = new WeakMap(); // each form with the clock of its next try

const formOf = ({ target }) => (target.matches?.("form[hx-post]:not(.progress)") ? target : null);
const clear = (form) => {
  clearTimeout(tries.get(form));
  form.querySelector(".not-saved")?.remove();
};
// It lies over the page, and must not hide the line that is being typed.
const uncover = (part) => {
  const typing = document.activeElement;
  const [over, under] = [part, typing].map((one) => one.getBoundingClientRect());
  if (typing.matches("input, textarea") && under.bottom > over.top) typing.scrollIntoView({ block: "center" });
};
const show = (form, part, waitS) => {
  clear(form);
  if (!part) return;
  const state = document.querySelector(form.getAttribute("hx-target"));
  (form.contains(state) ? state : form).after(part);
  uncover(part);
  // The button is pressed by the person alone: this is a save as while typing.
  if (waitS) tries.set(form, setTimeout(() => form.isConnected && htmx.trigger(form, "submit"), 1000 * waitS));
};

// The answer's own words; one that is no such part (from a proxy, say) gets the words for no answer.
const partOf = (html) => new DOMParser().parseFromString(html, "text/html").querySelector(".not-saved");
const noAnswer = () => document.getElementById("no-answer").content.firstElementChild.cloneNode(true);

document.addEventListener("htmx:responseError", (event) => {
  const form = formOf(event);
  if (!form) return;
  const { xhr } = event.detail;
  const part = partOf(xhr.responseText);
  const proxy = !part && xhr.status >= 502;
  show(form, part ?? noAnswer(), Number(xhr.getResponseHeader("Retry-After")) || (proxy ? WAIT_S : 0));
});
for (const name of ["htmx:sendError", "htmx:timeout"])
  document.addEventListener(name, (event) => {
    const form = formOf(event);
    if (form) show(form, noAnswer(), WAIT_S);
  });
document.addEventListener("htmx:afterRequest", (event) => {
  const form = formOf(event);
  if (form && event.detail.successful) clear(form);
});
