// The pages on the demo garden, in a real browser: what people see and do, in both languages, on a phone and at a desk.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { browser, open, pictures, problems, serveDemo } from "./program.mjs";

let running;
let demo;
before(async () => {
  running = await browser();
  demo = await serveDemo();
});
after(async () => {
  await running?.close();
  await demo?.stop();
});

async function beds() {
  const brief = await demo.api("/api/brief");
  const pressing = brief.beds.find((bed) => bed.urgency === "act" || bed.urgency === "look") ?? brief.beds[0];
  return { brief, pressing: pressing.bed };
}

const places = (bed) => [
  ["brief", "/"], ["bed", `/beds/${bed}`], ["board", "/board"], ["menu", "/write/menu"], ["count", `/write/count?bed=${bed}`], ["planting", `/write/planting?bed=${bed}`],
  ["work", `/write/work?bed=${bed}&work=pull`], ["harvest", `/write/harvest?bed=${bed}`], ["spray", `/write/spray?bed=${bed}`], ["outside", `/write/outside-label?bed=${bed}`], ["release", `/write/release?bed=${bed}`], ["settings", "/settings"],
];

describe("every page", () => {
  for (const size of ["phone", "desktop"]) {
    for (const language of ["en", "es"]) {
      for (const scheme of ["light", "dark"]) {
        test(`${size}, ${language}, ${scheme}: no violations, no complaints, nothing cut off, every word there`, async () => {
          const { pressing } = await beds();
          const view = await open(running, demo, size, language, scheme);
          for (const [name, path] of places(pressing)) {
            await view.go(path);
            if (name === "brief") await view.page.locator("details").first().evaluate((details) => (details.open = true));
            assert.deepEqual(await problems(view.page), [], `${name}`);
            const text = await view.page.locator("body").innerText();
            assert.ok(!text.includes("⟦"), `${name}: a word is missing: ${text.slice(Math.max(0, text.indexOf("⟦") - 40), text.indexOf("⟦") + 60)}`);
            assert.equal(await view.page.locator("html").getAttribute("lang"), language);
            const wide = await view.page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
            assert.ok(wide <= 0, `${name}: ${wide} px wider than the screen`);
            if (name !== "settings") assert.ok(await view.page.locator(".marked").isVisible(), `${name}: the mark of an invented garden is missing`);
            await view.page.screenshot({ path: join(pictures, `${name}-${size}-${language}-${scheme}.png`), fullPage: true });
          }
          assert.deepEqual(view.complaints, []);
          await view.close();
        });
      }
    }
  }

  test("fits a 320-pixel screen, which is 1280 at 400 per cent zoom", async () => {
    const { pressing } = await beds();
    const view = await open(running, demo, "phone");
    await view.page.setViewportSize({ width: 320, height: 640 });
    for (const [name, path] of places(pressing)) {
      await view.go(path);
      const wide = await view.page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      assert.ok(wide <= 0, `${name}: ${wide} px wider than the screen`);
    }
    await view.close();
  });

  test("buttons, fields and the main links are at least 44 pixels high", async () => {
    const { pressing } = await beds();
    const view = await open(running, demo, "phone");
    for (const [name, path] of places(pressing)) {
      await view.go(path);
      const small = await view.page.evaluate(() => [...document.querySelectorAll("button, select, input:not([type=checkbox]), textarea, .main-nav a, summary, .button, label.confirm, .done-link, .undo, .glance a")]
        .filter((one) => one.getBoundingClientRect().height > 0 && one.getBoundingClientRect().height < 43.9).map((one) => one.outerHTML.slice(0, 100)));
      assert.deepEqual(small, [], name);
    }
    await view.close();
  });

  test("everything that can be pressed is reached by keyboard, and shows it", async () => {
    const view = await open(running, demo, "desktop");
    await view.go(`/write/count?bed=${(await beds()).pressing}`);
    const wanted = await view.page.locator("a[href]:visible, button:enabled:visible, select:visible, input:visible").count();
    const reached = new Set();
    for (let i = 0; i < wanted + 20; i++) {
      await view.page.keyboard.press("Tab");
      const at = await view.page.evaluate(() => {
        const one = document.activeElement;
        if (one === null || one === document.body) return null;
        const style = getComputedStyle(one);
        return { index: [...document.querySelectorAll("*")].indexOf(one), ring: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2, html: one.outerHTML.slice(0, 80) };
      });
      if (at === null) continue;
      assert.ok(at.ring, `no focus ring on ${at.html}`);
      reached.add(at.index);
    }
    assert.ok(reached.size >= wanted, `${reached.size} of ${wanted} reached`);
    await view.close();
  });
});

describe("the brief", () => {
  test("says today's beds worst first, the walk before the beds that are only to be looked at, and leads to a bed", async () => {
    const { brief, pressing } = await beds();
    const view = await open(running, demo, "phone");
    await view.go("/");
    const said = async (where) => (await view.page.locator(where).allInnerTexts()).map((text) => text.replace(/\s*›$/, ""));
    const wanted = (...urgencies) => brief.beds.filter((bed) => urgencies.includes(bed.urgency)).map((bed) => bed.headline.text);
    assert.deepEqual(await said(".entry h3"), wanted("lock", "act"));
    assert.deepEqual((await said(".shorts h3")).slice(0, wanted("look").length), wanted("look"));
    const order = await view.page.evaluate(() => [...document.querySelectorAll(".entry, .walk, .shorts, .board-short")].map((one) => one.className.split(" ")[0]));
    assert.deepEqual([...new Set(order)], ["entry", "walk", "shorts", "board-short"].filter((one) => order.includes(one)));
    assert.ok(order.includes("walk") && order.includes("shorts"));
    assert.equal(await view.page.locator(".walk .walk-item").count(), brief.walk.length);
    // The first leaf to turn is named on the first screen of a phone, and one tap away.
    const leaf = view.page.locator('.glance a[href="#leaf-0"]');
    const box = await leaf.boundingBox();
    assert.ok(box.y + box.height <= 844, `the first leaf is named at ${box.y} px`);
    await leaf.click();
    assert.ok((await view.page.locator("#leaf-0").boundingBox()).y < 844);
    await view.page.locator(`h3 a[href="/beds/${pressing}"]`).click();
    await view.page.locator("h1", { hasText: pressing }).waitFor();
    assert.equal(new URL(view.page.url()).pathname, `/beds/${pressing}`);
    await view.page.goBack();
    await view.page.locator(".walk").waitFor();
    assert.deepEqual(view.complaints, []);
    await view.close();
  });

  test("another time stays asked about from page to page", async () => {
    const view = await open(running, demo, "desktop");
    await view.go("/?at=2026-05-10T06:30");
    assert.match(await view.page.locator("h1").innerText(), /10 May/);
    await view.page.locator(".main-nav a", { hasText: "Shed board" }).click();
    await view.page.locator("table.board").waitFor();
    assert.match(await view.page.locator(".sheet-day").innerText(), /10 May/);
    await view.close();
  });
});

describe("the shed board", () => {
  test("prints on paper with its table and cautions, without buttons", async () => {
    const view = await open(running, demo, "desktop");
    await view.go("/board");
    const rows = (await demo.api("/api/board")).board.length;
    assert.equal(await view.page.locator(".board tbody tr").count(), rows);
    await view.page.emulateMedia({ media: "print" });
    assert.ok(await view.page.locator(".board").isVisible());
    assert.ok(!(await view.page.locator(".main-nav").isVisible()));
    assert.ok(!(await view.page.locator("button").first().isVisible()));
    const pdf = await view.page.pdf({ format: "Letter", path: join(pictures, "board.pdf") });
    assert.equal(pdf.subarray(0, 5).toString(), "%PDF-");
    await view.go("/");
    const brief = await view.page.pdf({ format: "Letter", path: join(pictures, "brief.pdf") });
    assert.ok(brief.length > 10_000);
    await view.close();
  });
});

describe("settings", () => {
  test("the language changes at once and is remembered", async () => {
    const view = await open(running, demo, "phone");
    await view.go("/settings");
    await view.page.getByRole("button", { name: "Español" }).click();
    await view.page.locator("h1", { hasText: "Ajustes" }).waitFor();
    await view.go("/");
    assert.equal(await view.page.locator(".main-nav a").nth(1).innerText(), "Hoy");
    await view.close();
  });
});
