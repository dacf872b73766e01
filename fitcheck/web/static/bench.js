// The bench: answers while it is typed, keeps everything typed on this device, collects the job.
"use strict";

(() => {
  const form = document.getElementById("bench");
  const answer = document.getElementById("answer");
  const said = document.getElementById("said");
  const list = document.getElementById("job-list");
  const card = document.getElementById("card");
  const strip = document.getElementById("strip");
  if (!form || !answer) return;

  const kind = form.dataset.kind;
  const WAIT = answer.innerHTML;
  const PAUSE = 120;
  const LATE = 700;
  const AGAIN = 3000;
  const NOT_TYPED = new Set(["job", "csrf_token", "do"]);

  // --- what is typed ---------------------------------------------------------------------------

  function inputs(key) {
    return [...form.elements].filter((one) => one.name === key);
  }

  function typed() {
    const values = {};
    const tools = {};
    let name = "";
    let unit = "mm";
    for (const [key, text] of new FormData(form)) {
      if (NOT_TYPED.has(key)) continue;
      if (key === "name") name = text.trim();
      else if (key === "unit") unit = text;
      else if (key.endsWith(".tool")) tools[key.slice(0, -5)] = text;
      else if (text.trim()) (values[key] ||= []).push(text.trim());
    }
    return { kind, name, unit, values, tools };
  }

  // Whether anything was measured or read: choices by themselves ask nothing.
  function isEmpty() {
    return ![...form.querySelectorAll(".texts input")].some((one) => one.value.trim());
  }

  function another(box, text) {
    const first = box.querySelector("input");
    const made = first.cloneNode();
    made.value = text;
    made.id = `${first.id}-${box.querySelectorAll("input").length + 1}`;
    const label = form.querySelector(`label[for="${first.id}"]`);
    const words = label ? label.firstChild.textContent.trim() : first.name;
    made.setAttribute("aria-label", `${words}, again`);
    box.insertBefore(made, box.querySelector(".more"));
    return made;
  }

  function fill(state) {
    for (const box of form.querySelectorAll(".texts")) {
      const [first, ...others] = box.querySelectorAll("input");
      for (const one of others) one.remove();
      const texts = state.values[first.name] || [];
      first.value = texts[0] || "";
      for (const text of texts.slice(1)) another(box, text);
    }
    for (const one of form.querySelectorAll("input[type=checkbox]")) {
      one.checked = Boolean((state.values[one.name] || []).length);
    }
    for (const one of form.querySelectorAll("select")) one.value = (state.values[one.name] || [""])[0];
    for (const one of form.querySelectorAll(".choice input[type=radio]")) {
      if (one.name !== "unit") one.checked = one.value === (state.values[one.name] || [""])[0];
    }
    for (const group of form.querySelectorAll(".tools")) {
      const radios = [...group.querySelectorAll("input")];
      const key = radios[0].name.slice(0, -5);
      const wanted = radios.find((one) => one.value === state.tools[key]) || radios[0];
      wanted.checked = true;
    }
    for (const one of inputs("unit")) one.checked = one.value === state.unit;
    for (const one of inputs("name")) one.value = state.name;
    const further = form.querySelector(".further");
    if (further && [...further.querySelectorAll(".texts input")].some((one) => one.value)) further.open = true;
  }

  const empty = (unit) => ({ kind, name: "", unit, values: {}, tools: {} });

  // --- the answer ------------------------------------------------------------------------------

  let kept = fitcheck.read(`answer.${kind}`, null);
  let shown = "";
  let asking = null;
  let pause = 0;
  let late = 0;
  let again = 0;
  let quiet = 0;

  function question() {
    const { unit, values, tools } = typed();
    return JSON.stringify([unit, values, tools]);
  }

  function words() {
    const { values } = typed();
    const told = Object.entries(values).map(([key, texts]) => `${key.replaceAll("_", " ")} ${texts.join(", ")}`);
    return told.join("; ");
  }

  function stamp(text) {
    const line = document.createElement("p");
    line.className = "stamp";
    line.textContent = text;
    return line;
  }

  // The verdict, the size and the next reading in short, as long as they answer what is typed.
  function inShort() {
    const head = answer.querySelector(".headline");
    const isFresh = Boolean(head) && !answer.querySelector(".stamp");
    strip.hidden = !isFresh;
    if (!isFresh) return;
    const next = answer.querySelector(".next strong");
    const words = document.createElement("span");
    words.textContent = next ? next.textContent : "";
    strip.replaceChildren(...[...head.cloneNode(true).childNodes], words);
  }

  new MutationObserver(inShort).observe(answer, { childList: true, subtree: true });

  function show(html, key) {
    answer.innerHTML = html;
    answer.classList.remove("old");
    answer.removeAttribute("aria-busy");
    shown = key;
    const told = answer.querySelector("[data-said]");
    clearTimeout(quiet);
    // Told when the typing rests, and only where it is another answer than was told before.
    quiet = setTimeout(() => {
      const text = told ? told.dataset.said : "";
      if (said.textContent !== text) said.textContent = text;
    }, 1200);
  }

  function waiting() {
    answer.setAttribute("aria-busy", "true");
    if (!answer.querySelector(".stamp") && shown) {
      answer.classList.add("old");
      answer.prepend(stamp("Not answered yet. Below is the answer to what was typed before."));
    }
  }

  function offline(key) {
    answer.classList.add("old");
    answer.removeAttribute("aria-busy");
    const time = kept ? fitcheck.clock(new Date(kept.at)) : "";
    fitcheck.connection(
      false,
      kept ? `No connection: last answer of ${time}.` : "No connection. What you typed is kept on this device.",
    );
    if (kept && kept.key === key) {
      answer.innerHTML = kept.html;
      answer.prepend(stamp(`No connection: last answer of ${time}, to what is typed here.`));
      shown = key;
      return;
    }
    answer.replaceChildren(
      stamp("No connection. What you typed is kept, and is answered when the connection is back."),
    );
    shown = "";
    if (kept) {
      const more = document.createElement("details");
      const head = document.createElement("summary");
      head.textContent = `Last answer of ${time}, to other readings`;
      const told = document.createElement("p");
      told.textContent = `It was for: ${kept.words}. It is no answer to what is typed now.`;
      const body = document.createElement("div");
      body.innerHTML = kept.html;
      more.append(head, told, body);
      answer.append(more);
    }
  }

  async function ask() {
    clearTimeout(again);
    const key = question();
    if (isEmpty()) {
      if (asking) asking.abort();
      clearTimeout(late);
      answer.innerHTML = WAIT;
      answer.classList.remove("old");
      shown = "";
      return;
    }
    if (key === shown && !fitcheck.isLost()) return;
    if (asking) asking.abort();
    const mine = new AbortController();
    asking = mine;
    clearTimeout(late);
    late = setTimeout(waiting, LATE);
    const body = new URLSearchParams();
    for (const [name, text] of new FormData(form)) {
      if (!NOT_TYPED.has(name)) body.append(name, text);
    }
    try {
      const html = await fitcheck.post(`/bench/${kind}/answer`, body, mine.signal);
      if (asking !== mine) return;
      clearTimeout(late);
      fitcheck.connection(true);
      show(html, key);
      kept = { html, key, at: Date.now(), words: words() };
      fitcheck.keep(`answer.${kind}`, kept);
    } catch (failure) {
      if (asking !== mine || failure.name === "AbortError") return;
      clearTimeout(late);
      if (failure.status === 401) {
        location.assign(`/enter?next=${encodeURIComponent(location.pathname)}`);
      } else if (failure.status) {
        refused(failure.status);
      } else {
        offline(key);
        again = setTimeout(ask, AGAIN);
      }
    }
  }

  // The machine is there but does not answer this.
  function refused(status) {
    const isBusy = status === 503 || status === 429;
    answer.removeAttribute("aria-busy");
    answer.classList.add("old");
    answer.replaceChildren(
      stamp(
        isBusy
          ? "Busy just now: it is asked again by itself. What you typed is kept."
          : "This was not answered: load the page again. What you typed is kept.",
      ),
    );
    shown = "";
    if (isBusy) again = setTimeout(ask, AGAIN);
  }

  function changed() {
    fitcheck.keep(`bench.${kind}`, typed());
    clearTimeout(pause);
    pause = setTimeout(ask, PAUSE);
  }

  // --- the job ---------------------------------------------------------------------------------

  let job = fitcheck.read("job", []);

  function freeName(wanted) {
    const used = new Set(job.map((one) => one.name));
    if (wanted && !used.has(wanted)) return wanted;
    const stem = wanted || kind;
    let number = wanted ? 2 : 1;
    while (used.has(`${stem} ${number}`)) number += 1;
    return `${stem} ${number}`;
  }

  // What a kind of part is called, as its tab says.
  function partName(of) {
    const tab = document.querySelector(`.kinds [href="/bench/${of}"], .kinds [formaction="/bench/${of}"]`);
    return tab ? tab.textContent : of;
  }

  function tell(text) {
    clearTimeout(quiet);
    said.textContent = text;
  }

  function button(text, name, act) {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "plain";
    made.textContent = text;
    const more = document.createElement("span");
    more.className = "unseen";
    more.textContent = ` ${name}`;
    made.append(more);
    made.addEventListener("click", act);
    return made;
  }

  function showJob() {
    const text = JSON.stringify(job);
    fitcheck.keep("job", job);
    document.getElementById("job-text").value = text;
    card.elements.job.value = text;
    document.getElementById("job-none").hidden = job.length > 0;
    list.replaceChildren(
      ...job.map((entry, number) => {
        const item = document.createElement("li");
        const mark = entry.verdict && document.getElementById(`mark-${entry.verdict}`);
        if (mark) item.append(mark.content.cloneNode(true), " ");
        const name = document.createElement("strong");
        name.textContent = entry.name;
        item.append(name, ` (${partName(entry.kind)})${entry.pick ? `: ${entry.pick}` : ""}`);
        const acts = document.createElement("span");
        acts.className = "do";
        acts.append(
          button("Change", entry.name, () => take(number)),
          button("Take out", entry.name, () => drop(number)),
        );
        item.append(acts);
        return item;
      }),
    );
  }

  function put() {
    if (isEmpty()) {
      tell("Nothing was put into the job: nothing is measured or read yet.");
      return false;
    }
    const state = typed();
    const told = shown === question() ? answer.querySelector("[data-verdict]") : null;
    const entry = {
      ...state,
      name: freeName(state.name),
      verdict: told ? told.dataset.verdict : "",
      pick: told ? told.dataset.pick : "",
    };
    job = [...job, entry];
    showJob();
    fill(empty(state.unit));
    changed();
    tell(`In the job: ${entry.name}`);
    return true;
  }

  function drop(number) {
    const [entry] = job.splice(number, 1);
    showJob();
    tell(`Taken out: ${entry.name}`);
    list.closest("section").querySelector("button").focus();
  }

  function take(number) {
    const [entry] = job.splice(number, 1);
    if (entry.kind !== kind) {
      const typedThere = fitcheck.read(`bench.${entry.kind}`, null);
      if (typedThere && Object.keys(typedThere.values).length) {
        job.push({ ...typedThere, name: freeName(typedThere.name || entry.kind), verdict: "", pick: "" });
      }
      fitcheck.keep("job", job);
      fitcheck.keep(`bench.${entry.kind}`, entry);
      location.assign(`/bench/${entry.kind}`);
      return;
    }
    // What is typed already is not lost to what is taken back.
    if (!isEmpty()) put();
    fill(entry);
    showJob();
    changed();
    inputs("name")[0].focus();
  }

  function keepAbout() {
    const about = {};
    for (const [name, text] of new FormData(card)) if (!NOT_TYPED.has(name)) about[name] = text;
    fitcheck.keep("about", about);
  }

  // --- begin -----------------------------------------------------------------------------------

  if (form.dataset.fresh === "yes") {
    const before = fitcheck.read(`bench.${kind}`, null);
    if (before && before.values && before.tools) fill(before);
    const about = fitcheck.read("about", {});
    for (const one of card.querySelectorAll("input[type=text]")) one.value = about[one.name] || one.value;
    for (const one of card.querySelectorAll("input[type=radio]")) {
      one.checked = one.value === (about.turning || "");
    }
  } else {
    const brought = JSON.parse(card.elements.job.value || "[]");
    if (brought.length) job = brought;
    fitcheck.keep(`bench.${kind}`, typed());
    keepAbout();
  }
  if (!Array.isArray(job)) job = [];
  showJob();
  const date = card.elements.date;
  if (date && !date.value) date.value = new Date().toISOString().slice(0, 10);

  form.addEventListener("input", changed);
  card.addEventListener("input", keepAbout);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const pressed = event.submitter || { value: "answer" };
    const [act, key] = pressed.value.split(":");
    if (act === "more") {
      another(pressed.closest(".texts"), "").focus();
    } else if (act === "put") {
      if (put()) inputs("name")[0].focus();
    } else if (act === "turn") {
      location.assign(pressed.formAction);
    } else if (act === "clear") {
      fill(empty(typed().unit));
      changed();
      inputs("name")[0].focus();
    } else {
      ask();
    }
  });
  card.addEventListener("submit", (event) => {
    if (job.length && !fitcheck.isLost()) return;
    event.preventDefault();
    if (job.length) fitcheck.connection(false, "No connection: the job is kept here; its card is made when the connection is back.");
    else tell("Put a position into the job first.");
  });
  addEventListener("online", ask);
  if (isEmpty()) {
    // Read to its end: a body that nobody reads keeps its connection.
    fetch("/api/alive")
      .then((alive) => alive.text())
      .then(
        () => fitcheck.connection(true),
        () => fitcheck.connection(false),
      );
  } else {
    ask();
  }
})();
