// The quote page of a service that asks for a key.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, test } from "node:test";
import { closed, open } from "./page.mjs";

after(closed);

async function worked(page) {
  await page.getByRole("button", { name: "Work out the order" }).click();
  await page.waitForFunction(() => !document.body.classList.contains("busy"));
}

test("it asks for the key, sends it with what is asked, and keeps it nowhere", async () => {
  const page = await open("/quote");
  await page.fill("#corners", "0, 0\n10', 0\n10', 8'\n0, 8'");
  await page.locator("#corners").blur();
  await worked(page);
  assert.match(await page.locator("#status").textContent(), /asks for a key/);
  assert.equal(await page.evaluate(() => document.activeElement.id), "key");
  await page.keyboard.type(process.env.KEY);
  await worked(page);
  assert.ok(await page.locator("#order tbody tr").count());
  const [saved] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as a file" }).click()]);
  assert.ok(!(await readFile(await saved.path(), "utf8")).includes(process.env.KEY));
  const kept = await page.evaluate(() => [localStorage.length, sessionStorage.length, document.cookie]);
  assert.deepEqual(kept, [0, 0, ""]);
  assert.ok(page.asked.every((url) => !url.includes(process.env.KEY)));
  await page.reload();
  assert.equal(await page.inputValue("#key"), "");
});
