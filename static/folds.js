// A fold that the reader has opened stays open when the page is drawn anew around it.
htmx.registerExtension("keep-open", {
  htmx_before_morph_attr: (element, { attrName, newValue }) =>
    !(element.localName === "details" && attrName === "open" && newValue === null),
});
