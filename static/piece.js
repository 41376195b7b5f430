// The piece page: changes leave one after the other, and no answer takes away what was typed since its request left.
(() => {
  const QUICK = "#sheet form[hx-trigger*=change]"; // forms that keep what is typed by themselves
  const touched = new WeakSet(); // fields that were typed in and have not been kept yet
  const refused = new WeakSet(); // those of them that were sent, and were not kept
  const leaving = new WeakMap(); // by request: the touched fields that left with it

  const typing = ({ target }) => {
    touched.add(target);
    refused.delete(target);
  };
  document.addEventListener("input", typing);
  document.addEventListener("change", typing, true);

  // The way back shows a page as it was when it was left: ask for it as it is now.
  window.addEventListener("pageshow", ({ persisted }) => {
    const [way] = performance.getEntriesByType("navigation");
    const unkept = [...document.querySelectorAll("#sheet :is(input, select)")].some((field) => touched.has(field));
    if (!unkept && (persisted || way?.type === "back_forward")) location.reload();
  });

  document.addEventListener("htmx:before:request", ({ detail: { ctx } }) => {
    const form = ctx.sourceElement.closest("#sheet form");
    if (!form || ctx.request.method !== "POST") return;
    // a change that waited behind another one leaves with what its form holds by now
    const body = new URLSearchParams(new FormData(form));
    body.set("revision", document.getElementById("revision").value);
    ctx.request.body = body;
    ctx.request.keepalive = true; // it arrives also where the page is left meanwhile
    leaving.set(ctx, [...form.elements].filter((field) => touched.delete(field)));
    // the next panel can be typed while this one is on its way
    if (form.matches(".new-panel")) [...form.elements].find((field) => field.type === "text" && field.value)?.select();
  });

  const stay = ({ detail: { ctx } }) => {
    for (const field of leaving.get(ctx) ?? []) {
      touched.add(field);
      refused.add(field);
    }
  };
  document.addEventListener("htmx:response:error", stay); // refused
  document.addEventListener("htmx:error", stay); // without an answer

  // What is typed when the page is left goes along; of what was refused, the browser asks whether it may be lost. It goes
  // before the page does, if that can be: what a page sends that is gone may be lost on its way through the service worker.
  const send = () => {
    for (const form of document.querySelectorAll(QUICK)) {
      const typed = [...form.elements].filter((field) => touched.has(field));
      if (!typed.length || typed.every((field) => refused.has(field))) continue;
      typed.forEach((field) => touched.delete(field));
      navigator.sendBeacon(form.action, new URLSearchParams(new FormData(form)));
    }
  };
  window.addEventListener("beforeunload", (event) => {
    const fields = [...document.querySelectorAll("#sheet :is(input, select)")];
    if (fields.some((field) => refused.has(field) && touched.has(field))) event.preventDefault();
    else send();
  });
  window.addEventListener("pagehide", send);

  htmx.registerExtension("keep-typed", {
    htmx_before_morph_attr: (element, { attrName }) => !(attrName === "value" && touched.has(element)),
  });

  // What was not typed in shows what is kept.
  document.addEventListener("htmx:after:swap", () => {
    for (const field of document.querySelectorAll("#sheet :is(input[type=text], input[type=radio], select)")) {
      if (touched.has(field)) continue;
      if (field.type === "radio") field.checked = field.defaultChecked;
      else if (field.type !== "text") field.selectedIndex = Math.max(0, [...field.options].findLastIndex((one) => one.defaultSelected));
      else if (field.value !== field.defaultValue) field.value = field.defaultValue;
    }
  });
})();

// What was taken out can be put back in this tab also after the page was left, or asked for anew.
(() => {
  const key = `taken out of ${location.pathname}`;
  const undo = () => document.getElementById("undo");
  const kept = (use) => {
    try {
      return use(sessionStorage);
    } catch {
      return null; // storage is switched off, or full: it can be put back as long as the page is here
    }
  };

  document.addEventListener("htmx:after:swap", () => {
    const shown = undo().firstElementChild && undo().innerHTML.replace(" autofocus", "");
    kept((store) => (shown ? store.setItem(key, shown) : store.removeItem(key)));
  });
  document.addEventListener("submit", ({ target }) => undo().contains(target) && kept((store) => store.removeItem(key)), true);

  const taken = kept((store) => store.getItem(key));
  if (taken && !undo().firstElementChild) undo().innerHTML = taken;
})();
