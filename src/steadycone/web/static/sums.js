// A button that copies the line it stands beside.
// @ts-check

/** @param {Element} part */
export default function copies(part) {
  const line = part.querySelector("input");
  if (!line || !navigator.clipboard) return;
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = "Copy";
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(line.value);
      button.textContent = "Copied";
    } catch {
      line.select();
      button.textContent = "Select and copy";
    }
  });
  part.append(button);
}
