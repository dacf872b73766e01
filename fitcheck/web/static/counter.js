// The counter: finds while a search is typed, and keeps the pasted page on this device.
"use strict";

(() => {
  const form = document.getElementById("search");
  const found = document.getElementById("found");
  const wanted = document.getElementById("wanted");
  if (wanted) {
    wanted.value = wanted.value || fitcheck.read("wanted", "");
    wanted.addEventListener("input", () => fitcheck.keep("wanted", wanted.value));
  }
  if (!form || !found) return;
  let pause = 0;
  let asking = null;

  async function ask() {
    const query = new URLSearchParams(new FormData(form));
    if (!form.elements.q.value.trim()) return;
    if (asking) asking.abort();
    const mine = new AbortController();
    asking = mine;
    try {
      const answer = await fetch(`/counter?${query}`, { signal: mine.signal, headers: { accept: "text/html" } });
      if (answer.redirected) return location.assign(answer.url);
      const text = await answer.text();
      if (asking !== mine) return;
      const made = new DOMParser().parseFromString(text, "text/html").getElementById("found");
      if (made) found.replaceChildren(...made.childNodes);
      history.replaceState(null, "", `/counter?${query}`);
      fitcheck.connection(true);
    } catch (failure) {
      if (failure.name === "AbortError" || asking !== mine) return;
      found.replaceChildren();
      fitcheck.connection(false, "No connection: nothing was searched.");
    }
  }

  form.addEventListener("input", () => {
    clearTimeout(pause);
    pause = setTimeout(ask, 250);
  });
})();
