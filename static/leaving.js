// A press that leads away waits for the answer to what was typed just before it: the page that it leads to, and a link
// that carries what is typed, have it then. It waits no longer than a moment, and not at all where nothing was typed.
(() => {
  const LONGEST = 2000; // ms
  const latest = new WeakMap(); // by form: the number of its last change
  const left = new WeakMap(); // by request: the number of the last change that left with it
  const unanswered = new Set();
  let changes = 0;
  let pressed = null;
  let timer = 0;

  const go = () => {
    clearTimeout(timer);
    const link = pressed;
    pressed = null;
    unanswered.clear();
    // the unit switch is drawn anew with each answer
    const now = link.isConnected ? link : [...document.querySelectorAll("#units a")].find((one) => one.text === link.text);
    now?.click();
  };

  document.addEventListener("change", ({ target: { form } }) => {
    if (!form?.getAttribute("hx-trigger")?.includes("change")) return;
    latest.set(form, ++changes);
    unanswered.add(form);
  }, true);

  document.addEventListener("htmx:before:request", ({ detail: { ctx } }) => left.set(ctx, latest.get(ctx.sourceElement)));

  document.addEventListener("htmx:finally:request", ({ detail: { ctx } }) => {
    if (left.get(ctx) !== latest.get(ctx.sourceElement)) return;
    unanswered.delete(ctx.sourceElement);
    if (!pressed || unanswered.size) return;
    // what was refused, or not answered, is looked at first; a page whose address is the question takes it along
    const kept = ctx.response?.status < 400 || ctx.request.method === "GET";
    if (kept && ctx.response) return setTimeout(go);
    clearTimeout(timer);
    pressed = null;
  });

  document.addEventListener("click", (event) => {
    const found = event.target.closest?.("a[href], button[type=submit]");
    if (!found || !unanswered.size || event.ctrlKey || event.metaKey || event.shiftKey) return;
    if (found.getAttribute("href")?.startsWith("#") || (found.form ?? found).hasAttribute("data-htmx-powered")) return;
    event.preventDefault();
    clearTimeout(timer);
    pressed = found;
    timer = setTimeout(go, LONGEST);
  }, true);
})();

// What is typed in a form that keeps nothing before it is sent is lost when the page is left: the browser asks first.
(() => {
  const TYPED = "form[method=post]:not([hx-trigger*=change]) :is(input[type=text], input[type=date], textarea)";
  let sent = null;

  document.addEventListener("submit", ({ target }) => (sent = target.hasAttribute("data-htmx-powered") ? null : target));

  addEventListener("beforeunload", (event) => {
    const unsent = (field) => field.form !== sent && field.value.trim() && field.value !== field.defaultValue;
    if ([...document.querySelectorAll(TYPED)].some(unsent)) event.preventDefault();
    sent = null;
  });
})();
