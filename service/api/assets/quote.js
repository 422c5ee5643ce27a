"use strict";
// One page over one job: the job is the only state. Fields and sketch show parts of it and write
// into it, so what a file or a cure brings that no field shows is kept as it is.

const $ = (id) => document.getElementById(id);
const SVG = "http://www.w3.org/2000/svg";
const IN = { in: 25.4, ft: 304.8, mm: 1, cm: 10, m: 1000 };
const GRIDS = { in: [12, 6, 1, 24], ft: [1, 0.5, 2, 5], mm: [100, 50, 500, 10], cm: [10, 5, 50, 1], m: [0.1, 0.05, 0.5, 1] };
const FORMS = {
  pdf: ["Sheets for the site (PDF)", "application/pdf"], xlsx: ["Workbook (XLSX)", null],
  svg: ["Drawing (SVG)", "image/svg+xml"], csv: ["Order (CSV)", "text/csv"], txt: ["Takeoff on paper (text)", "text/plain"],
};
const USUAL = [
  ["1x6 T&G, 5-1/8 in showing", { description: "1x6", profile: "tongue_and_groove", overall: "5-3/8 in", coverage: "5-1/8 in", thickness: "3/4 in" }],
  ["1x8 shiplap, 6-7/8 in showing", { description: "1x8", profile: "shiplap", overall: "7-1/4 in", coverage: "6-7/8 in", thickness: "3/4 in" }],
  ["140 x 20 mm T&G, 132 mm showing", { description: "140 x 20", profile: "tongue_and_groove", overall: "140 mm", coverage: "132 mm", thickness: "20 mm" }],
];
const has = (name) => document.body.dataset.forms.split(" ").includes(name);
const clone = (value) => JSON.parse(JSON.stringify(value));
const tidy = (number) => Math.round(number * 1e6) / 1e6;

// ---------------------------------------------------------------- the job

function fresh(unit = "in") {
  const metric = IN[unit] < 25 || unit === "m" || unit === "cm";
  return {
    unit,
    surfaces: [{
      id: "room", type: "ceiling", view: "facing", outline: [],
      supports: { direction: 90, spacing: metric ? "400 mm" : "16 in" },
      layers: [{ id: "boards", kind: "boarding", product: "boards", direction: 0 }],
    }],
    products: [{
      id: "boards", form: "board", ...clone(USUAL[metric ? 2 : 0][1]),
      stock: (metric ? ["2.4 m", "3.6 m", "4.8 m"] : ["8 ft", "12 ft", "16 ft"]).map((length) => ({ length })),
    }],
  };
}

let job = fresh();
let past = [];
let chosen = 0;
let asked = 0;

const surface = () => job.surfaces[Math.min(chosen, job.surfaces.length - 1)];
const layer = () => surface().layers.find((one) => one.kind === "boarding") || surface().layers.at(-1);
const supports = () => surface().supports || (surface().supports = { direction: 90 });
const lengths = () => board().stock || [];
const board = () => job.products.find((one) => one.id === layer().product) || job.products[0];

function put(object, name, value) {
  if (value === "" || value === undefined || value === null) delete object[name];
  else object[name] = value;
}

// A number stays a number; all else is text that the service reads.
function read(text) {
  const plain = String(text).trim();
  return /^-?\d{1,9}(\.\d{1,9})?$/.test(plain) ? Number(plain) : plain;
}

function change(edit, drawn = true) {
  past.push(JSON.stringify(job));
  past = past.slice(-200);
  edit();
  asked += 1;
  show(drawn);
}

// ---------------------------------------------------------------- lengths, for the sketch alone

function inches(text) {
  const whole = { "½": "1/2", "¼": "1/4", "¾": "3/4" };
  const found = text.replace(/[½¼¾]/g, (one) => ` ${whole[one]}`).trim().match(/^(?:(\d+(?:\.\d+)?)(?:[ -]+(?=\d+\/))?)?(?:(\d+)\/(\d+))?$/);
  if (!found || !text.trim()) return NaN;
  return Number(found[1] || 0) + (found[2] ? Number(found[2]) / Number(found[3]) : 0);
}

function reckoned(value, unit = job.unit) {
  if (typeof value === "number") return value;
  const text = String(value).trim().replace(/[′’]/g, "'").replace(/[″”]/g, '"');
  if (/^-?\d+(\.\d+)?$/.test(text)) return Number(text);
  const metric = text.match(/^(\d+(?:\.\d+)?) ?(mm|cm|m)$/i);
  if (metric) return Number(metric[1]) * IN[metric[2].toLowerCase()] / IN[unit];
  const feet = text.match(/^(\d+(?:\.\d+)?) ?(?:'|ft\.?|feet|foot)(?:,? ?(.+?) ?(?:"|in\.?|inch(?:es)?)?)?$/i);
  if (feet) return (Number(feet[1]) * 12 + (feet[2] ? inches(feet[2]) : 0)) * 25.4 / IN[unit];
  const small = text.match(/^(.+?) ?(?:"|in\.?|inch(?:es)?)$/i);
  return small ? inches(small[1]) * 25.4 / IN[unit] : NaN;
}

function ring() {
  const one = surface();
  if (one.rectangle) {
    const [along, up] = one.rectangle;
    return [[0, 0], [along, 0], [along, up], [0, up]];
  }
  return one.outline || null;
}

const numbers = (points) => points.map((point) => point.map((value) => reckoned(value)));

// ---------------------------------------------------------------- the sketch

let cross = [0, 0];
let begun = null;
let dragged = null;

const step = () => Number($("grid").value);
const mode = () => document.querySelector("input[name=mode]:checked").value;

function drawnHoles() {
  return (surface().openings || []).map((one) => {
    if (one.rectangle) return { box: one.rectangle.map((value) => reckoned(value)) };
    if (one.circle) return { disc: one.circle.map((value) => reckoned(value)) };
    return { ring: numbers(one.outline || []) };
  });
}

let view = { width: 0, height: 0 };

function fit() {
  const least = tidy(6000 / IN[job.unit]);
  const points = numbers(ring() || []).filter((point) => point.every(Number.isFinite));
  const wide = Math.max(least, ...points.map((point) => point[0]));
  const high = Math.max(least * 0.55, ...points.map((point) => point[1]));
  const box = $("sketch").getBoundingClientRect();
  const ratio = box.height && box.width ? box.height / box.width : 0.625;
  const width = Math.max(wide, high / ratio) * 1.15;
  view = { width, height: width * ratio, x: -width * 0.06, y: -width * ratio * 0.08 };
}

const flip = (up) => view.height + 2 * view.y - up;

function node(name, attributes, parent = $("sketch")) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent.append(made);
  return made;
}

function draw() {
  const svg = $("sketch");
  svg.replaceChildren();
  svg.setAttribute("viewBox", `${view.x} ${view.y} ${view.width} ${view.height}`);
  const hair = view.width / (svg.getBoundingClientRect().width || 700);
  lines(hair);
  const points = numbers(ring() || []).filter((point) => point.every(Number.isFinite));
  if (points.length > 1) {
    node("polygon", { class: "shape", points: points.map(([x, y]) => `${x},${flip(y)}`).join(" "), "stroke-width": hair * 2.4 });
  }
  for (const hole of drawnHoles()) one(hole, hair);
  if (begun) node("rect", { class: "hole", x: Math.min(begun[0], cross[0]), y: flip(Math.max(begun[1], cross[1])), width: Math.abs(begun[0] - cross[0]), height: Math.abs(begun[1] - cross[1]), "stroke-width": hair * 2, "stroke-dasharray": hair * 6 });
  sides(points, hair);
  const movable = Boolean(surface().outline || surface().rectangle);
  points.forEach(([x, y], k) => {
    const dot = node("circle", { class: k === points.length - 1 ? "corner last" : "corner", cx: x, cy: flip(y), r: hair * 6, "stroke-width": hair * 2 });
    if (movable) dot.dataset.corner = String(k);
  });
  const [x, y] = [cross[0], flip(cross[1])];
  node("path", { class: "cross", d: `M${x - hair * 12} ${y}H${x + hair * 12}M${x} ${y - hair * 12}V${y + hair * 12}`, "stroke-width": hair * 2 });
}

function lines(hair) {
  let each = step();
  while (view.width / each > 120) each *= 2;
  for (let k = Math.ceil(view.x / each); k * each < view.x + view.width; k += 1) {
    node("path", { class: k % 10 ? "fine" : "bold", d: `M${k * each} ${view.y}v${view.height}`, "stroke-width": hair });
  }
  const [low, high] = [flip(view.y + view.height), flip(view.y)];
  for (let k = Math.ceil(low / each); k * each < high; k += 1) {
    node("path", { class: k % 10 ? "fine" : "bold", d: `M${view.x} ${flip(k * each)}h${view.width}`, "stroke-width": hair });
  }
}

function one(hole, hair) {
  if (hole.box && hole.box.every(Number.isFinite)) {
    const [x, y, length, width] = hole.box;
    node("rect", { class: "hole", x, y: flip(y + width), width: Math.max(0, length), height: Math.max(0, width), "stroke-width": hair * 2 });
  } else if (hole.disc && hole.disc.every(Number.isFinite)) {
    node("circle", { class: "hole", cx: hole.disc[0], cy: flip(hole.disc[1]), r: Math.max(0, hole.disc[2]) / 2, "stroke-width": hair * 2 });
  } else if (hole.ring && hole.ring.length > 2) {
    node("polygon", { class: "hole", points: hole.ring.map(([x, y]) => `${x},${flip(y)}`).join(" "), "stroke-width": hair * 2 });
  }
}

// The length of each side, at its middle, within the outline.
function sides(points, hair) {
  if (points.length < 2) return;
  const turn = points.reduce((sum, [x, y], k) => sum + x * points[(k + 1) % points.length][1] - y * points[(k + 1) % points.length][0], 0) < 0 ? -1 : 1;
  points.forEach(([x, y], k) => {
    const [x2, y2] = points[(k + 1) % points.length];
    const long = Math.hypot(x2 - x, y2 - y);
    if (long < view.width / 16 || (points.length === 2 && k)) return;
    const [nx, ny] = [turn * (y - y2) / long, turn * (x2 - x) / long];
    const anchor = Math.abs(nx) < 0.5 ? "middle" : nx > 0 ? "start" : "end";
    node("text", { class: "measure", x: (x + x2) / 2 + nx * hair * 10, y: flip((y + y2) / 2 + ny * hair * 14) + hair * 5, "font-size": hair * 15, "text-anchor": anchor }).textContent = told(long);
  });
}

// A length as it is read off a tape: to the sixteenth of an inch, or in the unit of the job.
function told(length) {
  if (!["in", "ft"].includes(job.unit)) return `${tidy(Math.round(length * 1000) / 1000)} ${job.unit}`;
  const all = Math.round(length * IN[job.unit] / 25.4 * 16);
  const [feet, whole, rest] = [Math.floor(all / 192), Math.floor(all % 192 / 16), all % 16];
  const parts = 16 / (rest & -rest || 16);
  const part = rest ? `${rest * parts / 16}/${parts}` : "";
  const small = whole && part ? `${whole}-${part}` : part && !feet ? part : part ? `0-${part}` : String(whole);
  return `${feet ? `${feet}' ` : ""}${small}"`;
}

function where(event) {
  const box = $("sketch").getBoundingClientRect();
  const x = view.x + (event.clientX - box.left) / box.width * view.width;
  const y = view.y + (event.clientY - box.top) / box.height * view.height;
  return snapped([x, flip(y)]);
}

function snapped([x, y]) {
  const each = step();
  return [tidy(Math.max(0, Math.round(x / each) * each)), tidy(Math.max(0, Math.round(y / each) * each))];
}

function outlined(edit) {
  const points = clone(ring() || []);
  edit(points);
  change(() => {
    delete surface().rectangle;
    surface().outline = points;
  });
}

function set(at) {
  if (surface().sides) return say("This outline is given by its sides and diagonals; type its corners to draw it anew.", true);
  if (mode() === "opening") return hole(at);
  const points = numbers(ring() || []);
  const last = points.at(-1);
  if (last && last[0] === at[0] && last[1] === at[1]) return undefined;
  if (points.length > 2 && points[0][0] === at[0] && points[0][1] === at[1]) return tell("The outline is closed: it always goes back to its first corner.");
  outlined((all) => all.push(at));
  return tell(`Corner ${points.length + 1} at ${told(at[0])}, ${told(at[1])}.`);
}

function hole(at) {
  if (!begun) {
    begun = at;
    tell("First corner of the opening. Set the one across from it.");
    return draw();
  }
  const [x, y] = [Math.min(begun[0], at[0]), Math.min(begun[1], at[1])];
  const [length, width] = [Math.abs(begun[0] - at[0]), Math.abs(begun[1] - at[1])];
  begun = null;
  if (length && width) addOpening([x, y, tidy(length), tidy(width)]);
  return draw();
}

function addOpening(rectangle) {
  change(() => {
    const all = surface().openings || (surface().openings = []);
    let number = all.length + 1;
    while (all.some((one) => one.id === `opening${number}`)) number += 1;
    all.push({ id: `opening${number}`, rectangle });
  });
  tell(`Opening of ${told(reckoned(rectangle[2]))} by ${told(reckoned(rectangle[3]))} added.`);
}

function back() {
  if (begun) begun = null;
  else if ((ring() || []).length && !surface().sides) return outlined((all) => all.pop());
  return draw();
}

function tell(text) { $("at").textContent = text; }

function moved(at) {
  cross = at;
  tell(`Cross at ${told(at[0])} along, ${told(at[1])} up.`);
  draw();
}

function pressed(event) {
  const far = step() * (event.shiftKey ? 10 : 1);
  const ways = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, far], ArrowDown: [0, -far] };
  if (ways[event.key]) moved(snapped([cross[0] + ways[event.key][0], cross[1] + ways[event.key][1]]));
  else if (event.key === "Enter" || event.key === " ") set(cross);
  else if (event.key === "Backspace" || event.key === "Delete") back();
  else if (event.key === "Escape" && begun) { begun = null; draw(); }
  else return;
  event.preventDefault();
}

function sketching() {
  const svg = $("sketch");
  svg.addEventListener("keydown", pressed);
  svg.addEventListener("pointerdown", (event) => {
    const corner = event.target.dataset.corner;
    if (corner === undefined || mode() !== "outline") return;
    dragged = Number(corner);
    past.push(JSON.stringify(job));
    svg.setPointerCapture(event.pointerId);
  });
  svg.addEventListener("pointermove", (event) => {
    if (event.pointerType === "touch" && dragged === null) return;
    const at = where(event);
    if (at[0] === cross[0] && at[1] === cross[1]) return;
    if (dragged !== null) {
      const points = clone(ring());
      points[dragged] = at;
      delete surface().rectangle;
      surface().outline = points;
      asked += 1;
    }
    moved(at);
  });
  svg.addEventListener("pointerup", (event) => {
    const at = where(event);
    if (dragged === null) { cross = at; set(at); } else { dragged = null; show(); }
  });
  svg.addEventListener("pointercancel", () => { dragged = null; });
}

// ---------------------------------------------------------------- the fields

const list = (text) => String(text).split(/[;|]/).map((part) => part.trim()).filter(Boolean);

const FIELDS = {
  called: [() => board().description, (value) => put(board(), "description", value)],
  profile: [() => board().profile, (value) => put(board(), "profile", value)],
  ends: [() => board().ends === "end_matched" ? "end_matched" : "", (value) => put(board(), "ends", value)],
  overall: [() => board().overall, (value) => put(board(), "overall", read(value))],
  coverage: [() => board().coverage, (value) => put(board(), "coverage", read(value))],
  thickness: [() => board().thickness, (value) => put(board(), "thickness", read(value))],
  stock: [() => lengths().map((one) => one.length ?? "").join("; "), (value) => stocked(list(value))],
  prices: [() => lengths().some((one) => one.price) ? lengths().map((one) => one.price || "").join("; ") : "", (value) => priced(list(value))],
  currency: [() => job.currency, (value) => put(job, "currency", value.trim().toUpperCase())],
  cull: [() => (job.rules || {}).cull, (value) => ruled("cull", read(value))],
  spare: [() => (job.rules || {}).spare, (value) => ruled("spare", read(value))],
  type: [() => surface().type || "ceiling", (value) => put(surface(), "type", value)],
  view: [() => surface().view || "", (value) => put(surface(), "view", value)],
  direction: [() => String(layer().direction ?? 0), (value) => put(layer(), "direction", Number(value))],
  framing: [() => String((surface().supports || {}).direction ?? 90), (value) => put(supports(), "direction", Number(value))],
  spacing: [() => (surface().supports || {}).spacing, (value) => put(supports(), "spacing", read(value))],
  first: [() => (surface().supports || {}).first, (value) => put(supports(), "first", read(value))],
};

function ruled(name, value) {
  job.rules = { ...job.rules };
  put(job.rules, name, value);
  if (!Object.keys(job.rules).length) delete job.rules;
}

function stocked(sold) {
  const before = lengths();
  board().stock = sold.map((length, k) => ({ ...before.find((one) => one.length === read(length)), ...(before[k] && before[k].price && before.length === sold.length ? { price: before[k].price } : {}), length: read(length) }));
}

function priced(prices) {
  lengths().forEach((one, k) => put(one, "price", prices[k] === undefined ? "" : prices[k].replace(",", ".")));
}

function choice(select, value) {
  if (![...select.options].some((option) => option.value === value)) select.add(new Option(value, value));
  select.value = value;
}

function fields() {
  for (const [id, [shown]] of Object.entries(FIELDS)) {
    const value = shown() ?? "";
    if ($(id).tagName === "SELECT") choice($(id), String(value));
    else $(id).value = value;
  }
  $("view-field").hidden = !["ceiling", "soffit"].includes(surface().type || "ceiling");
  $("unit").value = job.unit;
  $("unit").disabled = !isPlain();
  $("unit").title = isPlain() ? "" : "The job holds more than this page shows: its unit stays.";
  const grids = GRIDS[job.unit];
  if ($("grid").dataset.unit !== job.unit) {
    $("grid").dataset.unit = job.unit;
    $("grid").replaceChildren(...[...grids].sort((a, b) => a - b).map((each) => new Option(`${each} ${job.unit}`, each)));
    $("grid").value = String(grids[0]);
  }
  $("which").hidden = job.surfaces.length < 2;
  $("surface").replaceChildren(...job.surfaces.map((one, k) => new Option(one.id, k)));
  $("surface").value = String(chosen);
  const points = ring();
  $("corners").value = points ? points.map((point) => point.join(points.flat().some((value) => String(value).includes(",")) ? "; " : ", ")).join("\n") : "";
  $("usual").value = "";
  openings();
  $("undo").disabled = !past.length;
}

function openings() {
  const rows = (surface().openings || []).map((one, k) => {
    const row = document.createElement("div");
    row.className = "row";
    if (one.rectangle) ["along", "up", "length", "width"].forEach((name, place) => row.append(cell(one, k, name, place)));
    else row.append(Object.assign(document.createElement("p"), { textContent: `${one.id}: ${one.circle ? "round" : "drawn"}, as it was loaded` }));
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Remove" });
    button.setAttribute("aria-label", `Remove opening ${k + 1}`);
    button.addEventListener("click", () => change(() => {
      surface().openings.splice(k, 1);
      if (!surface().openings.length) delete surface().openings;
    }));
    row.append(button);
    return row;
  });
  $("openings").replaceChildren(...rows);
}

function cell(opening, k, name, place) {
  const label = document.createElement("label");
  const input = Object.assign(document.createElement("input"), { value: opening.rectangle[place], autocomplete: "off" });
  input.setAttribute("aria-label", `Opening ${k + 1}: ${name}`);
  input.addEventListener("change", () => change(() => { opening.rectangle[place] = read(input.value); }));
  label.append(name, input);
  return label;
}

// Whether the fields show all of the job that has a unit, so that it may change.
function isPlain() {
  const known = { job: ["unit", "surfaces", "products", "currency", "rules", "note"], rules: ["cull", "spare"] };
  const only = (object, names) => Object.keys(object || {}).every((name) => names.includes(name));
  return job.surfaces.length === 1 && job.products.length === 1 && only(job, known.job) && only(job.rules, known.rules)
    && only(surface(), ["id", "type", "outline", "rectangle", "supports", "layers", "openings", "view"])
    && only(surface().supports, ["direction", "spacing", "first", "ends"])
    && surface().layers.length === 1 && only(layer(), ["id", "kind", "product", "direction", "start"])
    && (surface().openings || []).every((one) => only(one, ["id", "rectangle"]))
    && only(board(), ["id", "form", "description", "profile", "ends", "overall", "coverage", "thickness", "stock"])
    && lengths().every((one) => only(one, ["length", "price"]));
}

function inUnit(unit) {
  const turned = (value) => typeof value === "number" ? tidy(value * IN[job.unit] / IN[unit]) : value;
  const one = surface();
  if (one.outline) one.outline = one.outline.map((point) => point.map(turned));
  if (one.rectangle) one.rectangle = one.rectangle.map(turned);
  for (const opening of one.openings || []) opening.rectangle = opening.rectangle.map(turned);
  for (const name of ["spacing", "first"]) if (one.supports) put(one.supports, name, turned(one.supports[name]));
  for (const name of ["overall", "coverage", "thickness"]) put(board(), name, turned(board()[name]));
  for (const length of lengths()) length.length = turned(length.length);
  job.unit = unit;
}

function typedCorners() {
  const points = $("corners").value.split("\n").filter((text) => text.trim()).map((text) => text.split(text.includes(";") ? ";" : ",").map(read));
  const wrong = points.findIndex((point) => point.length !== 2 || point.some((value) => !Number.isFinite(reckoned(value))));
  if (wrong >= 0) return say(`Line ${wrong + 1} of the corners is not read: write two lengths parted by a comma, as 12, 8 or 12' 6"; 3.5 m.`, true);
  say("");
  return change(() => {
    for (const name of ["rectangle", "sides", "diagonals"]) delete surface()[name];
    surface().outline = points;
  });
}

function show(fitted = true) {
  if (fitted) fit();
  fields();
  draw();
  stale();
}

// ---------------------------------------------------------------- asking the service

function say(text, bad = false) {
  $("status").textContent = text;
  $("status").classList.toggle("bad", bad);
}

function stale() {
  if (!$("answer").hidden && shownFor !== asked) say("You changed something since: work it out again.");
}

let shownFor = -1;

async function ask(query, media) {
  const headers = { "Content-Type": "application/json", Accept: media || "*/*" };
  if ($("key").value) headers.Authorization = `Bearer ${$("key").value}`;
  return fetch(`/v1/takeoffs${query}`, { method: "POST", headers, body: JSON.stringify(job) });
}

async function takeOff() {
  const now = asked;
  if ((ring() || []).length < 3 && !surface().sides) {
    say("Set at least three corners first: click them on the sketch, or type them.", true);
    return;
  }
  document.body.classList.add("busy");
  $("go").disabled = true;
  say("Working it out ...");
  try {
    await answered(await ask("?tables=summary,surfaces,order,findings", "application/json"), now);
  } catch {
    say("The service cannot be reached. What you entered is still here: try again.", true);
  } finally {
    $("go").disabled = false;
    document.body.classList.remove("busy");
  }
}

async function answered(response, now) {
  const told = await response.json();
  if (!response.ok) return refused(told, response);
  shownFor = now;
  marked([]);
  figures(told);
  order(told);
  findings(told.findings, false);
  $("answer").hidden = false;
  say("Worked out. What to order and what to know stand below, and the drawing under them.");
  $("answer-title").focus();
  return picture();
}

function refused(problem, response) {
  $("answer").hidden = $("drawn-section").hidden = true;
  const again = response.headers.get("Retry-After");
  const waits = again ? ` Try again in ${again} seconds.` : "";
  const errors = problem.errors || [];
  if (response.status === 401) {
    $("key-field").hidden = false;
    $("key").focus();
    return say("This service asks for a key. Enter it above; it is sent with what you ask, and kept nowhere.", true);
  }
  say(errors.length ? "This cannot be worked out yet: see below what to change." : `${problem.title}: ${problem.detail}${waits}`, true);
  findings(errors.map((one) => ({ ...one, text: one.detail, at: "" })), true);
  return marked(errors.map((one) => placed(one.pointer || "")).filter(Boolean));
}

// Where a fault of the job is mended on this page: the field, and what it is called.
const PLACES = [
  [/^\/surfaces\/\d+\/outline\/(\d+)/, "corners", (found) => `Corner ${Number(found[1]) + 1}`],
  [/^\/surfaces\/\d+\/(outline|rectangle|sides|diagonals)/, "corners", () => "The outline"],
  [/^\/surfaces\/\d+\/openings\/(\d+)/, "openings", (found) => `Opening ${Number(found[1]) + 1}`],
  [/^\/surfaces\/\d+\/supports\/(spacing|first)/, null],
  [/^\/surfaces\/\d+\/supports/, "framing"],
  [/^\/surfaces\/\d+\/(type|view)/, null],
  [/^\/surfaces\/\d+\/layers\/\d+\/(direction)/, null],
  [/^\/products\/\d+\/stock\/\d+\/price/, "prices"],
  [/^\/products\/\d+\/description/, "called"],
  [/^\/products\/\d+\/(profile|ends|overall|coverage|thickness|stock)/, null],
  [/^\/(?:rules\/)?(currency|cull|spare)/, null],
];

function placed(pointer) {
  for (const [pattern, field, named] of PLACES) {
    const found = pointer.replace(/^#/, "").match(pattern);
    if (!found) continue;
    const id = field || found[1];
    return { id, name: named ? named(found) : calledOnPage(id) };
  }
  return null;
}

// The label of a field, less what it says of how to write.
const calledOnPage = (id) => $(id).labels[0].firstChild.textContent.trim().replace(/, (with|in) .*/, "");

function target(place) {
  return place.id === "openings" ? $("openings").querySelector("input") || $("add-opening") : $(place.id);
}

function marked(places) {
  for (const field of document.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
  for (const place of places) target(place).setAttribute("aria-invalid", "true");
}

function figures(answer) {
  const { summary, units } = answer;
  const area = answer.surfaces.reduce((sum, one) => sum + one.net, 0);
  const prices = answer.order.map((row) => row.price);
  const sum = prices.every((price) => price !== null) ? prices.reduce((all, price) => all + Number(price), 0) : null;
  const rows = [
    ["To cover", `${area.toFixed(1)} ${{ ft2: "sq ft", m2: "m\u00b2" }[units.area]}`],
    ["Boards", String(answer.order.filter((row) => row.form === "board").reduce((all, row) => all + row.buy, 0))],
    ["In all", run(summary.bought, units.length)],
    ["Waste", `${(summary.waste_pct ?? 0).toFixed(1)} %`],
  ];
  if (sum !== null) rows.push(["Price", `${sum.toFixed(2)} ${units.money || ""}`]);
  $("figures").replaceChildren(...rows.map(([name, value]) => {
    const pair = document.createElement("div");
    pair.append(Object.assign(document.createElement("dt"), { textContent: name }), Object.assign(document.createElement("dd"), { textContent: value }));
    return pair;
  }));
}

// A length of boards as it is bought.
function run(length, unit) {
  const isFeet = unit === "in" || unit === "ft";
  return `${(length * IN[unit] / (isFeet ? 304.8 : 1000)).toFixed(1)} ${isFeet ? "ft" : "m"}`;
}

function order(answer) {
  const body = $("order").tBodies[0];
  $("order").classList.toggle("unpriced", answer.order.every((row) => row.price === null));
  body.replaceChildren();
  for (const row of answer.order) {
    const line = body.insertRow();
    const packed = row.per_package > 1 ? `${row.packages} of ${row.per_package}` : String(row.buy);
    [packed, row.item, row.price === null ? "" : Number(row.price).toFixed(2)].forEach((text, k) => {
      const place = line.insertCell();
      place.textContent = text;
      if (k !== 1) place.className = "number";
    });
  }
}

function findings(all, isRefusal) {
  const sorted = [...all].sort((a, b) => Number(Boolean(b.cure)) - Number(Boolean(a.cure)));
  $("findings").replaceChildren(...sorted.map((one, k) => finding(one, isRefusal, k)));
  $("told").hidden = !all.length;
  $("told-title").textContent = isRefusal ? "What to change" : "4. What to know";
}

// What a customer is told in other words than a program, and the field that mends it.
const SAID = {
  "no-cull": [() => "No allowance for bad boards is in the order", "cull"],
  "no-spare": [() => "No spare boards are in the order", "spare"],
  "no-currency": [() => "Prices were given without a currency", "currency"],
  "no-fastener": [() => "Nails and screws are counted, and are not in the order"],
  "view-not-sent": [() => "Taken as seen from below, looking up. Say so if the corners are from a plan: then they are mirrored", "view"],
  "gap-uncovered": [(one) => `A gap of ${told(one.measure)} along the walls stays open: plan a moulding over it`],
  "raw-ends-tight": [() => "Some boards are used to their very ends: pick ones with sound ends for those"],
  "backing-not-ordered": [(one) => `${spoken(one.text.split(", held by")[0])}. This lumber is not in the order, and whether it is enough is for the designer`],
};

// A sentence without what only a program could do about it: clauses with words of the interface go.
function spoken(sentence) {
  const plain = sentence.replace(/ \([^()]*`[^()]*\)/g, "").replaceAll("the request's unit", "the unit of the sketch");
  const said = plain.split(/(?<=[;:]) /);
  const from = said.findIndex((clause, k) => k && clause.includes("`"));
  if (from > 0) said.length = from;
  const text = said.join(" ").replace(/[;:,]$/, "").replace(/`([^`]*)`/g, (_, word) => word.replaceAll("_", " "));
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function button(text, told, act) {
  const made = Object.assign(document.createElement("button"), { type: "button", textContent: text });
  made.setAttribute("aria-describedby", told);
  made.addEventListener("click", act);
  return made;
}

function finding(one, isRefusal, number) {
  const [said, field] = SAID[one.code] || [(row) => spoken(row.text)];
  const place = field ? { id: field, name: calledOnPage(field) } : placed(one.pointer || "");
  const item = document.createElement("li");
  item.className = isRefusal ? "refused" : "";
  const text = Object.assign(document.createElement("p"), { id: `told${number}` });
  if (isRefusal && place) text.append(Object.assign(document.createElement("b"), { textContent: `${place.name}: ` }));
  else if (job.surfaces.length > 1 && one.at) text.append(Object.assign(document.createElement("b"), { textContent: `${one.at.split(".")[0]}: ` }));
  text.append(`${said(one)}. `);
  if (one.rule) text.append(Object.assign(document.createElement("a"), { href: `/v1/rules/${encodeURIComponent(one.rule)}`, textContent: "Why", ariaLabel: `Why: rule ${one.rule}`, target: "_blank", rel: "noopener" }));
  item.append(text);
  if (one.cure) item.append(button("Apply this cure", text.id, () => cure(one.cure)));
  else if (place && !target(place).closest("[hidden]")) item.append(button(isRefusal ? "Show me" : "Set it", text.id, () => target(place).focus()));
  return item;
}

// ---------------------------------------------------------------- cures: RFC 6902, as the service writes them

const OWN = ["__proto__", "prototype", "constructor"];

function patched(value, operations) {
  const whole = clone(value);
  for (const { op, path, value: new_ } of operations) {
    const steps = path.split("/").slice(1).map((part) => part.replaceAll("~1", "/").replaceAll("~0", "~"));
    const last = steps.pop();
    let place = whole;
    for (const part of steps) place = place[part];
    if (OWN.includes(last) || steps.some((part) => OWN.includes(part))) throw new Error("not a place");
    if (Array.isArray(place)) {
      const index = last === "-" ? place.length : Number(last);
      if (op === "add") place.splice(index, 0, new_);
      else if (op === "remove") place.splice(index, 1);
      else place[index] = new_;
    } else if (op === "remove") delete place[last];
    else place[last] = new_;
  }
  return whole;
}

function cure(operations) {
  const made = patched(job, operations);
  change(() => { job = made; });
  return takeOff();
}

// ---------------------------------------------------------------- drawing and downloads

let drawing = null;

async function picture() {
  const image = $("drawing");
  const only = layer().id ? `&layer=${encodeURIComponent(layer().id)}` : "";
  const response = await ask(`?format=svg&surface=${encodeURIComponent(surface().id)}${only}`, "image/svg+xml");
  image.hidden = !response.ok;
  $("drawn-section").hidden = false;
  $("drawn").textContent = response.ok ? "To scale. The sheets for the site have it on paper, with what stands behind." : "The drawing could not be made.";
  if (!response.ok) return;
  if (drawing) URL.revokeObjectURL(drawing);
  drawing = URL.createObjectURL(await response.blob());
  image.src = drawing;
  image.alt = `Drawing of the ${surface().type || "ceiling"}: where its courses, pieces and joints lie. The order above lists what they take.`;
}

function keep(blob, name) {
  const link = Object.assign(document.createElement("a"), { href: URL.createObjectURL(blob), download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

async function download(form) {
  say(`Making the ${form.toUpperCase()} ...`);
  try {
    const response = await ask(`?format=${form}`, FORMS[form][1]);
    if (!response.ok) return refused(await response.json(), response);
    keep(await response.blob(), `quote.${form}`);
    return say(`quote.${form} is saved.`);
  } catch {
    return say("The service cannot be reached.", true);
  }
}

function downloads() {
  for (const form of Object.keys(FORMS).filter(has)) {
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: FORMS[form][0], id: `as-${form}` });
    button.addEventListener("click", () => download(form));
    $("downloads").append(button);
  }
}

// ---------------------------------------------------------------- files and links

function isJob(value) {
  const lists = value && Array.isArray(value.surfaces) && Array.isArray(value.products);
  return Boolean(lists && IN[value.unit] && value.products.length && value.products.every((one) => one && typeof one === "object" && Array.isArray(one.stock || []))
    && value.surfaces.length && value.surfaces.every((one) => one && Array.isArray(one.layers) && one.layers.length && one.layers.every((each) => each && typeof each === "object")));
}

function load(text, from) {
  let found = null;
  try { found = JSON.parse(text); } catch { /* told below */ }
  if (!isJob(found)) return say(`${from} holds no job that this page can show.`, true);
  const before = job;
  try {
    change(() => { job = found; chosen = 0; });
  } catch {
    job = before;
    show();
    return say(`${from} holds a job that this page cannot show.`, true);
  }
  return say(`${from} is loaded.`);
}

const packed = (bytes) => btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join("")).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
const unpacked = (text) => Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (one) => one.charCodeAt(0));
const through = async (bytes, stream) => new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());

async function linked() {
  const bytes = await through(new TextEncoder().encode(JSON.stringify(job)), new CompressionStream("deflate-raw"));
  const link = `${location.origin}${location.pathname}#job=${packed(bytes)}`;
  history.replaceState(null, "", link);
  try {
    await navigator.clipboard.writeText(link);
    say(`The link is copied. It holds the whole job (${link.length} characters); nobody else has it.`);
  } catch {
    say("The link is in the address bar. It holds the whole job.");
  }
}

async function fromLink() {
  const found = location.hash.match(/^#job=([A-Za-z0-9_-]{1,200000})$/);
  if (!found) return;
  try {
    const bytes = await through(unpacked(found[1]), new DecompressionStream("deflate-raw"));
    load(new TextDecoder("utf-8", { fatal: true }).decode(bytes.slice(0, 2_000_000)), "The link");
  } catch {
    say("The link is broken: a part of it is missing.", true);
  }
}

// ---------------------------------------------------------------- begin

function begin() {
  $("key-field").hidden = document.body.dataset.keyed !== "yes";
  $("usual").replaceChildren(new Option("as entered below", ""), ...USUAL.map(([name], k) => new Option(name, k)));
  downloads();
  sketching();
  for (const [id, [, write]] of Object.entries(FIELDS)) $(id).addEventListener("change", () => change(() => write($(id).value)));
  $("usual").addEventListener("change", () => { if ($("usual").value) change(() => Object.assign(board(), clone(USUAL[Number($("usual").value)][1]))); });
  $("unit").addEventListener("change", () => change(() => inUnit($("unit").value)));
  $("grid").addEventListener("change", draw);
  $("surface").addEventListener("change", () => { chosen = Number($("surface").value); show(); });
  $("corners").addEventListener("change", typedCorners);
  $("add-opening").addEventListener("click", () => addOpening([step(), step(), 2 * step(), 2 * step()]));
  $("form").addEventListener("submit", (event) => { event.preventDefault(); takeOff(); });
  $("new").addEventListener("click", () => { change(() => { job = fresh(job.unit); chosen = 0; }); $("answer").hidden = $("told").hidden = $("drawn-section").hidden = true; marked([]); say("A new job. The one before comes back with Undo."); });
  $("undo").addEventListener("click", () => { job = JSON.parse(past.pop()); asked += 1; chosen = 0; show(); });
  $("save").addEventListener("click", () => { keep(new Blob([JSON.stringify(job, null, 1)], { type: "application/json" }), "quote.json"); say("quote.json is saved: open it here again, or send it to the service."); });
  $("open").addEventListener("click", () => $("file").click());
  $("file").addEventListener("change", async () => { const [file] = $("file").files; if (file && file.size < 2_000_000) load(await file.text(), "The file"); else if (file) say("The file is too large for a job.", true); $("file").value = ""; });
  $("link").addEventListener("click", linked);
  window.addEventListener("hashchange", fromLink);
  window.addEventListener("resize", () => { fit(); draw(); });
  show();
  fromLink();
}

begin();
