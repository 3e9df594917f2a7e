// Where work is: an answer is on its way, has arrived, or could not be sent and has to be pressed again.

const place = document.getElementById("kept");
let waiting = 0;

function say(words, look) {
  if (!place || place.textContent === words) return;
  place.textContent = words;
  place.classList.remove("sent", "part");
  if (look) place.classList.add(look);
}

document.addEventListener("htmx:beforeSend", () => {
  waiting += 1;
  say(`${waiting} on the way`, "part");
});

document.addEventListener("htmx:afterRequest", (event) => {
  waiting = Math.max(waiting - 1, 0);
  if (event.detail.failed && !event.detail.xhr?.status) say("No signal. Not kept: press it again", "");
  else if (event.detail.failed && event.detail.xhr.status !== 422) say("Not kept. Open the station again", "");
  else if (!waiting) say("All sent", "sent");
});
