// A page as it is seen: node picture.mjs ADDRESS FILE WIDTH HEIGHT; prints what axe finds in it.
import { closed, opened, violations } from "./page.mjs";

const [address, file, width, height] = process.argv.slice(2);
const page = await opened(address, { width: Number(width), height: Number(height) });
await page.screenshot({ path: file });
console.log(JSON.stringify([...page.broken, ...await violations(page)]));
await closed();
