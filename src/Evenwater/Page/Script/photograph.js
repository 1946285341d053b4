// Says at once what the server would say after minutes of sending: that a photograph is too large. Without it the server says so.
for (const chosen of document.querySelectorAll("input[type=file][data-most]")) {
  const told = chosen.closest(".field").querySelector("[data-too-large]");
  const look = () => {
    told.hidden = ![...chosen.files].some(file => file.size > Number(chosen.dataset.most));
    chosen.setCustomValidity(told.hidden ? "" : told.textContent);
  };
  chosen.addEventListener("change", look);
  look();
}
