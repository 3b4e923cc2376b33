// A form[data-leave] asks before typed text is lost by leaving the page.
"use strict";

const unsaved = new Set();

document.addEventListener("input", (event) => {
  const form = event.target.closest("form[data-leave]");
  if (form) unsaved.add(form);
});
document.addEventListener("submit", (event) => unsaved.delete(event.target));
document.addEventListener("htmx:afterRequest", (event) => {
  if (event.detail.successful) unsaved.delete(event.target.closest("form"));
});
window.addEventListener("beforeunload", (event) => {
  if ([...unsaved].some((form) => form.isConnected)) event.preventDefault();
});
