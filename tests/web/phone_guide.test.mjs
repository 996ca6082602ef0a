// The phone guide as a phone opens it, under the garden's own name, and as a printer prints it.
import assert from "node:assert/strict";
import { createHash, X509Certificate } from "node:crypto";
import { join } from "node:path";
import { after, before, suite, test } from "node:test";
import { chromium } from "playwright-core";
import { open, pictures, problems, serveDemo, sizes } from "./program.mjs";

// The name leads to this machine's own loopback, and nowhere else.
const name = "shed.local";
let running, garden, away;
before(async () => {
  garden = await serveDemo({ name, plain: false });
  away = { url: garden.url.replace("127.0.0.1", name) };
  running = await chromium.launch({
    executablePath: process.env["LEAFTURN_CHROMIUM"] ?? "/usr/bin/chromium",
    args: ["--headless", "--no-sandbox", "--disable-gpu", `--host-resolver-rules=MAP ${name} 127.0.0.1`],
  });
});
after(async () => {
  await running.close();
  await garden.stop();
});

suite("the phone guide", () => {
  for (const size of ["phone", "desktop"])
    for (const language of ["en", "es"])
      test(`on a ${size}, ${language}`, async () => {
        const view = await open(running, away, size, language);
        await view.page.goto(`${away.url}/phone`);
        assert.deepEqual(await problems(view.page), []);
        const text = await view.page.locator("main").innerText();
        assert.ok(!text.includes("⟦") && !text.includes("{{"), text);
        assert.ok(text.includes(`${away.url}/phone`));
        const wide = await view.page.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= sizes[size].width, `${wide} px wide`);
        const button = await view.page.locator("a.get").boundingBox();
        assert.ok(button.height >= 44);
        assert.equal(await view.page.locator("svg[role=img]").count(), 6);
        await view.page.screenshot({ path: join(pictures, `phone-guide-${size}-${language}.png`), fullPage: true });
        // Over plain http a browser says that one header needs https; nothing else may be wrong.
        const own = view.complaints.filter((said) => !said.startsWith("The Cross-Origin-Opener-Policy header"));
        assert.deepEqual(own, []);
        await view.close();
      });

  test("prints on two sheets, A4 and Letter, in both languages", async () => {
    const page = await running.newPage();
    for (const language of ["en", "es"])
      for (const format of ["A4", "Letter"]) {
        await page.goto(`${away.url}/phone?lang=${language}`);
        const pdf = (await page.pdf({ format, path: join(pictures, `phone-guide-${language}-${format}.pdf`) })).toString("latin1");
        assert.equal(pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length, 2, `${language} ${format}`);
      }
    await page.close();
  });

  test("the fingerprint on the sheet is that of the file it hands out", async () => {
    const bytes = Buffer.from(await (await fetch(`${garden.url}/authority.crt`)).arrayBuffer());
    const digest = createHash("sha256").update(bytes).digest("hex").toUpperCase();
    const page = await running.newPage();
    await page.goto(`${away.url}/phone`);
    assert.equal((await page.locator(".fingerprint").innerText()).replace(/[^0-9A-F]/g, ""), digest);
    assert.ok(new X509Certificate(bytes).ca);
    await page.close();
  });

  test("from the network, everything else over plain http is refused", async () => {
    const page = await running.newPage();
    for (const path of ["/", "/board", "/api/brief", "/pair"]) assert.equal((await page.goto(away.url + path)).status(), 403, path);
    await page.close();
  });
});
