// Takes the README's pictures of the demo garden anew: npm run pictures
import { mkdirSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { browser, serveDemo } from "./program.mjs";

const out = join(resolve(dirname(fileURLToPath(import.meta.url)), "..", ".."), "docs", "pictures");
mkdirSync(out, { recursive: true });
const running = await browser();
const demo = await serveDemo();
const brief = await demo.api("/api/brief");
for (const [name, path, width, height, scale] of [
  ["brief-phone", "/", 390, 844, 2], ["board", "/board", 900, 1000, 1], ["bed-desktop", `/beds/${brief.beds[0].bed}`, 1280, 900, 1],
]) {
  const context = await running.newContext({ viewport: { width, height }, deviceScaleFactor: scale, locale: "en-US" });
  const page = await context.newPage();
  await page.goto(demo.url + path);
  await page.locator("main h1").waitFor();
  await page.screenshot({ path: join(out, `${name}.png`) });
  await context.close();
}
await running.close();
await demo.stop();
