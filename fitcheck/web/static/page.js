// What every page shares: the worker that serves pages offline, what is said of the connection,
// and how a form is sent without leaving the page.
"use strict";

const fitcheck = (() => {
  const net = document.getElementById("net");
  let lost = false;

  function clock(time) {
    const two = (n) => String(n).padStart(2, "0");
    return `${two(time.getHours())}:${two(time.getMinutes())}`;
  }

  // Said once when it changes; a live region that repeats itself is switched off by its reader.
  function connection(isThere, words) {
    lost = !isThere;
    const text = isThere ? "" : words || "No connection. What you typed is kept on this device.";
    if (net && net.textContent !== text) net.textContent = text;
  }

  function token() {
    const meta = document.querySelector('meta[name="csrf-token"]');
    return meta ? meta.content : "";
  }

  // Sends a form's fields; gives the text of the answer, or throws what is to be shown.
  async function post(path, body, signal) {
    const answer = await fetch(path, {
      method: "POST",
      body,
      signal,
      headers: { "x-csrf-token": token(), accept: "text/html" },
      credentials: "same-origin",
    });
    const text = await answer.text();
    if (!answer.ok) {
      const failure = new Error(`status ${answer.status}`);
      failure.status = answer.status;
      failure.text = text;
      throw failure;
    }
    return text;
  }

  function read(key, otherwise) {
    try {
      const text = localStorage.getItem(`fitcheck.${key}`);
      return text === null ? otherwise : JSON.parse(text);
    } catch {
      return otherwise;
    }
  }

  function keep(key, value) {
    try {
      if (value === null) localStorage.removeItem(`fitcheck.${key}`);
      else localStorage.setItem(`fitcheck.${key}`, JSON.stringify(value));
    } catch {
      // A browser that keeps nothing still works as long as the page is open.
    }
  }

  addEventListener("offline", () => connection(false));
  addEventListener("online", () => connection(true));
  if ("serviceWorker" in navigator && token()) {
    navigator.serviceWorker.register("/sw.js").catch(() => {});
  }
  // A form with a file carries the token in its address; sent from here it goes as a header, and
  // what is refused is shown without losing the page.
  for (const form of document.querySelectorAll('form[enctype="multipart/form-data"]')) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      sendFile(form);
    });
  }

  async function sendFile(form) {
    const press = form.querySelector('button[type="submit"]');
    press.disabled = true;
    try {
      const answer = await fetch(form.action, {
        method: "POST",
        body: new FormData(form),
        headers: { "x-csrf-token": token(), accept: "text/html" },
        credentials: "same-origin",
      });
      if (answer.ok && answer.redirected) {
        location.assign(answer.url);
        return;
      }
      const made = new DOMParser().parseFromString(await answer.text(), "text/html");
      const refused = made.querySelector(".refused");
      form.querySelector(".refused")?.remove();
      if (refused) {
        form.prepend(refused);
        refused.tabIndex = -1;
        refused.focus();
      } else connection(false, `This was not taken (${answer.status}). Load the page again.`);
    } catch {
      connection(false, "No connection: the file was not sent.");
    }
    press.disabled = false;
  }

  // Drawings are looked at larger, all of them, also those that come with the next answer.
  document.documentElement.classList.add("js");
  document.addEventListener("click", (event) => {
    const press = event.target.closest(".larger");
    if (!press) return;
    document.documentElement.classList.toggle("large");
    tellSlides();
  });

  // A table that is wider than the page says that it slides, by finger or by the arrow keys.
  function tellSlides() {
    const isLarge = String(document.documentElement.classList.contains("large"));
    for (const press of document.querySelectorAll(".larger")) {
      if (press.getAttribute("aria-pressed") !== isLarge) press.setAttribute("aria-pressed", isLarge);
    }
    for (const table of document.querySelectorAll(".table, .drawing")) {
      const told = table.previousElementSibling?.classList.contains("slide");
      const slides = table.scrollWidth > table.clientWidth + 1;
      if (told && !slides) table.previousElementSibling.remove();
      if (told || !slides) continue;
      const words = document.createElement("p");
      words.className = "slide";
      words.setAttribute("aria-hidden", "true");
      words.textContent = "There is more to the right: slide it \u2192";
      table.before(words);
    }
  }

  addEventListener("resize", tellSlides);
  document.addEventListener("toggle", tellSlides, true);
  new MutationObserver(tellSlides).observe(document.body, { childList: true, subtree: true });
  tellSlides();

  for (const button of document.querySelectorAll("button.print")) {
    button.hidden = false;
    button.addEventListener("click", () => print());
  }
  return { clock, connection, post, read, keep, isLost: () => lost };
})();
