// What the pages do better with a script. Each works without.
(() => {
  "use strict";
  const CHECK_EVERY_MS = 15000;
  const GIVE_UP_AFTER_MS = 20 * 60 * 1000;

  // What went wrong is read first.
  const first = document.querySelector("[data-first]");
  if (first) first.focus();

  // A form is sent once, however often it is pressed.
  document.addEventListener("submit", (event) => {
    if (event.target.dataset.sent) event.preventDefault();
    event.target.dataset.sent = "yes";
  });
  addEventListener("pageshow", () => {
    for (const form of document.forms) delete form.dataset.sent;
  });

  // One slot of a switching run at a time.
  const slots = document.querySelector(".person [data-slots]");
  const step = () => {
    if (!slots) return;
    const all = [...slots.children];
    const asked = all.find((slot) => "#" + slot.id === location.hash);
    const past = location.hash === "#after-slots";
    const now = past ? null : asked || all[0];
    slots.classList.add("stepwise");
    for (const slot of all) slot.classList.toggle("now", slot === now);
    const to = now || document.getElementById("after-slots");
    if (location.hash && to) to.focus();
  };
  addEventListener("hashchange", step);
  step();

  // The page is looked at again in the background. It is never changed under a hand: a line says
  // that there is news, and a page that nobody has touched is loaded again.
  const live = document.querySelector("[data-live]");
  const news = document.querySelector("[data-news]");
  if (!live || !news || slots) return;
  let touched = false;
  let last = Date.now();
  const alive = () => { last = Date.now(); };
  for (const kind of ["pointerdown", "keydown", "scroll"]) addEventListener(kind, alive, { passive: true });
  addEventListener("input", () => { touched = true; });
  addEventListener("toggle", () => { touched = true; }, true);
  const text = (part) => (part ? part.textContent.replace(/\s+/g, " ") : "");
  const before = text(live);
  const look = async () => {
    if (document.hidden || Date.now() - last > GIVE_UP_AFTER_MS || !news.hidden) return;
    try {
      const answer = await fetch(location.pathname, { credentials: "same-origin", cache: "no-store" });
      if (!answer.ok) return;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (text(page.querySelector("[data-live]")) === before) return;
      if (touched || document.querySelector("[data-first]")) news.hidden = false;
      else location.replace(location.pathname);
    } catch {
      // No network: the page says how old it is.
    }
  };
  setInterval(look, CHECK_EVERY_MS);
})();
