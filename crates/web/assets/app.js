// Comforts only: every page reads and saves without this.

const KEY = "fairtank-theme";
const THEMES = ["device", "light", "dark"];

function themeToggle(button) {
  const root = document.documentElement;
  const now = () => root.dataset.theme ?? "device";
  const label = () => { button.textContent = `Theme: ${now()}`; };
  button.hidden = false;
  label();
  button.addEventListener("click", () => {
    const next = THEMES[(THEMES.indexOf(now()) + 1) % THEMES.length];
    if (next === "device") delete root.dataset.theme;
    else root.dataset.theme = next;
    try {
      if (next === "device") localStorage.removeItem(KEY);
      else localStorage.setItem(KEY, next);
    } catch {
      // Without storage the choice lasts for this page.
    }
    label();
  });
}

// "Every tank" and single tanks exclude each other; the server refuses both together.
function everyTank(group) {
  const boxes = [...group.querySelectorAll("input[type=checkbox]")];
  const every = boxes.find((box) => box.value === "*");
  group.addEventListener("change", ({ target }) => {
    if (target === every && every.checked) {
      for (const box of boxes) if (box !== every) box.checked = false;
    } else if (target !== every && target.checked) {
      every.checked = false;
    }
  });
}

// Reads the line back while it is typed. The answer is plain text and shown as such.
function jot(input) {
  const out = document.getElementById(input.dataset.jotOut);
  let timer = 0;
  let asked;
  const read = async () => {
    asked?.abort();
    asked = new AbortController();
    const line = input.value;
    if (line.trim() === "") {
      out.textContent = "";
      return;
    }
    try {
      const url = `${input.dataset.jotUrl}?line=${encodeURIComponent(line)}`;
      const answer = await fetch(url, { signal: asked.signal });
      if (answer.ok) out.textContent = await answer.text();
    } catch {
      // Stopped by the next key, or the program has ended: the line is read when it is sent.
    }
  };
  input.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(read, 180);
  });
}

for (const button of document.querySelectorAll("[data-theme-toggle]")) themeToggle(button);
for (const group of document.querySelectorAll("[data-every]")) everyTank(group);
for (const input of document.querySelectorAll("[data-jot]")) jot(input);

document.addEventListener("click", (event) => {
  const asking = event.target.closest("[data-confirm]");
  if (asking && !window.confirm(asking.dataset.confirm)) event.preventDefault();
});

// After a form was refused, the list of errors is where reading goes on.
document.querySelector("[role=alert][tabindex]")?.focus();
