// The page of the interface: nothing is wrong with it but what its bundle brings.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { closed, elsewhere, open, violations } from "./page.mjs";

after(closed);

// What the bundle's own parts break; the page around them breaks nothing.
const OF_THE_BUNDLE = ["color-contrast", "heading-order", "nested-interactive", "scrollable-region-focusable", "select-name"];

test("it shows the document under its policy, and breaks only what is known of the bundle", async () => {
  const page = await open("/docs");
  await page.locator("#operations-takeoffs-takeOff").waitFor();
  assert.deepEqual(page.broken, []);
  assert.deepEqual(elsewhere(page), []);
  const found = (await violations(page)).map((one) => one.split(":")[0]);
  assert.deepEqual(found.filter((rule) => !OF_THE_BUNDLE.includes(rule)), []);
});
