// The piece page: changes leave one after the other, each with what its form holds when it leaves.
(() => {
  // A change that waited behind another one would send what the form held before the answer to the first came.
  document.addEventListener("htmx:before:request", ({ detail: { ctx } }) => {
    const form = ctx.sourceElement.closest("#sheet form");
    if (!form || ctx.request.method !== "POST") return;
    const body = new URLSearchParams(new FormData(form));
    body.set("revision", document.getElementById("revision").value);
    ctx.request.body = body;
  });

  // A fold that the reader has opened stays open when its row is drawn anew.
  htmx.registerExtension("keep-open", {
    htmx_before_morph_attr: (element, { attrName, newValue }) =>
      !(element.localName === "details" && attrName === "open" && newValue === null),
  });
})();
