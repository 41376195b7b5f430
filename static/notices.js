// Says what a page cannot show by itself: that a request got no answer, or that the server failed. And tells the server
// which requests come from a changed field, so that their answer leaves the focus in the field that one has gone on to.
(() => {
  const UNREACHED =
    "The server did not answer: it has stopped, or the connection is broken. What you typed is still here; try again.";
  const FAILED = "The server failed. What you typed is still here; try again.";

  const region = () => {
    const found = document.getElementById("failure");
    if (found) return found;
    const made = document.createElement("div");
    made.id = "failure";
    made.className = "notice refusal failure";
    made.setAttribute("role", "alert");
    document.getElementById("main").append(made);
    return made;
  };

  const show = (words) => {
    const head = document.createElement("strong");
    head.textContent = "No answer.";
    region().replaceChildren(head, words);
  };

  // the server's own words, from the page that it sent with its refusal
  const wordsOf = (text) => {
    const said = new DOMParser().parseFromString(text ?? "", "text/html").querySelector("#problem .notice");
    said?.querySelector("strong")?.remove();
    return said?.textContent.trim() || FAILED;
  };

  document.addEventListener("DOMContentLoaded", region);
  document.addEventListener("htmx:config:request", (event) => {
    const { request, sourceEvent } = event.detail.ctx;
    if (sourceEvent?.type === "change") request.headers["Asked-By"] = "change";
  });
  document.addEventListener("htmx:response:error", (event) => {
    const { response, text } = event.detail.ctx;
    if (response.status >= 500) show(wordsOf(text));
  });
  document.addEventListener("htmx:error", (event) => {
    if (event.detail.ctx) show(UNREACHED);
  });
  document.addEventListener("htmx:before:request", () => region().replaceChildren());
})();
