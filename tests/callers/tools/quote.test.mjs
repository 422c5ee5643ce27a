// The quote page as a yard's customer uses it, with a pointer, a keyboard and a telephone.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, test } from "node:test";
import { closed, elsewhere, open, SERVICE, violations } from "./page.mjs";

after(closed);

const ROOM = "0, 0\n16', 0\n16', 12'\n0, 12'";

async function worked(page) {
  await page.getByRole("button", { name: "Work out the order" }).click();
  await done(page);
}

async function done(page) {
  await page.waitForFunction(() => !document.body.classList.contains("busy"));
}

async function typed(page, id, text) {
  await page.fill(`#${id}`, text);
  await page.locator(`#${id}`).blur();
}

/** Where a place of the sketch is in the window: along, up, in the unit of the job. */
async function spot(page, along, up) {
  const box = await page.locator("#sketch").boundingBox();
  const [x, y, wide, high] = (await page.getAttribute("#sketch", "viewBox")).split(" ").map(Number);
  return [box.x + (along - x) / wide * box.width, box.y + (high + 2 * y - up - y) / high * box.height];
}

const job = (page) => page.evaluate(() => JSON.parse(JSON.stringify(job)));

async function takenOff(asked) {
  const answer = await fetch(`${SERVICE}/v1/takeoffs`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(asked) });
  return answer.json();
}

async function sound(page) {
  assert.deepEqual(page.broken, []);
  assert.deepEqual(elsewhere(page), []);
  assert.deepEqual(await violations(page), []);
}

test("a room with a hatch is sketched by clicks, priced and worked out", async () => {
  const page = await open("/quote", { width: 1180, deviceScaleFactor: 0.75 });
  for (const corner of [[0, 0], [192, 0], [192, 144], [0, 144]]) await page.mouse.click(...await spot(page, ...corner));
  await page.getByLabel("opening, by two corners").check();
  for (const corner of [[48, 48], [72, 84]]) await page.mouse.click(...await spot(page, ...corner));
  await typed(page, "prices", "7.20; 10.80; 14.40");
  await typed(page, "currency", "usd");
  await worked(page);
  const asked = await job(page);
  assert.deepEqual(asked.surfaces[0].outline, [[0, 0], [192, 0], [192, 144], [0, 144]]);
  assert.deepEqual(asked.surfaces[0].openings.map((one) => one.rectangle), [[48, 48, 24, 36]]);
  const told = await takenOff(asked);
  const shown = await page.locator("#order tbody tr").evaluateAll((rows) => rows.map((row) => [...row.cells].map((cell) => cell.textContent)));
  assert.deepEqual(shown, told.order.map((row) => [String(row.buy), row.item, Number(row.price).toFixed(2)]));
  const figures = await page.locator("#figures dd").allTextContents();
  const price = told.order.reduce((sum, row) => sum + Number(row.price), 0);
  assert.equal(figures.at(-1), `${price.toFixed(2)} USD`);
  assert.equal(figures[3], `${told.summary.waste_pct.toFixed(1)} %`);
  await page.waitForFunction(() => document.getElementById("drawing").naturalWidth > 0);
  await sound(page);
  if (process.env.SCREENSHOTS) await page.screenshot({ path: `${process.env.SCREENSHOTS}/website.png`, clip: { x: 0, y: 0, width: 1180, height: 1480 }, fullPage: true });
});

test("a corner is dragged, taken back, and brought again", async () => {
  const page = await open("/quote");
  await typed(page, "corners", ROOM);
  await page.mouse.move(...await spot(page, 192, 144));
  await page.mouse.down();
  await page.mouse.move(...await spot(page, 180, 120), { steps: 4 });
  await page.mouse.up();
  assert.deepEqual((await job(page)).surfaces[0].outline[2], [180, 120]);
  await page.getByRole("button", { name: "Undo" }).click();
  assert.deepEqual((await job(page)).surfaces[0].outline[2], ["16'", "12'"]);
});

test("all of it can be done with the keyboard alone", async () => {
  const page = await open("/quote");
  await page.locator("#sketch").focus();
  const go = async (key, times) => { for (let k = 0; k < times; k += 1) await page.keyboard.press(key); };
  await page.keyboard.press("Enter");
  await go("ArrowRight", 10);
  await page.keyboard.press("Enter");
  await go("ArrowUp", 8);
  await page.keyboard.press("Enter");
  await go("ArrowLeft", 10);
  await page.keyboard.press("Enter");
  assert.deepEqual((await job(page)).surfaces[0].outline, [[0, 0], [120, 0], [120, 96], [0, 96]]);
  await page.keyboard.press("Backspace");
  assert.equal((await job(page)).surfaces[0].outline.length, 3);
  await page.keyboard.press("Enter");
  for (let k = 0; k < 60 && await page.evaluate(() => document.activeElement.id) !== "go"; k += 1) await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement.id), "go");
  await page.keyboard.press("Enter");
  await done(page);
  assert.equal(await page.evaluate(() => document.activeElement.id), "answer-title");
  assert.ok(await page.locator("#order tbody tr").count());
});

test("what cannot be built is told in plain words, and a cure that is applied cures it", async () => {
  const page = await open("/quote");
  await typed(page, "corners", ROOM);
  await typed(page, "stock", "2 ft");
  await worked(page);
  assert.match(await page.locator("#status").textContent(), /cannot be worked out/);
  await sound(page);
  await page.getByRole("button", { name: "Apply this cure" }).first().click();
  await done(page);
  assert.ok(await page.locator("#order tbody tr").count());
  assert.notDeepEqual((await job(page)).products[0].stock, [{ length: "2 ft" }]);
});

test("a wrong length is told with the name of its field, which is shown", async () => {
  const page = await open("/quote");
  await typed(page, "corners", ROOM);
  await typed(page, "overall", "wide");
  await worked(page);
  assert.match(await page.locator("#findings li").first().textContent(), /^Width over all: Not a length that can be read/);
  assert.equal(await page.getAttribute("#overall", "aria-invalid"), "true");
  await page.getByRole("button", { name: "Show me" }).click();
  assert.equal(await page.evaluate(() => document.activeElement.id), "overall");
  await sound(page);
  await typed(page, "overall", "5-3/8 in");
  await worked(page);
  assert.equal(await page.locator("[aria-invalid]").count(), 0);
});

test("no customer is told a word of the interface", async () => {
  const page = await open("/quote");
  await typed(page, "corners", ROOM);
  for (const type of ["ceiling", "soffit", "wall", "floor", "deck"]) {
    await page.selectOption("#type", type);
    await worked(page);
    const said = await page.locator("#findings").textContent();
    assert.doesNotMatch(said, /`|\bsend\b|[a-z]_[a-z]|\/\w+\/\d/, `${type}: ${said}`);
    assert.ok(await page.locator("#order tbody tr").count(), type);
  }
});

test("a job is kept as a file and in a link, and comes back", async () => {
  const page = await open("/quote");
  await typed(page, "corners", ROOM);
  await typed(page, "called", "1x6 fir");
  const before = await job(page);
  const [saved] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as a file" }).click()]);
  const file = await saved.path();
  assert.deepEqual(JSON.parse(await readFile(file, "utf8")), before);
  await page.getByRole("button", { name: "Copy a link" }).click();
  await page.waitForFunction(() => location.hash.startsWith("#job="));
  const link = await page.evaluate(() => navigator.clipboard.readText());
  await page.getByRole("button", { name: "New" }).click();
  assert.deepEqual((await job(page)).surfaces[0].outline, []);
  await page.setInputFiles("#file", { name: "quote.json", mimeType: "application/json", buffer: await readFile(file) });
  await page.waitForFunction(() => document.getElementById("status").textContent.includes("loaded"));
  assert.deepEqual(await job(page), before);
  const other = await open(link.slice(SERVICE.length));
  await other.waitForFunction(() => document.getElementById("status").textContent.includes("loaded"));
  assert.deepEqual(await job(other), before);
  assert.ok(other.asked.every((url) => !url.includes("job=") || url.includes("#job=")));
});

test("sheets for the site, workbook and drawing are downloaded", async () => {
  const page = await open("/quote");
  await typed(page, "corners", ROOM);
  await worked(page);
  for (const [form, begins] of [["pdf", "%PDF"], ["xlsx", "PK"], ["svg", "<?xml"]]) {
    const [saved] = await Promise.all([page.waitForEvent("download"), page.click(`#as-${form}`)]);
    assert.equal(saved.suggestedFilename(), `quote.${form}`);
    assert.ok((await readFile(await saved.path(), "latin1")).startsWith(begins), form);
  }
});

test("on a telephone nothing sticks out, and nothing moves for those who want it still", async () => {
  const page = await open("/quote", { width: 375, height: 700, reducedMotion: "reduce", hasTouch: true });
  await typed(page, "corners", ROOM);
  await page.click("#add-opening");
  await worked(page);
  await page.waitForFunction(() => document.getElementById("drawing").naturalWidth > 0);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
  const small = await page.locator("button:visible, select:visible, input:visible").evaluateAll((all) => all.filter((one) => one.getBoundingClientRect().height < 18).map((one) => one.id));
  assert.deepEqual(small, []);
  assert.equal(await page.evaluate(() => getComputedStyle(document.getElementById("go")).transitionDuration), "0s");
  await sound(page);
});

