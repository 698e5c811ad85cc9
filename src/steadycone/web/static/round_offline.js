// Without a connection: the stations whose pages are kept on this phone, and the rounds that wait.
// @ts-check
import { all, isWaiting } from "./round_store.js";

/** @param {HTMLElement} root */
export default async function start(root) {
  const pages = await (await caches.open("pages")).keys();
  const paths = pages.map((request) => new URL(request.url).pathname);
  const list = root.querySelector("[data-kept]");
  for (const path of paths.filter((each) => each.endsWith("/round")).sort()) {
    const line = document.createElement("li");
    line.append(link(path.split("/")[2].replaceAll("-", " "), path));
    list?.append(line);
  }
  const waiting = (await all()).filter(isWaiting);
  root.querySelector("[data-none]")?.toggleAttribute("hidden", paths.length > 0);
  const told = root.querySelector("[data-waiting]");
  if (told) told.textContent = waiting.length ? `${waiting.length} ${waiting.length === 1 ? "round waits" : "rounds wait"} on this phone and will be sent when the yard can be reached.` : "";
}

/** @param {string} says @param {string} to */
function link(says, to) {
  const made = document.createElement("a");
  made.className = "quiet";
  made.href = to;
  made.textContent = `Round: ${says}`;
  return made;
}
