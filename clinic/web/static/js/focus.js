// Small comforts; every page works without them. Focus goes to what needs reading first.
"use strict";
document.addEventListener("DOMContentLoaded", () => {
  const summary = document.getElementById("summary");
  const saved = document.getElementById("saved");
  const first = summary || saved;
  if (first) first.focus();
});
