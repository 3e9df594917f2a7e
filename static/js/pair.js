// Two photos over each other: the slider says how much of the later one is seen.

function show(slider) {
  const shown = document.getElementById(slider.dataset.shows);
  shown.style.clipPath = `inset(0 0 0 ${slider.value}%)`;
  shown.parentElement.style.setProperty("--cut", `${slider.value}%`);
}

for (const slider of document.querySelectorAll("input[type=range][data-shows]")) {
  slider.closest("[hidden]")?.removeAttribute("hidden");
  slider.addEventListener("input", () => show(slider));
  show(slider);
}
