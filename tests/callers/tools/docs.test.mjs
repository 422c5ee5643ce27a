// The page of the interface: the small example comes first, and nothing is wrong with it but what its bundle brings.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { closed, elsewhere, open, violations } from "./page.mjs";

after(closed);

// What the bundle's own parts break; the page around them breaks nothing.
const OF_THE_BUNDLE = ["color-contrast", "heading-order", "nested-interactive", "scrollable-region-focusable", "select-name"];

test("it shows the document under its policy, and breaks only what is known of the bundle", async () => {
  const page = await open("/docs");
  const first = page.locator("#operations-takeoffs-takeOff .opblock-summary-control");
  await first.waitFor();
  await first.click();
  await page.locator("#operations-takeoffs-takeOff .body-param").waitFor();
  assert.deepEqual(page.broken, []);
  assert.deepEqual(elsewhere(page), []);
  const found = (await violations(page)).map((one) => one.split(":")[0]);
  assert.deepEqual(found.filter((rule) => !OF_THE_BUNDLE.includes(rule)), []);
  const examples = await page.locator("#operations-takeoffs-takeOff .body-param .examples-select-element option").allTextContents();
  assert.match(examples[0], /small/i);
});
