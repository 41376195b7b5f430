// Lets the browser keep this app's own files and open it like a program, where it can: on this machine, or over https.
addEventListener("load", () => {
  navigator.serviceWorker?.register("/service-worker.js").catch(() => undefined); // every page works without it
});
