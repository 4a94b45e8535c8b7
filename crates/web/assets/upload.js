// Shows how far files have been sent, and lets go of them on request; the form works without this.
function upload(form) {
  const box = form.querySelector("[data-upload-state]");
  const bar = box.querySelector("progress");
  const said = box.querySelector("[data-upload-said]");
  const stop = box.querySelector("button");
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const send = new XMLHttpRequest();
    send.upload.addEventListener("progress", ({ loaded, total }) => {
      bar.max = total;
      bar.value = loaded;
      said.textContent = said.dataset.uploadSaid.replace("{n}", Math.floor((100 * loaded) / total));
    });
    const over = () => { box.hidden = true; };
    send.addEventListener("load", () => {
      const path = new URL(send.responseURL).pathname;
      if (send.status < 400 && path !== new URL(form.action).pathname) {
        location.assign(path);
        return;
      }
      // The form again, with what is wrong.
      const page = new DOMParser().parseFromString(send.responseText, "text/html");
      document.querySelector("main").replaceWith(page.querySelector("main"));
      for (const again of document.querySelectorAll("[data-upload-state]")) upload(again.closest("form"));
      document.querySelector("[role=alert][tabindex]")?.focus();
    });
    send.addEventListener("error", over);
    send.addEventListener("abort", over);
    stop.onclick = () => send.abort();
    send.open("POST", form.action);
    send.send(new FormData(form));
    box.hidden = false;
  });
}

for (const state of document.querySelectorAll("[data-upload-state]")) upload(state.closest("form"));
