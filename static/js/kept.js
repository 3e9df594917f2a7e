// Where work is: an answer is on its way, has arrived, or was not kept and has to be pressed again. Its row says the
// same: what was not kept is not pressed there.

const place = document.getElementById("kept");
const lost = new Set();
let waiting = 0;

function show() {
  const words = waiting
    ? `${waiting} on the way`
    : lost.size
      ? `${lost.size} not kept: press again`
      : "All sent";
  if (!place || place.textContent === words) return;
  place.textContent = words;
  place.classList.toggle("sent", words === "All sent");
  place.classList.toggle("part", waiting > 0);
}

function isAnswer(event) {
  return event.detail.requestConfig?.verb === "post";
}

document.addEventListener("htmx:beforeSend", (event) => {
  if (!isAnswer(event)) return;
  waiting += 1;
  show();
});

// What cannot be (422) has arrived: the server says so at the row. Without an answer the status is 0.
document.addEventListener("htmx:afterRequest", (event) => {
  if (!isAnswer(event)) return;
  waiting = Math.max(waiting - 1, 0);
  const { status } = event.detail.xhr;
  const act = event.detail.requestConfig.path;
  if (status === 422 || (status >= 200 && status < 400)) lost.delete(act);
  else lost.add(act);
  show();
});
