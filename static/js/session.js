// Tells the server that somebody is there while they type or point, asks before the session ends, and at its end brings
// what was typed into safety, for the one who typed it alone. Works beside leave.js, whose `unsaved` it reads.
"use strict";

const WARN_MS = 120_000;
const LAST_CALL_MS = 20_000; // WCAG 2.2, 2.2.1: at least so long to answer
const TELL_EVERY_MS = 60_000;
const ASK_EVERY_MS = 5000;
const PAUSE_MS = 3000;

const watchSession = (dialog) => {
  const { who, typist, ask, stay, hold, signIn } = dialog.dataset;
  const part = (name) => dialog.querySelector(`[data-${name}]`);
  const typedInto = new Set();
  let [ends, last, chosen, leaving] = [0, false, false, false];
  let [told, asked, deedAt] = [Date.now(), 0, 0]; // the server last told, last asked, and the last key or press

  const left = () => ends - Date.now();
  const here = () => location.pathname + location.search;
  const isTyped = (form) => form.isConnected && form.method === "post" && !form.contains(dialog);
  const typedForms = () => [...new Set([...unsaved.keys(), ...typedInto])].filter(isTyped);

  const textOf = (form) => {
    const fields = [...new FormData(form)].filter(([, value]) => typeof value === "string");
    return new URLSearchParams(fields).toString();
  };

  const keepTyped = async () => {
    const forms = typedForms();
    if (!forms.length) return;
    const body = new URLSearchParams({ typist, title: document.querySelector("h1")?.textContent.trim() ?? "" });
    forms.forEach((form) => {
      body.append("path", new URL(form.getAttribute("hx-post") || form.action, location).pathname);
      body.append("text", textOf(form));
    });
    const answer = await fetch(hold, { method: "POST", body });
    if (!answer.ok) throw new Error(answer.status);
  };

  const leave = async () => {
    if (leaving) return;
    leaving = true;
    try {
      await keepTyped();
    } catch {
      leaving = false;
      return (part("unreachable").hidden = false);
    }
    unsaved.clear();
    location.assign(`${signIn}?next=${encodeURIComponent(here())}`);
  };

  const count = () => {
    const seconds = Math.max(0, Math.ceil(left() / 1000));
    part("count").textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
    part("soon").textContent = left() <= LAST_CALL_MS ? part("soon").dataset.words : "";
  };

  const show = () => {
    count();
    for (const words of dialog.querySelectorAll("[data-if-idle]")) words.hidden = last;
    for (const words of dialog.querySelectorAll("[data-if-last]")) words.hidden = !last;
    const due = left() <= WARN_MS && !(last && chosen);
    // Whoever types to the last minute is not interrupted in the middle of a word.
    const typing = left() > WARN_MS / 2 && Date.now() - deedAt < PAUSE_MS;
    if (due && !typing && !dialog.open) dialog.showModal();
    if (!due && dialog.open) dialog.close();
  };

  const renewToken = (token) => {
    document.body.setAttribute("hx-headers", JSON.stringify({ "X-CSRFToken": token }));
    for (const field of document.getElementsByName("csrfmiddlewaretoken")) field.value = token;
  };

  const learn = (state) => {
    if (state.token) renewToken(state.token);
    [ends, last] = [Date.now() + 1000 * state.left, state.last];
    part("unreachable").hidden = true;
    if (String(state.who) !== who || state.left <= 0) leave();
    else show();
  };

  const talk = async (address, how) => {
    asked = Date.now();
    try {
      const answer = await fetch(address, how);
      if (!answer.ok) throw new Error(answer.status);
      learn(await answer.json());
    } catch {
      part("unreachable").hidden = false;
    }
  };

  const tell = () => {
    told = Date.now();
    const headers = JSON.parse(document.body.getAttribute("hx-headers"));
    return talk(stay, { method: "POST", headers });
  };

  const goOn = () => {
    chosen = last;
    return last ? show() : tell();
  };

  const tick = () => {
    if (left() > WARN_MS) return;
    if (dialog.open) count();
    // Other pages of the same person may have gone on: only the server knows.
    if (Date.now() - asked >= ASK_EVERY_MS) talk(ask);
  };

  const isThere = (event) => {
    if (!event.isTrusted || dialog.open) return;
    deedAt = Date.now();
    if (!last && deedAt - told >= TELL_EVERY_MS && left() > 0) tell();
  };
  for (const deed of ["keydown", "pointerdown", "wheel", "touchstart", "input"])
    document.addEventListener(deed, isThere, { passive: true });

  document.addEventListener("input", ({ target: { form } }) => form && typedInto.add(form));
  document.addEventListener("htmx:afterRequest", ({ target, detail }) => {
    if (saved(detail.xhr)) typedInto.delete(target);
  });

  // Meanwhile somebody else may have signed in in another window, or the same person anew.
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && talk(ask));

  part("go-on").addEventListener("click", goOn);
  part("leave-now").addEventListener("click", async () => {
    const signOut = document.querySelector("[data-sign-out]");
    await keepTyped().catch(() => {});
    unsaved.clear();
    if (last) signOut.elements.next.value = here();
    signOut.requestSubmit();
  });
  dialog.addEventListener("cancel", (event) => {
    event.preventDefault();
    goOn();
  });
  dialog.addEventListener("keydown", ({ key, target }) => {
    const pressed = ["Enter", " "].includes(key) && target.matches("button");
    if (!last && !pressed && !["Tab", "Shift", "Escape"].includes(key)) goOn();
  });

  learn({ who, left: Number(dialog.dataset.left), last: Boolean(dialog.dataset.last) });
  setInterval(tick, 1000);
};

document.querySelectorAll("[data-session]").forEach(watchSession);
