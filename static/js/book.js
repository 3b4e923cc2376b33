// The book by keys and by mouse. All of it is a shorter way to a form that is there without it.
"use strict";

const book = () => document.querySelector("[data-book]");
const PLACES = "tbody :is(a, button)";

// One Tab leads into the book and one out again, past its many places: only what has the focus, and what stands in
// the same cell, is a stop; arrows lead from one to the next.
let current = null;
const own = (stop) => stop.closest("li, .one, td, th");
const settle = () => {
  const stops = [...(book()?.querySelectorAll(PLACES) ?? [])];
  current = stops.find((stop) => stop.id && stop.id === current?.id) ?? stops[0];
  stops.forEach((stop) => (stop.tabIndex = current && own(stop) === own(current) ? 0 : -1));
};
settle();
document.addEventListener("htmx:afterSwap", settle);
document.addEventListener("focusin", ({ target }) => {
  if (!target.closest("[data-book]") || !target.matches(PLACES)) return;
  current = target;
  settle();
});

// A phone shows a part of the week: the one that begins with today, unless the address leads to a booking.
const showToday = () => {
  const today = book()?.querySelector("thead .now");
  const region = today?.closest(".scroll");
  if (!region || location.hash) return;
  const { scrollPaddingInlineStart: kept } = getComputedStyle(region);
  if (today.offsetLeft + today.offsetWidth > region.clientWidth)
    region.scrollLeft = today.offsetLeft - (parseFloat(kept) || 0);
};
showToday();

const ARROWS = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };
const middle = (stop) => {
  const { left, right, top, bottom } = stop.getBoundingClientRect();
  return [(left + right) / 2, (top + bottom) / 2];
};
// What lies that way and nearest; what lies aside counts thrice as far.
const beside = (stop, [right, down]) => {
  const [x, y] = middle(own(stop));
  let nearest = null;
  let least = Infinity;
  for (const other of book().querySelectorAll("tbody a")) {
    const [otherX, otherY] = middle(own(other));
    const [along, aside] = right ? [(otherX - x) * right, otherY - y] : [(otherY - y) * down, otherX - x];
    const far = along + 3 * Math.abs(aside);
    if (along > 1 && far < least) [nearest, least] = [other, far];
  }
  return nearest;
};

const send = (values, to) => {
  const sent = document.getElementById("mark");
  const inputs = Object.entries(values).map(([of, value]) =>
    sent.appendChild(Object.assign(document.createElement("input"), { type: "hidden", name: of, value })),
  );
  sent.action = to;
  sent.requestSubmit();
  inputs.forEach((input) => input.remove());
};
const mark = (link, status) => send({ status }, new URL("mark/", link.href));
const change = (link, values) =>
  send({ sequence: link.dataset.sequence, ...values }, new URL("change/", link.href));
const longer = (link, minutes) => change(link, { minutes: Number(link.dataset.minutes) + minutes });

const KEYS = {
  a: (link) => mark(link, "arrived"),
  s: (link) => mark(link, "seen"),
  m: (link) => mark(link, "missed"),
  t: (link) => mark(link, "booked"),
  "+": (link) => longer(link, 15),
  "-": (link) => longer(link, -15),
};
document.addEventListener("keydown", (event) => {
  const { key, target, ctrlKey, metaKey, altKey } = event;
  if (ctrlKey || metaKey || altKey || !target.closest("[data-book]") || !target.matches(PLACES)) return;
  const other = ARROWS[key] && beside(target, ARROWS[key]);
  const acts = KEYS[key] && target.matches("[id^='booking-']");
  if (!ARROWS[key] && !acts) return;
  event.preventDefault();
  if (other) other.focus();
  if (acts) KEYS[key](target);
});

// A booking drawn to a free time with the mouse.
let swallow = false;
let drawn = null; // the link, where it was taken, and what is under it now
const over = (place) => {
  if (drawn.place === place) return;
  drawn.place?.removeAttribute("data-over");
  place?.setAttribute("data-over", "");
  drawn.place = place;
};
const letGo = () => {
  over(null);
  drawn.words?.remove();
  drawn.link.removeAttribute("data-drawn");
  drawn = null;
};
const begin = () => {
  swallow = true;
  drawn.link.setAttribute("data-drawn", "");
  drawn.words = document.body.appendChild(document.createElement("p"));
  drawn.words.className = "drawn-along";
};
const tell = ({ clientX, clientY }) => {
  drawn.words.textContent = `${drawn.link.textContent.trim()} ${drawn.place ? `→ ${drawn.place.dataset.free}` : ""}`;
  drawn.words.style.transform = `translate(${clientX + 12}px, ${clientY + 12}px)`;
};
document.addEventListener("pointerdown", (event) => {
  const link = event.target.closest("[data-moves]");
  if (link && event.button === 0 && event.pointerType !== "touch")
    drawn = { link, x: event.clientX, y: event.clientY, place: null };
});
document.addEventListener("pointermove", (event) => {
  if (!drawn) return;
  if (!drawn.words) {
    if (Math.hypot(event.clientX - drawn.x, event.clientY - drawn.y) < 6) return;
    begin();
  }
  const under = document.elementFromPoint(event.clientX, event.clientY);
  over(under?.closest(".free")?.closest("td, li")?.querySelector("[data-free]") ?? null);
  tell(event);
});
document.addEventListener("pointerup", () => {
  // The click that follows is none on what was drawn.
  setTimeout(() => (swallow = false));
  if (!drawn) return;
  const { link, place, words } = drawn;
  letGo();
  const asked = words && place && new URL(place.href).searchParams;
  if (asked) change(link, Object.fromEntries(["practitioner", "day", "start"].map((of) => [of, asked.get(of)])));
});
document.addEventListener("click", (event) => swallow && event.preventDefault(), true);
document.addEventListener("keydown", (event) => {
  if (drawn && event.key === "Escape") letGo();
});
document.addEventListener("pointercancel", () => drawn && letGo());

if (book()) document.querySelectorAll("[data-keys]").forEach((only) => (only.hidden = false));
