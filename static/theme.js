// Light or dark: follows the device until the reader chooses otherwise; the choice stays in this browser.
// Loaded in the head without defer, so that the first paint already has the right colours.
(() => {
  const key = "seasonal-theme";
  const root = document.documentElement;
  const device = matchMedia("(prefers-color-scheme: dark)");

  const stored = () => {
    try {
      return localStorage.getItem(key);
    } catch {
      return null; // storage is switched off: the choice then lasts for this page
    }
  };

  const isDark = () => (root.dataset.theme ? root.dataset.theme === "dark" : device.matches);

  const show = () => {
    for (const button of document.querySelectorAll("[data-theme-switch]")) {
      button.setAttribute("aria-pressed", String(isDark()));
    }
  };

  const choose = (theme) => {
    const followsDevice = (theme === "dark") === device.matches;
    if (followsDevice) delete root.dataset.theme;
    else root.dataset.theme = theme;
    try {
      if (followsDevice) localStorage.removeItem(key);
      else localStorage.setItem(key, theme);
    } catch {
      return;
    }
  };

  root.dataset.script = "";
  if (["light", "dark"].includes(stored())) root.dataset.theme = stored();

  document.addEventListener("click", (event) => {
    if (!event.target.closest("[data-theme-switch]")) return;
    choose(isDark() ? "light" : "dark");
    show();
  });
  document.addEventListener("DOMContentLoaded", show);
  document.addEventListener("htmx:after:swap", show);
  device.addEventListener("change", show);
})();
