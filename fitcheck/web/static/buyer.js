// The buyer: the plan follows the slider.
"use strict";

(() => {
  const form = document.getElementById("budget-form");
  const slide = document.getElementById("slide");
  const plan = document.getElementById("plan");
  const said = document.getElementById("said");
  if (!form || !slide || !plan) return;
  const field = form.elements.budget;
  let pause = 0;
  let asking = null;

  async function ask() {
    clearTimeout(pause);
    if (asking) asking.abort();
    const mine = new AbortController();
    asking = mine;
    plan.setAttribute("aria-busy", "true");
    const query = new URLSearchParams({ budget: field.value });
    try {
      const answer = await fetch(`/buyer?${query}`, { signal: mine.signal, headers: { accept: "text/html" } });
      const text = await answer.text();
      if (asking !== mine) return;
      const page = new DOMParser().parseFromString(text, "text/html");
      const made = page.getElementById("plan");
      if (!made) return location.assign(`/buyer?${query}`);
      plan.replaceChildren(...made.childNodes);
      history.replaceState(null, "", `/buyer?${query}`);
      said.textContent = document.getElementById("figures").textContent;
      fitcheck.connection(true);
    } catch (failure) {
      if (failure.name === "AbortError" || asking !== mine) return;
      plan.replaceChildren();
      fitcheck.connection(false, "No connection: there is no plan for this budget yet.");
    }
    plan.removeAttribute("aria-busy");
  }

  slide.addEventListener("input", () => {
    field.value = slide.value;
    plan.setAttribute("aria-busy", "true");
    clearTimeout(pause);
    pause = setTimeout(ask, 200);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    slide.value = field.value;
    ask();
  });
})();
