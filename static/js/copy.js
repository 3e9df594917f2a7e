// A copy on paper of what is shown, at once and without a signal: what is folded away is opened for it.

document.addEventListener("click", ({ target }) => {
  if (!target.closest?.("[data-print]")) return;
  const folded = [...document.querySelectorAll("#look details:not([open])")];
  for (const details of folded) details.open = true;
  addEventListener("afterprint", () => {
    for (const details of folded) details.open = false;
  }, { once: true });
  print();
});
