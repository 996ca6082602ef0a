// The pages on the demo garden, in a real browser: what people see and do, in both languages, on a phone and at a desk.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { browser, open, pictures, serveDemo } from "./program.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
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

// A garden that a test may write into without disturbing the others.
async function withGarden(use) {
  const garden = await serveDemo();
  try {
    await use(garden);
  } finally {
    await garden.stop();
  }
}

async function problems(page) {
  // Evaluated over the debugging protocol, which the page's own policy doesn't bar.
  await page.evaluate(axe);
  const result = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  return result.violations.map((violation) => `${violation.id}: ${violation.help}: ${violation.nodes.map((node) => `${node.html.slice(0, 160)} ${node.failureSummary}`).join(" | ")}`);
}

async function beds() {
  const brief = await demo.api("/api/brief");
  const pressing = brief.beds.find((bed) => bed.urgency === "act" || bed.urgency === "look") ?? brief.beds[0];
  return { brief, pressing: pressing.bed };
}

const places = (bed) => [
  ["brief", "/"], ["bed", `/beds/${bed}`], ["board", "/board"], ["menu", "/write/menu"], ["count", `/write/count?bed=${bed}`], ["planting", `/write/planting?bed=${bed}`],
  ["harvest", `/write/harvest?bed=${bed}`], ["spray", `/write/spray?bed=${bed}`], ["outside", `/write/outside-label?bed=${bed}`], ["release", `/write/release?bed=${bed}`], ["settings", "/settings"],
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
      const small = await view.page.evaluate(() => [...document.querySelectorAll("button, select, input:not([type=checkbox]), textarea, .main-nav a, summary, .button, label.confirm")]
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
  test("says today's beds worst first, with the walk, and leads to a bed", async () => {
    const { brief, pressing } = await beds();
    const view = await open(running, demo, "phone");
    await view.go("/");
    const entries = await view.page.locator(".entry h3").allInnerTexts();
    const shown = brief.beds.filter((bed) => ["lock", "act", "look"].includes(bed.urgency)).map((bed) => bed.headline.text);
    assert.deepEqual(entries.slice(0, shown.length).map((text) => text.replace(/\s*›$/, "")), shown);
    assert.equal(await view.page.locator(".walk .walk-item").count(), brief.walk.length);
    await view.page.locator(`.entry h3 a[href="/beds/${pressing}"]`).click();
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

describe("writing down", () => {
  test("a count by thumb ends in the ledger, byte for byte, and in the bed's history", async () => {
    await withGarden(async (garden) => {
      const brief = await garden.api("/api/brief");
      const visit = brief.walk[0];
      const view = await open(running, garden, "phone");
      await view.go("/");
      await view.page.locator(".walk-item a.button").first().click();
      await view.page.locator(".stepper").first().waitFor();
      const found = view.page.locator(".stepper").nth(1);
      for (let i = 0; i < 3; i++) await found.locator(".step-more").tap();
      await found.locator(".step-less").tap();
      let sent;
      view.page.on("request", (request) => {
        if (request.method() === "POST" && request.url().includes("/api/events")) sent = request.postData();
      });
      await view.page.screenshot({ path: join(pictures, "count-filled-phone.png"), fullPage: true });
      await view.page.locator("button.button-main").tap();
      await view.page.locator(".ending-saved").waitFor();
      const ledger = await garden.api("/api/events?from=1");
      const events = await garden.api(`/api/events?from=${ledger.last_seq}`);
      const last = events.events.at(-1).event;
      assert.equal(last.kind, "count_taken");
      assert.equal(last.bed, visit.bed);
      assert.equal(last.pest, visit.pest);
      assert.equal(last.count, 2);
      assert.equal(last.plants, visit.plants);
      assert.equal(last.writer_seq, 1);
      assert.match(last.id, /^[0-9a-f]{8}-[0-9a-f]{4}-7/);
      const raw = await (await fetch(`${garden.url}/api/events?from=${ledger.last_seq}`)).text();
      assert.ok(raw.includes(sent), "the ledger holds the bytes that were sent");
      await view.page.locator(".ending-saved a").first().click();
      await view.page.locator(".history li").first().waitFor();
      assert.match(await view.page.locator(".history li").first().innerText(), /2 on/);
      assert.deepEqual(view.complaints, []);
      await view.close();
    });
  });

  test("what can't be sent is kept, shown and sent later with the same bytes", async () => {
    await withGarden(async (garden) => {
      const { bed, pest } = (await garden.api("/api/brief")).walk[0];
      const view = await open(running, garden, "phone", "es");
      await view.go(`/write/count?bed=${bed}&pest=${pest}`);
      await view.page.locator(".pick").nth(1).locator("button").first().click();
      await garden.kill();
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-waiting").waitFor();
      assert.match(await view.page.locator(".queue-note").innerText(), /Sin enviar: 1 anotación/);
      const kept = await view.page.evaluate(() => JSON.parse(localStorage.getItem("leafturn.queue"))[0].bytes);
      await view.page.screenshot({ path: join(pictures, "count-waiting-phone-es.png"), fullPage: true });
      await garden.restart();
      await view.page.reload();
      await view.page.locator(".queue-note").waitFor({ state: "detached" });
      const last = await (await fetch(`${garden.url}/api/events?from=${(await garden.api("/api/health")).events}`)).text();
      assert.ok(last.includes(kept));
      await view.close();
    });
  });

  test("a planting", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "desktop");
      const { beds: all } = await garden.api("/api/garden");
      const empty = all.find((bed) => bed.plantings.length === 0) ?? all[0];
      await view.go(`/write/planting?bed=${empty.bed}`);
      await view.page.getByLabel("Crop", { exact: true }).selectOption("LACSA");
      await view.page.getByLabel("Plants", { exact: true }).fill("30");
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-saved").waitFor();
      const { plantings } = await garden.api(`/api/beds/${empty.bed}`);
      assert.ok(plantings.some((planting) => planting.crop === "LACSA" && planting.plants === 30 && planting.removed === null));
      assert.deepEqual(view.complaints, []);
      await view.close();
    });
  });

  test("a harvest taken, in the garden's own unit, and one planned", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      const described = await garden.api("/api/garden");
      const free = (await garden.api("/api/board")).board.find((row) => row.pick === "yes" && row.crop !== null);
      await view.go(`/write/harvest?bed=${free.bed}`);
      await view.page.locator('input[type="number"]').fill("2.5");
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-saved").waitFor();
      const last = (await garden.api(`/api/events?from=${(await garden.api("/api/health")).events}`)).events.at(-1).event;
      assert.equal(last.kind, "harvest_taken");
      assert.ok(Math.abs(last.amount_g - 2.5 * (described.units === "us" ? 453.59237 : 1000)) < 1e-6);
      await view.page.getByRole("button", { name: "It will be picked" }).click();
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-saved").waitFor();
      assert.equal((await garden.api(`/api/events?from=${(await garden.api("/api/health")).events}`)).events.at(-1).event.kind, "harvest_planned");
      await view.close();
    });
  });

  test("a refusal by the server is shown as it says it, and nothing is written", async () => {
    await withGarden(async (garden) => {
      const view = await open(running, garden, "phone");
      const { bed, pest } = (await garden.api("/api/brief")).walk[0];
      const before = (await garden.api("/api/health")).events;
      await view.go(`/write/count?bed=${bed}&pest=${pest}`);
      await view.page.locator(".pick").nth(1).locator("button").first().click();
      await view.page.locator('input[type="datetime-local"]').fill("2026-01-01T06:30");
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-refused").waitFor();
      assert.equal((await garden.api("/api/health")).events, before);
      assert.equal(await view.page.locator(".queue-note").count(), 0);
      await view.close();
    });
  });
});

describe("a spray", () => {
  // Every bed against every card, as the API judges them: the pages must agree.
  async function verdicts(garden) {
    const { beds: all, cards, at } = await garden.api("/api/garden");
    const out = {};
    for (const bed of all.filter((one) => one.plantings.length > 0)) {
      for (const card of cards) {
        const response = await fetch(`${garden.url}/api/may-treat`, { method: "POST", headers: { "Content-Type": "application/json" },
          body: JSON.stringify({ bed: bed.bed, product: card.product, rate: "1 floz/gal", on: at }) });
        const answer = await response.json();
        out[answer.plantings[0].verdict] ??= { bed: bed.bed, product: card.product };
      }
    }
    return out;
  }
  async function askCard(view, { bed, product }) {
    await view.go(`/write/spray?bed=${bed}&product=${encodeURIComponent(product)}`);
    await view.page.locator('input[type="text"]').first().fill("1 floz/gal");
    await view.page.locator("button.button-main").click();
    await view.page.locator(".judged").first().waitFor();
  }

  for (const language of ["en", "es"]) {
    test(`refused or not known (${language}): reasons with the card's line, and no way past them`, async () => {
      const found = await verdicts(demo);
      assert.ok(found.refused, "the demo shows no refusal");
      const view = await open(running, demo, "phone", language);
      for (const verdict of ["refused", "unknown"]) {
        if (!found[verdict]) continue;
        await askCard(view, found[verdict]);
        assert.ok((await view.page.locator(`.reason-${verdict}`).count()) > 0);
        assert.match(await view.page.locator(`.reason-${verdict} .reason-field`).first().innerText(), /use|conditions|card|\d/);
        // The only button is the question itself, and the only way on is the page for what was already done.
        assert.equal(await view.page.locator("main button").count(), 1);
        assert.equal(await view.page.locator("main a.button").count(), 0);
        assert.equal(await view.page.locator('main a[href^="/write/outside-label"]').count(), 1);
        assert.deepEqual(await problems(view.page), []);
        await view.page.screenshot({ path: join(pictures, `spray-${verdict}-phone-${language}.png`), fullPage: true });
      }
      await view.close();
    });
  }

  test("allowed with conditions: they must be confirmed, cautions stand beside it, a plan locks the bed", async () => {
    await withGarden(async (garden) => {
      const found = await verdicts(garden);
      const allowed = found.conditional ?? found.allowed;
      assert.ok(allowed, "the demo shows no permission");
      const view = await open(running, garden, "desktop");
      await askCard(view, allowed);
      assert.ok(await view.page.locator(".answer-card .cautions").isVisible());
      const plan = view.page.getByRole("button", { name: "Plan it" });
      assert.ok(await plan.isDisabled());
      await view.page.locator(".confirm input").check();
      await view.page.screenshot({ path: join(pictures, "spray-conditional-desktop.png"), fullPage: true });
      // A changed question loses its answer.
      await view.page.locator('input[type="text"]').first().fill("2 floz/gal");
      assert.equal(await plan.count(), 0);
      await view.page.locator("button.button-main").click();
      await view.page.locator(".judged").first().waitFor();
      await view.page.locator(".confirm input").check();
      await plan.click();
      await view.page.locator(".ending-saved").waitFor();
      const row = (await garden.api("/api/board")).board.find((one) => one.bed === allowed.bed);
      assert.notEqual(row.enter, "yes", "a planned spray must lock its bed");
      assert.deepEqual(view.complaints, []);
      await view.close();
    });
  });

  test("already sprayed against its card: the consequence first, then the bed is locked until it is released", async () => {
    await withGarden(async (garden) => {
      const { refused } = await verdicts(garden);
      const view = await open(running, garden, "phone");
      await askCard(view, refused);
      await view.page.locator('main a[href^="/write/outside-label"]').click();
      await view.page.locator(".consequence").waitFor();
      assert.match(await view.page.locator(".consequence").innerText(), /do not pick or give away/);
      const submit = view.page.locator("button.button-main");
      assert.ok(await submit.isDisabled());
      await view.page.locator("textarea").fill("Sprayed last night before anyone had read the card.");
      assert.ok(await submit.isDisabled());
      await view.page.locator(".confirm input").check();
      await view.page.screenshot({ path: join(pictures, "outside-filled-phone.png"), fullPage: true });
      await submit.click();
      await view.page.locator(".ending-saved").waitFor();
      await view.go("/board");
      const row = view.page.locator(".board tbody tr", { has: view.page.locator(".board-bed", { hasText: new RegExp(`^${refused.bed}$`) }) });
      assert.match(await row.innerText(), /don't pick/);
      assert.match(await row.innerText(), /outside its label/);
      await view.go("/");
      assert.match(await view.page.locator(".entry").first().innerText(), /Locked[\s\S]*do not pick or give away/);
      await view.go(`/beds/${refused.bed}`);
      await view.page.screenshot({ path: join(pictures, "bed-locked-phone.png"), fullPage: true });
      await view.page.locator('a[href^="/write/release"]').click();
      await view.page.getByRole("button", { name: "An authority has answered" }).click();
      await view.page.locator("textarea").fill("Letter of 12 June: wait seven days.");
      await view.page.locator(".confirm input").check();
      await view.page.locator("button.button-main").click();
      await view.page.locator(".ending-saved").waitFor();
      assert.notEqual((await garden.api(`/api/beds/${refused.bed}`)).brief.urgency, "lock");
      await view.close();
    });
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

