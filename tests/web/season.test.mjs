// The calendar and the weather in a real browser: drawn, said in words, usable by thumb, in both languages, light and dark.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, suite, test } from "node:test";
import { browser, open, pictures, problems, serveDemo, sizes } from "./program.mjs";

let running, garden;
before(async () => {
  [running, garden] = await Promise.all([browser(), serveDemo()]);
});
after(async () => {
  await running.close();
  await garden.stop();
});

async function fits(page, size) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= sizes[size].width, `${wide} px wide`);
}

suite("the bugs' calendar", () => {
  for (const size of ["phone", "desktop"])
    for (const [language, scheme] of [["en", "light"], ["es", "dark"]])
      test(`its pages on a ${size}, ${language}, ${scheme}`, async () => {
        const view = await open(running, garden, size, language, scheme);
        for (const path of ["/seasons", "/seasons/imported-cabbageworm", "/seasons/cabbage-looper", "/weather"]) {
          await view.go(path);
          await view.page.locator(".loading").waitFor({ state: "detached" });
          assert.deepEqual(await problems(view.page), [], path);
          assert.ok(!(await view.page.locator("main").innerText()).includes("⟦"), path);
          await fits(view.page, size);
          const small = await view.page.evaluate(() => [...document.querySelectorAll("main a, main button, main input, main summary")].map((one) => one.getBoundingClientRect().height).filter((high) => high > 0 && high < 43.9));
          assert.deepEqual(small, [], `${path}: too small for a thumb`);
        }
        assert.deepEqual(view.complaints, []);
        await view.close();
      });

  test("every pest with a host in the garden is in the list, those with dates first and soonest first", async () => {
    const { pests } = await garden.api("/api/seasons");
    const view = await open(running, garden, "phone");
    await view.go("/seasons");
    const shown = await view.page.locator(".short h3").allTextContents();
    assert.deepEqual([...shown].sort(), pests.map((one) => one.name).sort());
    const dated = pests.filter((one) => one.state === "dated").map((one) => one.next?.date ?? "9999");
    assert.ok(dated.length > 3);
    const order = shown.slice(0, dated.length).map((name) => pests.find((one) => one.name === name).next?.date ?? "9999");
    assert.deepEqual(order, [...order].sort());
    await view.close();
  });

  test("the drawing has a bar for each stage the calendar dates, and the table says the same days", async () => {
    const season = await garden.api("/api/seasons/imported-cabbageworm");
    const dated = (some) => some.flatMap((one) => one.stages).filter((one) => one.enter.p05 !== null);
    const generations = [season.overwintered, ...season.generations];
    const drawn = dated(generations.filter((one) => one.stages.some((stage) => stage.enter.p25 !== null)));
    assert.ok(drawn.length > 20);
    const view = await open(running, garden, "desktop");
    await view.go("/seasons/imported-cabbageworm");
    assert.equal(await view.page.locator(".cal-bar").count(), drawn.length);
    assert.equal(await view.page.locator("details .stage-table tbody th[scope=row]").count(), dated(generations).length);
    assert.ok(await view.page.locator(".heat-now").count() === 1, "degree-days of this year");
    assert.ok(await view.page.locator(".heat-band").count() === 1, "the range of other years");
    await view.close();
  });

  test("the drawing fits a phone without sliding, every name inside it", async () => {
    for (const language of ["en", "es"]) {
      const view = await open(running, garden, "phone", language);
      for (const pest of ["imported-cabbageworm", "brown-marmorated-stink-bug"]) {
        await view.go(`/seasons/${pest}`);
        const cut = await view.page.evaluate(() => {
          const sheet = document.querySelector(".stage-sheet").getBoundingClientRect();
          return [...document.querySelectorAll(".stage-sheet text")].filter((one) => one.getBoundingClientRect().left < sheet.left - 1 || one.getBoundingClientRect().right > sheet.right + 1).map((one) => one.textContent);
        });
        assert.deepEqual(cut, [], `${pest}, ${language}`);
      }
      await view.close();
    }
  });

  test("it prints on two sheets, with the table of days", async () => {
    const season = await garden.api("/api/seasons/imported-cabbageworm");
    const rows = [season.overwintered, ...season.generations].flatMap((one) => one.stages).filter((one) => one.enter.p05 !== null);
    const view = await open(running, garden, "desktop");
    await view.go("/seasons/imported-cabbageworm");
    for (const format of ["Letter", "A4"]) {
      const pdf = await view.page.pdf({ format, path: join(pictures, `season-${format}.pdf`) });
      assert.ok((pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length <= 2, format);
    }
    await view.page.emulateMedia({ media: "print" });
    assert.equal(await view.page.locator(".print-only .stage-table tbody th[scope=row]:visible").count(), rows.length);
    await view.close();
  });

  test("every pest has words for what to look for, and the drawings of no two adults are alike but for the two flies", async () => {
    const { pests } = await garden.api("/api/garden");
    const view = await open(running, garden, "desktop");
    const seen = new Map();
    for (const { id } of pests) {
      await view.go(`/seasons/${id}`);
      const adult = view.page.locator(".looks dt", { has: view.page.locator(".glyph") }).last();
      const drawn = await adult.locator(".glyph").innerHTML();
      seen.set(drawn, [...(seen.get(drawn) ?? []), id]);
    }
    const alike = [...seen.values()].filter((one) => one.length > 1);
    assert.deepEqual(alike, [["cabbage-maggot", "seedcorn-maggot"]]);
    await view.close();
  });

  test("a migrant gets no dates and says why", async () => {
    const view = await open(running, garden, "phone");
    await view.go("/seasons/cabbage-looper");
    assert.equal(await view.page.locator(".cal-bar").count(), 0);
    assert.match(await view.page.locator("main").innerText(), /trap/);
    await view.close();
  });

  test("eggs found are gone on with", async () => {
    const view = await open(running, garden, "phone");
    await view.go("/seasons/colorado-potato-beetle");
    await view.page.locator(".found-form input").fill("2026-06-10");
    await view.page.locator(".found-form button").click();
    const first = view.page.locator(".found-eggs tbody tr").first();
    await first.waitFor();
    const hatch = await garden.api("/api/pests/colorado-potato-beetle/hatch?found=2026-06-10");
    assert.equal(await first.locator("th").innerText(), hatch.stages[0].name);
    await view.close();
  });
});

suite("the weather", () => {
  test("thirty days, the forecast and the guess, and what each file holds", async () => {
    const weather = await garden.api("/api/weather");
    const view = await open(running, garden, "desktop");
    await view.go("/weather");
    assert.equal(await view.page.locator(".day-bar, rect.day-guess, rect.day-told").count(), weather.days.length + weather.future_days.length);
    assert.equal(await view.page.locator("section[aria-labelledby=files] > ul > li").count(), weather.files.length);
    const text = await view.page.locator("main").innerText();
    for (const one of weather.says) assert.ok(text.includes(one.text), one.text);
    await view.close();
  });
});
