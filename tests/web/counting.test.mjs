// The counting page: one file, on plain http and from a copy on the phone, and its queue carried by file.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { browser, countOnce, events, lineIn, open, pictures, problems, program, withGarden } from "./program.mjs";

let running;
before(async () => {
  running = await browser();
});
after(async () => {
  await running?.close();
});

describe("the counting page", () => {
  test("is one file: it asks for nothing else, and its policy allows nothing else", async () => {
    await withGarden(async (garden) => {
      const response = await fetch(`${garden.url}/counting`);
      const policy = response.headers.get("content-security-policy");
      assert.match(policy, /default-src 'none'; script-src 'sha256-[^']+'; style-src 'sha256-[^']+'/);
      assert.doesNotMatch(policy, /unsafe/);
      const html = await response.text();
      assert.doesNotMatch(html, /<script src|<link rel="stylesheet"|@import|url\(/);
      const view = await open(running, garden, "phone");
      const asked = [];
      view.page.on("request", (request) => asked.push(new URL(request.url()).pathname));
      await view.page.goto(`${garden.url}/counting`);
      await view.page.locator(".stepper, .pick").first().waitFor();
      assert.deepEqual([...new Set(asked)].filter((path) => !path.startsWith("/api/")), ["/counting"]);
      assert.deepEqual(await problems(view.page), []);
      await view.page.screenshot({ path: join(pictures, "counting-phone.png"), fullPage: true });
      assert.deepEqual(view.complaints.filter((one) => !one.includes("/api/me") && !one.includes("404")), []);
      await view.close();
    });
  });

  test("a name with a script in it is only a name", async () => {
    await withGarden(async (garden) => {
      const name = "</script><script>window.hacked=1</script><!--";
      await garden.post({ kind: "bed_laid", happened_at: "2026-06-01T06:00:00-05:00", bed: name, x_m: 50, y_m: 50, width_m: 1, length_m: 2 });
      const view = await open(running, garden, "phone");
      await view.page.goto(`${garden.url}/counting`);
      await view.page.locator("select").first().waitFor();
      assert.ok((await view.page.locator("select").first().innerText()).includes(name));
      assert.equal(await view.page.evaluate(() => window.hacked), undefined);
      await view.close();
    });
  });

  test("keeps counting with the network cut, saves its queue as a file, and both ways of taking the file in leave one event each", async () => {
    for (const language of ["en", "es"]) {
      await withGarden(async (garden) => {
        const view = await open(running, garden, "phone", language);
        await view.page.goto(`${garden.url}/counting`);
        await view.page.locator("select").first().selectOption("1");
        await view.page.locator(".pick-one").first().click();
        await garden.kill();
        for (let i = 0; i < 3; i++) await countOnce(view.page);
        const saved = view.page.waitForEvent("download");
        await view.page.locator("section", { has: view.page.locator("#file-title") }).locator("button").first().click();
        const path = await (await saved).path();
        const text = readFileSync(path, "utf8");
        assert.equal(text.trim().split("\n").length, 4);
        await view.page.screenshot({ path: join(pictures, `counting-waiting-phone-${language}.png`), fullPage: true });
        assert.deepEqual(await problems(view.page), []);

        // At the desk by the command line, with receipts for the phone.
        const folder = mkdtempSync(join(tmpdir(), "leafturn-phone-"));
        const file = join(folder, "phone.jsonl");
        writeFileSync(file, text);
        const receipts = join(folder, "receipts.jsonl");
        const taken = spawnSync(program(), ["phone-file", file, "--garden", garden.folder, "--receipts", receipts, "--json"], { encoding: "utf8" });
        assert.equal(taken.status, 0, taken.stderr);
        assert.equal(JSON.parse(taken.stdout).appended, 3);

        // And once more on the desk's own page: the same three, received already.
        await garden.restart();
        const desk = await open(running, garden, "desktop", language);
        await desk.go("/sync");
        await desk.page.locator('input[type="file"]').setInputFiles(file);
        await desk.page.locator("[role=status]", { hasText: language === "en" ? "3 new entries read" : "Se leyeron 3" }).waitFor();
        await desk.page.locator(".receipts li").nth(2).waitFor();
        const mine = (await events(garden)).map((one) => one.event).filter((event) => event.writer.startsWith("page-"));
        assert.equal(mine.length, 3);

        // The receipts close the phone's own line without it ever reaching the server.
        await view.page.route("**/api/**", (route) => route.abort());
        await view.page.locator('input[type="file"]').setInputFiles(receipts);
        await view.page.locator(".receipts li").nth(2).waitFor();
        assert.deepEqual(await lineIn(view.page), []);
        await view.close();
        await desk.close();
        rmSync(folder, { recursive: true });
      });
    }
  });

  test("works from a copy saved on the phone", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      await view.page.goto(`${garden.url}/counting`);
      const saved = view.page.waitForEvent("download");
      await view.page.getByRole("button", { name: "Save this page on the phone" }).click();
      const folder = mkdtempSync(join(tmpdir(), "leafturn-copy-"));
      const copy = join(folder, "counting.html");
      await (await saved).saveAs(copy);
      const context = await running.newContext({ viewport: { width: 390, height: 844 } });
      const page = await context.newPage();
      const errors = [];
      page.on("pageerror", (error) => errors.push(error.message));
      await page.goto(`file://${copy}`);
      await page.locator(".keep-open", { hasText: "opened from a file" }).waitFor();
      await page.locator("select").first().selectOption("1");
      await page.locator(".pick-one").first().click();
      await countOnce(page);
      await page.locator(".queue-note", { hasText: "Not sent yet: 1 entry" }).waitFor();
      assert.deepEqual(errors, []);
      await page.close({ runBeforeUnload: false });
      const again = await context.newPage();
      await again.goto(`file://${copy}`);
      await again.locator(".queue-note", { hasText: "Not sent yet: 1 entry" }).waitFor();
      await context.close();
      await view.close();
      rmSync(folder, { recursive: true });
    });
  });
});
