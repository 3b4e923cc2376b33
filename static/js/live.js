// A page that shows the book as it is now: its part [data-live] asks every few seconds whether there is anything new,
// while somebody can see it. The focus stays on what it was on; htmx finds it again by its id.
"use strict";

const EVERY_MS = 5000;
const part = document.querySelector("[data-live]");
const note = (name) => document.querySelector(`[data-${name}]`);

const look = () => {
  const busy = document.querySelector("[data-drawn]");
  if (document.visibilityState === "visible" && !busy) htmx.trigger(part, "look");
};
setInterval(look, EVERY_MS);
document.addEventListener("visibilitychange", look);

// What has no id is known by its words and where it leads.
const same = (gone) =>
  [...part.querySelectorAll(gone.tagName)].find(
    (other) => other.textContent === gone.textContent && other.getAttribute("href") === gone.getAttribute("href"),
  );

let before = {};
part.addEventListener("htmx:beforeSwap", () => {
  const focused = part.contains(document.activeElement) ? document.activeElement : null;
  before = {
    focused,
    place: focused?.closest("[id^='place-']")?.id,
    scrolled: [...part.querySelectorAll(".scroll")].map(({ scrollLeft, scrollTop }) => [scrollLeft, scrollTop]),
  };
});
part.addEventListener("htmx:afterSwap", () => {
  part.querySelectorAll(".scroll").forEach((region, number) => {
    const [left, top] = before.scrolled[number] ?? [0, 0];
    region.scrollTo(left, top);
  });
  const lost = before.focused && !part.contains(document.activeElement);
  if (lost) same(before.focused)?.focus();
  // What had the focus may be gone: a free time that somebody else has taken. Its place is still there.
  const gone = lost && !part.contains(document.activeElement);
  if (gone) (document.getElementById(before.place)?.querySelector("a, button") ?? part.querySelector(".scroll"))?.focus();
  note("gone").hidden = !gone;
});

for (const event of ["htmx:sendError", "htmx:responseError", "htmx:timeout"])
  part.addEventListener(event, () => (note("offline").hidden = false));
part.addEventListener("htmx:afterRequest", ({ detail }) => {
  if (detail.successful) note("offline").hidden = true;
});

// A page that is led back to a booking has its focus there.
if (location.hash.startsWith("#booking-")) document.getElementById(location.hash.slice(1))?.focus();
