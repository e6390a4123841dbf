// What makes the forms live. Without it every form works by its button.
"use strict";

(() => {
  document.documentElement.classList.add("live");
  const WAIT = 120; // ms after the last key
  let timer = 0;
  let asked = 0;

  // The answer beside the question changes as a reply is typed.
  for (const form of document.querySelectorAll("form[data-live]")) {
    form.addEventListener("input", () => {
      clearTimeout(timer);
      timer = setTimeout(() => live(form), WAIT);
    });
  }

  async function live(form) {
    const panel = document.getElementById("answer");
    if (!panel) return;
    const own = ++asked;
    const query = new URLSearchParams(new FormData(form));
    const answer = await fetch(`${form.dataset.live}?${query}`).catch(() => null);
    if (own !== asked) return;
    // What stands there must never be the answer to another reply.
    if (answer && answer.ok) panel.innerHTML = await answer.text();
    else panel.textContent = panel.dataset.failed;
  }

  // What answers a form goes while the form says something else than it was sent with.
  for (const form of document.querySelectorAll("form[data-answered]")) {
    const told = () => {
      const other = [...form.elements].some(isChanged);
      for (const one of document.getElementsByClassName(form.dataset.answered)) one.hidden = other;
      for (const one of document.querySelectorAll(".sent-before")) one.hidden = !other;
    };
    form.addEventListener("input", told);
    window.addEventListener("pageshow", told); // a browser may bring back what was typed
  }

  function isChanged(one) {
    if (one.type === "radio" || one.type === "checkbox") return one.checked !== one.defaultChecked;
    if (!one.options) return "defaultValue" in one && one.value !== one.defaultValue;
    const first = [...one.options].findIndex((choice) => choice.defaultSelected);
    return one.selectedIndex !== Math.max(0, first);
  }

  // A number key presses the choice of that number, "<" goes back. Two figures make one number
  // where there are ten choices or more.
  let digits = "";
  let digitTimer = 0;
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.target.matches("input:not([type=checkbox]), textarea, select, canvas")) return;
    if (event.key === "<") {
      press("<");
    } else if (/^[0-9]$/.test(event.key)) {
      digits += event.key;
      clearTimeout(digitTimer);
      const more = document.querySelector(`[data-key="${digits}0"], [data-key="${digits}1"]`);
      if (more && digits !== "0") digitTimer = setTimeout(() => press(digits), 600);
      else press(digits);
    }
  });

  function press(key) {
    digits = "";
    const found = document.querySelector(`[data-key="${CSS.escape(key)}"]`);
    if (found) found.click();
  }
})();
