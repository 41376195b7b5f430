// A fold that the reader has opened stays open when the page is drawn anew around it.
htmx.registerExtension("keep-open", {
  htmx_before_morph_attr: (element, { attrName, newValue }) =>
    !(element.localName === "details" && attrName === "open" && newValue === null),
});

// A link that leads to a fold opens it.
(() => {
  const unfold = (id) => {
    const found = id && document.getElementById(id);
    if (found instanceof HTMLDetailsElement) found.open = true;
  };
  document.addEventListener("click", ({ target }) => unfold(target.closest?.('a[href^="#"]')?.hash.slice(1)));
  unfold(location.hash.slice(1));
})();
