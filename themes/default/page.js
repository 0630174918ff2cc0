// Walks through the list that stands in the page. Without it the page is that list, whole.
// Where the reader is stands in the address after "#": language / stop / answers, so that a
// reload, the browser's own "back" and a change of language keep the place. No text is ever
// parsed as markup: what is shown is copied from the list.
"use strict";
(() => {
  const root = document.documentElement;
  const sheets = [...document.querySelectorAll(".sheet")];
  const nav = document.querySelector(".languages");
  const one = (node, selector) => node.querySelector(selector);
  const below = (node, selector) => [...node.querySelectorAll(`:scope > ${selector}`)];
  let shown = null; // the state that is on the screen
  let timer = 0;
  let awake = null;

  // --- where we are: { sheet, at, answers }; `at` is a stop's number, "end", or null for the list

  for (const sheet of sheets) {
    sheet.tag = sheet.id; // the address is ours from here on: the browser must not scroll to it
    sheet.removeAttribute("id");
    sheet.stops = [...sheet.querySelectorAll(".stop")];
    sheet.parts = [...sheet.querySelectorAll(".part")];
  }

  function read() {
    let pieces = [];
    try { pieces = decodeURIComponent(location.hash.slice(1)).split("/"); } catch { /* not ours */ }
    const sheet = sheets.find((each) => each.tag === pieces[0]) || sheets[0];
    const answers = new Map();
    for (const piece of pieces.slice(2)) {
      const found = /^(\d+)\.(\d+)$/.exec(piece);
      if (found && sheet.stops[found[1]]) answers.set(Number(found[1]), Number(found[2]));
    }
    let at = null;
    if (pieces[1] === "end") at = "end";
    else if (/^\d+$/.test(pieces[1] || "") && sheet.stops[pieces[1]]) at = Number(pieces[1]);
    return { sheet, at, answers };
  }

  function address({ sheet, at, answers }) {
    const given = [...answers].map((pair) => pair.join("."));
    return at === null && !given.length
      ? `#${sheet.tag}`
      : `#${[sheet.tag, at === null ? "" : at, ...given].join("/")}`;
  }

  // At once, and not when the browser gets to it: a second key may come before that.
  function go(change, instead = false) {
    const target = address({ ...shown, ...change });
    if (target !== location.hash) {
      if (instead) history.replaceState(null, "", target);
      else history.pushState(null, "", target);
    }
    show();
  }

  // --- the way through one part, as far as the answers lead

  function along(sheet, holder, answers, place, chosen) {
    const way = [];
    for (const stretch of below(holder, ".stretch")) {
      const head = below(stretch, ".area")[0];
      const here = head ? { zone: stretch, head } : place;
      let first = head;
      for (const list of below(stretch, ".stops")) {
        for (const stop of below(list, ".stop")) {
          const at = sheet.stops.indexOf(stop);
          way.push({ at, stop, here, entering: first && head.classList.contains("door"), chosen });
          first = null;
          if (!stop.classList.contains("fork")) continue;
          const picked = below(one(stop, ".ways"), ".way")[answers.get(at)];
          if (!picked) return { way, open: true };
          const inner = along(sheet, picked, answers, here, picked);
          way.push(...inner.way);
          if (inner.open) return { way, open: true };
        }
      }
    }
    return { way, open: false };
  }

  const route = (sheet, part, answers) => along(sheet, part, answers, null, null);
  const partOf = (sheet, at) => sheet.stops[at].closest(".part");

  function neighbour({ sheet, at, answers }, step) {
    if (at === "end") return step < 0 ? lastOf(sheet, sheet.parts.at(-1), answers) : null;
    const part = partOf(sheet, at);
    const { way, open } = route(sheet, part, answers);
    const index = way.findIndex((each) => each.at === at);
    const next = way[index + step];
    if (next) return next.at;
    if (step > 0 && open) return null; // a question that has no answer yet
    const other = sheet.parts[sheet.parts.indexOf(part) + step];
    if (!other) return step > 0 ? "end" : null;
    return step > 0 ? firstOf(sheet, other) : lastOf(sheet, other, answers);
  }

  function firstOf(sheet, part) {
    const stop = one(part, ".stop");
    return stop ? sheet.stops.indexOf(stop) : "end";
  }

  function lastOf(sheet, part, answers) {
    const last = route(sheet, part, answers).way.at(-1);
    return last ? last.at : null;
  }

  // --- showing it

  function show() {
    const before = shown;
    shown = read();
    const { sheet, at } = shown;
    stopTimer();
    for (const each of sheets) each.classList.toggle("here", each === sheet);
    root.lang = sheet.lang;
    root.dir = sheet.dir;
    document.title = sheet.dataset.title;
    root.classList.toggle("walking", at !== null);
    keepAwake(at !== null);
    showLanguages(at);
    if (at !== null) showStop();
    else showList(before);
  }

  function showLanguages(at) {
    if (!nav) return;
    nav.setAttribute("aria-label", shown.sheet.dataset.language);
    for (const link of nav.querySelectorAll("a")) {
      const there = link.lang === shown.sheet.tag;
      if (there) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
      if (there) one(nav, ".now").textContent = link.textContent;
      link.href = address({ ...shown, sheet: sheets.find((each) => each.tag === link.lang) });
    }
    one(nav, "details").open = at === null;
  }

  function showList(before) {
    for (const found of document.querySelectorAll(".found")) found.classList.remove("found");
    if (!before || typeof before.at !== "number") return;
    const stop = shown.sheet.stops[before.at];
    stop.classList.add("found");
    stop.tabIndex = -1;
    stop.focus({ preventScroll: true });
    stop.scrollIntoView({ block: "center" });
  }

  function showStop() {
    const { sheet, at, answers } = shown;
    const walk = one(sheet, ".walk");
    const card = one(walk, ".card");
    const ended = at === "end";
    const stop = ended ? null : sheet.stops[at];
    const part = ended ? sheet.parts.at(-1) : partOf(sheet, at);
    const { way } = route(sheet, part, answers);
    const now = way.find((each) => each.at === at);
    if (!ended && !now) return go({ at: way.at(-1).at }, true); // not on the way that the answers lead
    walk.classList.toggle("ended", ended);
    walk.classList.toggle("timed", Boolean(stop && stop.classList.contains("beat")));
    card.replaceChildren(...(ended ? ending(sheet, part) : content(now, part)));
    const named = [one(card, ".lead"), one(card, ".detail")].filter(Boolean);
    named.forEach((node, i) => { node.id = `${sheet.tag}-said-${i}`; });
    card.setAttribute("aria-labelledby", [`${sheet.tag}-place`, ...named.map((node) => node.id)].join(" "));
    const zone = ended ? below(part, ".stretch").at(-1) : now.here.zone;
    card.className = `card ${zone.className.replace("stretch", "").trim()}`;
    one(walk, ".where").textContent = one(part, "h2").textContent;
    one(walk, ".progress").textContent = ended ? "" : stop.dataset.place;
    const stops = [...part.querySelectorAll(".stop")];
    const share = ended ? 1 : stops.indexOf(stop) / stops.length;
    one(walk, ".bar + .track > .fill").style.width = `${100 * share}%`;
    if (stop && stop.classList.contains("beat")) readyTimer(walk, stop);
    showMoves(walk, stop);
    scrollTo(0, 0);
    card.focus({ preventScroll: true });
  }

  function content(now, part) {
    const nodes = [];
    const area = now.here.head.cloneNode(true);
    area.classList.toggle("door", Boolean(now.entering));
    nodes.push(area);
    if (now.stop === one(part, ".stop")) {
      nodes.push(...below(part, ".introduction").map((each) => each.cloneNode(true)));
    }
    if (now.chosen) {
      const chosen = document.createElement("p");
      chosen.className = "chosen";
      chosen.append(...copies(one(now.chosen, ".answer > .lead")));
      nodes.push(chosen);
    }
    nodes.push(...below(now.stop, ".step, :scope > .band, :scope > .caution").map((n) => n.cloneNode(true)));
    if (now.stop.classList.contains("fork")) nodes.push(choices(now));
    return nodes;
  }

  const copies = (node) => [...node.childNodes].map((each) => each.cloneNode(true));

  function choices(now) {
    const { sheet, answers } = shown;
    const group = document.createElement("div");
    group.className = "choices";
    below(one(now.stop, ".ways"), ".way").forEach((way, index) => {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "choice";
      if (answers.get(now.at) === index) button.setAttribute("aria-pressed", "true");
      if (index < 9) {
        const key = document.createElement("kbd");
        key.setAttribute("aria-hidden", "true");
        key.textContent = digits(index + 1);
        button.append(key);
        button.setAttribute("aria-keyshortcuts", String(index + 1));
      }
      for (const paragraph of one(way, ".answer").children) {
        const span = document.createElement("span");
        span.className = paragraph.className;
        span.append(...copies(paragraph));
        button.append(span, " ");
      }
      if (chosenBefore(sheet, now.stop, way, answers)) {
        const earlier = document.createElement("span");
        earlier.className = "earlier";
        earlier.textContent = sheet.dataset.before;
        button.append(earlier);
      }
      button.addEventListener("click", () => choose(now.at, index));
      group.append(button);
    });
    return group;
  }

  function chosenBefore(sheet, stop, way, answers) {
    return [...answers].some(([at, index]) => {
      const other = sheet.stops[at];
      if (!other || other === stop || !other.classList.contains("fork")) return false;
      if (other.dataset.question !== stop.dataset.question) return false;
      const picked = below(one(other, ".ways"), ".way")[index];
      return Boolean(picked) && picked.dataset.key === way.dataset.key;
    });
  }

  function choose(at, index) {
    const answers = new Map(shown.answers).set(at, index);
    go({ answers, at: neighbour({ ...shown, answers }, 1) });
  }

  function ending(sheet, part) {
    const area = one(below(part, ".stretch").at(-1), ".area").cloneNode(true);
    const lead = document.createElement("p");
    lead.className = "lead";
    lead.textContent = sheet.dataset.done;
    const duty = document.createElement("p");
    duty.className = "detail";
    duty.append(...copies(one(sheet, ".head .duty")));
    return [area, lead, duty];
  }

  function showMoves(walk, stop) {
    const onward = shown.at === "end" ? null : neighbour(shown, 1);
    const fork = Boolean(stop && stop.classList.contains("fork"));
    one(walk, ".back").disabled = neighbour(shown, -1) === null;
    one(walk, ".next").disabled = fork || onward === null;
    let coming = "";
    if (onward === "end") coming = shown.sheet.dataset.done;
    else if (onward !== null && !fork) {
      const next = shown.sheet.stops[onward];
      coming = (one(next, ".lead") || one(next, ".detail")).textContent;
    }
    const pattern = shown.sheet.dataset.coming;
    one(walk, ".coming").textContent = coming ? pattern.replace("{text}", () => coming) : "";
  }

  // --- hand hygiene: the clinic's own least and full time

  const digits = (number) =>
    [...String(number)].map((each) => [...shown.sheet.dataset.digits][each]).join("");

  function readyTimer(walk, stop) {
    const least = Number(stop.dataset.least);
    const most = Number(stop.dataset.most);
    const range = least < most ? `${digits(least)}–${digits(most)}` : digits(most);
    one(walk, ".left").textContent = `${range} s`;
    one(walk, ".phase").textContent = "";
    one(walk, ".timer .fill").style.width = "0";
    one(walk, ".timer .least").style.insetInlineStart = `calc(${(100 * least) / most}% - 4px)`;
  }

  function startTimer() {
    const { sheet, at } = shown;
    const walk = one(sheet, ".walk");
    const stop = sheet.stops[at];
    const least = Number(stop.dataset.least);
    const most = Number(stop.dataset.most);
    const begun = performance.now();
    stopTimer();
    one(walk, ".timer").classList.add("running");
    one(walk, ".card").focus({ preventScroll: true });
    let told = "";
    const tick = () => {
      const gone = Math.floor((performance.now() - begun) / 1000);
      const goal = gone < least ? least : most;
      const phase = gone < least ? "going" : gone < most ? "least" : "full";
      one(walk, ".left").textContent = `${digits(Math.max(goal - gone, 0))} s`;
      one(walk, ".timer .fill").style.width = `${Math.min((100 * gone) / most, 100)}%`;
      if (phase !== told) {
        told = phase;
        one(walk, ".phase").textContent = sheet.dataset[phase];
        const left = phase === "full" ? "" : ` ${digits(goal - gone)} s`;
        one(walk, ".told").textContent = sheet.dataset[phase] + left;
      }
      if (gone >= most) clearInterval(timer);
    };
    tick();
    timer = setInterval(tick, 200);
  }

  function stopTimer() {
    clearInterval(timer);
    for (const each of document.querySelectorAll(".running")) each.classList.remove("running");
    for (const each of document.querySelectorAll(".told")) each.textContent = "";
  }

  function keepAwake(wanted) {
    if (!wanted) {
      if (awake) awake.then((lock) => lock && lock.release(), () => {});
      awake = null;
    } else if (!awake && navigator.wakeLock) {
      awake = navigator.wakeLock.request("screen").catch(() => null);
    }
  }

  // --- keys and buttons

  function forward() {
    const next = shown.at === "end" ? null : neighbour(shown, 1);
    const fork = shown.at !== "end" && shown.sheet.stops[shown.at].classList.contains("fork");
    if (next !== null && !fork) go({ at: next });
  }

  function back() {
    const before = neighbour(shown, -1);
    if (before !== null) go({ at: before });
  }

  function space() {
    const walk = one(shown.sheet, ".walk");
    if (!walk.classList.contains("timed")) return forward();
    if (!one(walk, ".timer").classList.contains("running")) return startTimer();
    const gone = one(walk, ".phase").textContent !== shown.sheet.dataset.going;
    if (gone) forward(); // a second tap on the key must not cut the rubbing short
  }

  function pressed(event) {
    if (shown.at === null || event.ctrlKey || event.altKey || event.metaKey) return;
    const onControl = event.target.closest("button, a, summary");
    const ahead = shown.sheet.dir === "rtl" ? "ArrowLeft" : "ArrowRight";
    const behind = shown.sheet.dir === "rtl" ? "ArrowRight" : "ArrowLeft";
    const digit = /^(?:Digit|Numpad)([1-9])$/.exec(event.code);
    const act = {
      Escape: () => go({ at: null }),
      [ahead]: forward,
      [behind]: back,
      Enter: onControl ? null : forward,
      " ": onControl ? null : space,
    }[event.key];
    const choice = digit && !event.shiftKey && one(shown.sheet, ".walk")
      .querySelectorAll(".choice")[digit[1] - 1];
    if (!act && !choice) return;
    event.preventDefault();
    if (act) act();
    else choice.click();
  }

  for (const sheet of sheets) {
    sheet.parts.forEach((part) => one(part, ".start").addEventListener("click", () => {
      // what was answered in other parts still holds; the first part begins a new round
      const fresh = part === sheet.parts[0];
      const kept = [...shown.answers].filter(([at]) => !fresh && partOf(sheet, at) !== part);
      go({ at: firstOf(sheet, part), answers: new Map(kept) });
    }));
    const walk = one(sheet, ".walk");
    one(walk, ".next").addEventListener("click", forward);
    one(walk, ".back").addEventListener("click", back);
    one(walk, ".run").addEventListener("click", startTimer);
    one(walk, ".leave").addEventListener("click", () => go({ at: null }));
    one(walk, ".again").addEventListener("click", () => {
      go({ at: firstOf(sheet, sheet.parts[0]), answers: new Map() });
    });
  }
  document.addEventListener("keydown", pressed);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && shown.at !== null) { awake = null; keepAwake(true); }
  });
  addEventListener("hashchange", show);
  root.classList.add("js");
  show();
})();
