// What was typed is not lost by leaving the page. A form[data-leave] that saves itself is saved first, when a link
// or another form leads away; one that does not, or can't be saved, makes the browser ask. With data-leave="typed" what
// was typed was sent to be looked at, and is not saved yet.
"use strict";

let changes = 0;
const unsaved = new Map(); // each form with the number of its last change
const sent = new WeakMap(); // and each request with the number that it carries
const savesItself = (form) => form.hasAttribute("hx-post");
// A form that comes back with its errors (422) is shown, and so "successful" for htmx; it is not saved.
const saved = (xhr) => xhr.status >= 200 && xhr.status < 300;

document.addEventListener("input", (event) => {
  const form = event.target.closest("form[data-leave]");
  if (form) unsaved.set(form, ++changes);
});
document.querySelectorAll("form[data-leave=typed]").forEach((form) => unsaved.set(form, ++changes));
document.addEventListener("submit", (event) => {
  if (!savesItself(event.target)) unsaved.delete(event.target);
});
document.addEventListener("htmx:beforeSend", (event) => {
  sent.set(event.detail.xhr, unsaved.get(event.target));
});
document.addEventListener("htmx:afterRequest", (event) => {
  const { xhr } = event.detail;
  // What was typed after the request went out is not saved by it.
  if (saved(xhr) && unsaved.get(event.target) === sent.get(xhr)) unsaved.delete(event.target);
});
window.addEventListener("beforeunload", (event) => {
  if ([...unsaved.keys()].some((form) => form.isConnected)) event.preventDefault();
});

const toSave = (leaving) =>
  [...unsaved.keys()].filter((form) => form.isConnected && savesItself(form) && form !== leaving);

// Resolves when the form is saved or was refused; a request under way is waited for, with the one queued behind it.
const save = (form) =>
  new Promise((resolve) => {
    const look = (event) => {
      if (event.target !== form || (saved(event.detail.xhr) && unsaved.has(form))) return;
      document.removeEventListener("htmx:afterRequest", look);
      resolve();
    };
    document.addEventListener("htmx:afterRequest", look);
    htmx.trigger(form, "submit");
  });

const saveBefore = (event, forms, goOn) => {
  if (event.defaultPrevented || !forms.length) return;
  event.preventDefault();
  Promise.all(forms.map(save)).then(goOn);
};

document.addEventListener("click", (event) => {
  const link = event.target.closest("a[href]");
  if (!link || link.target || link.hasAttribute("download") || link.hasAttribute("hx-get")) return;
  if (event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
  if (link.hash && link.pathname === location.pathname && link.search === location.search) return;
  saveBefore(event, toSave(), () => location.assign(link.href));
});
document.addEventListener("submit", (event) => {
  const { target: form, submitter } = event;
  if (savesItself(form)) return;
  saveBefore(event, toSave(form), () => {
    const [refused] = toSave(form);
    if (refused) refused.querySelector("[data-focus]")?.focus();
    else form.requestSubmit(submitter);
  });
});
