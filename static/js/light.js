// Daylight or dusk, right hand or left: shown at once, kept for the person by the same form that works without script.

document.addEventListener("submit", (event) => {
  const form = event.target.closest?.("form[data-look]");
  if (!form) return;
  event.preventDefault();
  const data = new FormData(form, event.submitter);
  for (const name of ["light", "hand"]) {
    if (data.has(name)) document.documentElement.dataset[name] = data.get(name);
  }
  for (const button of form.querySelectorAll("button[name]")) {
    button.setAttribute("aria-pressed", String(data.get(button.name) === button.value));
  }
  fetch(form.action, { method: "POST", body: data, headers: { "X-Requested-With": "fetch" } }).then((answer) => {
    if (!answer.ok) form.submit();
  }, () => {});
});
