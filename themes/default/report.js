// The report reads without this: arrow keys go along the picture, and Escape puts a note away.
(() => {
  "use strict";
  const runs = (row) => [...row.querySelectorAll(".run")];
  const beside = (run, by) => {
    const all = runs(run.closest("tr"));
    return all[all.indexOf(run) + by];
  };
  const below = (run, by) => {
    const rows = [...run.closest("tbody").rows];
    const place = run.getBoundingClientRect();
    const centre = place.left + Math.min(place.width, 24) / 2;
    for (let at = rows.indexOf(run.closest("tr")) + by; rows[at]; at += by) {
      const there = runs(rows[at]).find((other) => {
        const box = other.getBoundingClientRect();
        return box.left <= centre && centre < box.right;
      });
      if (there) return there;
    }
    return undefined;
  };
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") {
      document.documentElement.classList.add("quietly");
      return;
    }
    document.documentElement.classList.remove("quietly");
    const run = document.activeElement;
    if (!run || !run.classList.contains("run")) return;
    const ways = {
      ArrowRight: () => beside(run, 1),
      ArrowLeft: () => beside(run, -1),
      ArrowDown: () => below(run, 1),
      ArrowUp: () => below(run, -1),
    };
    const next = ways[event.key] && ways[event.key]();
    if (!next) return;
    event.preventDefault();
    next.focus();
  });
  const kept = (event) => {
    const note = event.target.closest && event.target.closest("td")?.querySelector(".why");
    if (!note) return;
    note.style.marginLeft = "0";
    const over = note.getBoundingClientRect().right + 8 - document.documentElement.clientWidth;
    if (over > 0) note.style.marginLeft = `${-over}px`;
  };
  document.addEventListener("focusin", kept);
  document.addEventListener("pointerover", kept);
  document.addEventListener("pointermove", () => document.documentElement.classList.remove("quietly"));
})();
