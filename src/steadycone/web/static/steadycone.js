// The one module of the pages: it hands each part of a page that asks for it to a file of its own. Without it everything still works,
// but a round without a connection.
// @ts-check

/** @param {Element} part */
async function wake(part) {
  const name = part.getAttribute("data-module") ?? "";
  if (!/^[a-z_]+$/.test(name)) return;
  const found = await import(`./${name}.js`);
  await found.default(part);
}

for (const part of document.querySelectorAll("[data-module]")) {
  wake(part).catch((error) => {
    part.setAttribute("data-module-failed", "");
    throw error;
  });
}

// Rounds that wait on this phone are told and sent from every page.
const sent = document.getElementById("sent");
if (sent) import("./round_sent.js").then((found) => found.default(sent));

if ("serviceWorker" in navigator) {
  window.addEventListener("load", () => navigator.serviceWorker.register("/worker.js", { scope: "/" }).catch(() => {}));
}
