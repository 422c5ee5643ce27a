// A real Chromium before a page of the service: opened, looked at, and asked what it fetched.
import { chromium } from "playwright-core";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
export const SERVICE = process.env.TAKEOFF_URL;
const CHROMIUM = process.env.CHROMIUM || "/usr/bin/chromium";
const ALONE = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

let browser = null;

/** A fresh window on a page of the service. */
export const open = (path, options) => opened(SERVICE + path, options);

/** The same on any address; `asked` collects where it fetched from, `broken` what went wrong in it. */
export async function opened(address, { width = 1280, height = 900, ...options } = {}) {
  browser ??= await chromium.launch({ executablePath: CHROMIUM, args: ALONE });
  const context = await browser.newContext({ viewport: { width, height }, acceptDownloads: true, ...options });
  await context.grantPermissions(["clipboard-read", "clipboard-write"]);
  const page = await context.newPage();
  page.setDefaultTimeout(120_000); // a machine may be busy
  page.asked = [];
  page.broken = [];
  page.on("request", (request) => page.asked.push(request.url()));
  page.on("pageerror", (error) => page.broken.push(error.message));
  page.on("console", (message) => { if (/content security policy/i.test(message.text())) page.broken.push(message.text()); });
  await page.goto(address);
  return page;
}

/** What axe finds: the rule and where. It runs in a world of its own, since the policy of the page lets none in. */
export async function violations(page) {
  const session = await page.context().newCDPSession(page);
  const { frameTree } = await session.send("Page.getFrameTree");
  const { executionContextId: contextId } = await session.send("Page.createIsolatedWorld", { frameId: frameTree.frame.id });
  await session.send("Runtime.evaluate", { expression: AXE, contextId });
  const expression = "axe.run().then((found) => JSON.stringify(found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.target).join(' ')}`)))";
  const { result } = await session.send("Runtime.evaluate", { expression, awaitPromise: true, returnByValue: true, contextId });
  return JSON.parse(result.value);
}

/** Addresses that are not the service's own. */
export const elsewhere = (page) => page.asked.filter((url) => !url.startsWith(SERVICE) && !/^(blob|data):/.test(url));

export const closed = () => browser?.close();
