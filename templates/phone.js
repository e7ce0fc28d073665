"use strict";
// Ticks, numbers and remarks of one day. They are kept by the browser under the
// names of the sequence and the day, and written out as a day log.
const main = document.querySelector("main");
const key = `seamster ${main.dataset.sequence} ${main.dataset.day}`;
const say = document.getElementById("kept");
const steps = [...document.querySelectorAll("[data-step]")];
const fields = () => [...document.querySelectorAll("[data-key]")];

// What was kept before; null where the browser keeps nothing.
function recall() {
  try {
    localStorage.setItem(`${key} probe`, "1");
    localStorage.removeItem(`${key} probe`);
    return JSON.parse(localStorage.getItem(key) || "{}");
  } catch {
    return null;
  }
}

function keep() {
  const all = {};
  for (const field of fields()) {
    const value = field.type === "checkbox" ? field.checked : field.value;
    if (value && value !== field.dataset.usual) all[field.dataset.key] = value;
  }
  for (const list of document.querySelectorAll("[data-takes]")) {
    all[`${list.dataset.takes} takes`] = list.children.length;
  }
  try {
    localStorage.setItem(key, JSON.stringify(all));
    say.textContent = "Kept on this phone.";
    say.classList.remove("no");
  } catch {
    say.textContent = "Nothing is kept when this page is closed: this browser does not allow it. Save the day log before.";
    say.classList.add("no");
  }
}

function addTake(list) {
  const row = list.lastElementChild.cloneNode(true);
  const old = list.children.length;
  for (const field of row.querySelectorAll("[data-key]")) {
    field.dataset.key = field.dataset.key.replace(/ \d+ (\w+)$/, ` ${old + 1} $1`);
    if (field.type === "checkbox") field.checked = false;
    else field.value = field.dataset.usual || "";
  }
  for (const word of row.querySelectorAll("[data-number]")) word.textContent = String(old + 1);
  list.append(row);
  show(row);
}

// What is said of a take can be written once it is ticked, and stays in sight where something is.
function show(take) {
  const written = [...take.querySelectorAll("[data-key]")].some((field) =>
    field.type === "checkbox" ? field.checked : field.value && field.value !== field.dataset.usual);
  take.classList.toggle("shot", written);
}

// The first step that is not done, above all others.
function next() {
  const at = steps.find((step) => !step.querySelector("[data-done]").checked);
  for (const step of steps) step.classList.toggle("done", step.querySelector("[data-done]").checked);
  const box = document.getElementById("next");
  box.replaceChildren();
  const title = document.createElement("h2");
  title.textContent = at ? "Next" : "All steps of the day are done";
  box.append(title);
  if (!at) return;
  for (const part of at.querySelectorAll("[data-next]")) box.append(part.cloneNode(true));
  const row = document.createElement("p");
  const go = document.createElement("a");
  go.href = `#${at.id}`;
  go.className = "button";
  go.textContent = "Open it";
  const done = document.createElement("button");
  done.type = "button";
  done.textContent = "Done";
  done.addEventListener("click", () => {
    at.querySelector("[data-done]").checked = true;
    changed();
  });
  row.append(done, " ", go);
  box.append(row);
}

function changed() {
  keep();
  next();
}

// A text of the language: one line, quotes and backslashes marked.
function quoted(text) {
  const line = text.replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029]+/g, " ").trim();
  return `"${line.replace(/[\\"]/g, "\\$&")}"`;
}

// A number of the language with its unit; null where it is none.
function quantity(text, unit) {
  const number = text.trim().replace(",", ".").replace("\u2212", "-");
  return /^-?\d+(\.\d+)?$/.test(number) ? `${number} ${unit}` : null;
}

function valueOf(name) {
  const field = fields().find((one) => one.dataset.key === name);
  return !field ? "" : field.type === "checkbox" ? field.checked : field.value.trim();
}

function plateLog(plate) {
  const lines = [];
  const list = document.querySelector(`[data-takes="${plate}"]`);
  for (let take = 1; take <= list.children.length; take += 1) {
    const of = (word) => valueOf(`${plate} ${take} ${word}`);
    if (!of("shot") && !of("clip") && !of("note")) continue;
    const clock = /^\d\d:\d\d/.test(of("clock")) ? ` at ${of("clock").slice(0, 5)}` : "";
    const note = of("note") ? ` ${quoted(of("note"))}` : "";
    lines.push(`take ${take} ${quoted(of("clip"))}${clock} ${of("worth") || "usable"}${note}`);
  }
  for (const [word, unit, called] of [["height", "m", "lens height"], ["heading", "deg", "heading"], ["tilt", "deg", "tilt"]]) {
    const typed = valueOf(`${plate} ${word}`);
    const value = quantity(typed, unit);
    if (typed) lines.push(value === null ? `note ${quoted(`${called}: ${typed}`)}` : `${word} ${value}`);
  }
  for (const word of ["light", "note", "problem"]) {
    const typed = valueOf(`${plate} ${word}`);
    if (typed) lines.push(`${word} ${quoted(typed)}`);
  }
  return lines;
}

// The day as the compiler reads it.
function dayLog() {
  const lines = [`log ${main.dataset.sequence} {`, `  day ${main.dataset.day}`];
  const by = valueOf("by");
  if (by) lines.push(`  by ${quoted(by)}`);
  lines.push(`  papers ${quoted(main.dataset.version)}`);
  if (/^\d\d:\d\d/.test(valueOf("wrapped"))) lines.push(`  wrapped ${valueOf("wrapped").slice(0, 5)}`);
  if (valueOf("note")) lines.push(`  note ${quoted(valueOf("note"))}`);
  for (const list of document.querySelectorAll("[data-takes]")) {
    const inside = plateLog(list.dataset.takes);
    if (inside.length === 0) continue;
    lines.push("", `  plate ${list.dataset.takes} {`, ...inside.map((line) => `    ${line}`), "  }");
  }
  lines.push("}", "");
  return lines.join("\n");
}

function save() {
  const text = dayLog();
  const out = document.getElementById("text");
  out.value = text;
  out.parentElement.hidden = false;
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "text/plain" }));
  link.download = `log-${main.dataset.day}.seam`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

const kept = recall();
for (const list of document.querySelectorAll("[data-takes]")) {
  const count = Number((kept || {})[`${list.dataset.takes} takes`]) || 0;
  while (list.children.length < Math.min(count, 999)) addTake(list);
}
for (const field of fields()) {
  const value = (kept || {})[field.dataset.key];
  if (field.type === "checkbox") field.checked = value === true;
  else if (typeof value === "string") field.value = value;
}
for (const take of document.querySelectorAll("[data-takes] > li")) show(take);
for (const part of document.querySelectorAll(".measured")) {
  part.open = [...part.querySelectorAll("[data-key]")].some((field) => field.value);
}
document.addEventListener("input", (event) => {
  const field = event.target;
  // The phone's clock, where a take is ticked and no time stands there.
  if (field.dataset.key && field.dataset.key.endsWith(" shot") && field.checked) {
    const clock = fields().find((one) => one.dataset.key === field.dataset.key.replace(/shot$/, "clock"));
    if (clock && !clock.value) clock.value = new Date().toTimeString().slice(0, 5);
  }
  const take = field.closest("[data-takes] > li");
  if (take) show(take);
  if (field.dataset.key) changed();
});
document.addEventListener("click", (event) => {
  const more = event.target.dataset.more;
  if (more) {
    addTake(document.querySelector(`[data-takes="${more}"]`));
    keep();
  }
});
document.getElementById("save").addEventListener("click", save);
changed();
