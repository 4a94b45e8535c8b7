// Watches a job, so that the bar moves without the page being asked for again.
const box = document.querySelector("[data-job]");
const bar = box?.querySelector("progress");
const percent = box?.querySelector("[data-job-percent]");
const said = box?.querySelector("[data-job-said]");

async function look() {
  try {
    const answer = await fetch(box.dataset.job, { cache: "no-store" });
    const now = answer.ok ? await answer.json() : { ended: true };
    if (now.ended) {
      location.reload();
      return;
    }
    bar.value = now.permille;
    percent.textContent = `${Math.floor(now.permille / 10)} %`;
    // Read out only when it says something new.
    if (said.textContent !== now.said) said.textContent = now.said;
  } catch {
    // The program has ended or is busy: ask again.
  }
  setTimeout(look, 700);
}

if (box) setTimeout(look, 700);
