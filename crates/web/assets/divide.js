// Puts two pictures one above the other with a divider; without this they stand side by side.
function divide(figure) {
  const stage = figure.querySelector(".divide-stage");
  const [left] = stage.querySelectorAll("img");
  const slider = figure.querySelector("input[type=range]");

  // How much of the left picture shows, in per cent.
  const show = (percent, gliding) => {
    const shown = Math.min(100, Math.max(0, Math.round(percent)));
    figure.classList.toggle("is-gliding", gliding);
    figure.style.setProperty("--cut", `${shown}%`);
    slider.value = shown;
    const said = figure.dataset.divide.replace("{l}", shown).replace("{r}", 100 - shown);
    slider.setAttribute("aria-valuetext", said);
  };
  const at = ({ clientX }) => {
    const box = stage.getBoundingClientRect();
    return (100 * (clientX - box.left)) / box.width;
  };

  slider.addEventListener("input", () => show(Number(slider.value), false));
  for (const button of figure.querySelectorAll("[data-divide-to]")) {
    button.addEventListener("click", () => show(Number(button.dataset.divideTo), true));
  }

  // A finger that scrolls the page cancels its pointer, so the divider moves only when it is meant.
  let held = false;
  stage.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    event.preventDefault();
    stage.setPointerCapture(event.pointerId);
    held = true;
  });
  stage.addEventListener("pointermove", (event) => {
    if (held) show(at(event), false);
  });
  stage.addEventListener("pointerup", (event) => {
    if (held) show(at(event), true);
    held = false;
  });
  stage.addEventListener("pointercancel", () => { held = false; });

  figure.style.setProperty("--ratio", left.getAttribute("width") / left.getAttribute("height"));
  figure.querySelector(".divide-control").hidden = false;
  figure.classList.add("is-divided");
  show(50, false);
}

for (const figure of document.querySelectorAll("[data-divide]")) divide(figure);
