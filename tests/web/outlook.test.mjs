// How many there will be, in a real browser: the list, the fans with their tables and marks, the options compared, an old crop pulled.
import assert from "node:assert/strict";
import { after, before, suite, test } from "node:test";
import { browser, open, problems, serveDemo, sizes } from "./program.mjs";

let running, garden, outlook;
before(async () => {
  [running, garden] = await Promise.all([browser(), serveDemo()]);
  outlook = await garden.api("/api/outlook");
});
after(async () => {
  await running.close();
  await garden.stop();
});

const pestIn = (bed, pest) => outlook.beds.find((one) => one.bed === bed).pests.find((one) => one.pest === pest);

async function held(view, size, where) {
  await view.page.locator(".loading").waitFor({ state: "detached" });
  assert.deepEqual(await problems(view.page), [], where);
  assert.ok(!(await view.page.locator("main").innerText()).includes("⟦"), where);
  const wide = await view.page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= sizes[size].width, `${where}: ${wide} px wide`);
  const small = await view.page.evaluate(() => [...document.querySelectorAll("main a, main button, main input, main summary")].filter((one) => one.checkVisibility()).map((one) => [one.textContent, one.getBoundingClientRect().height]).filter(([, high]) => high > 0 && high < 43.9));
  assert.deepEqual(small, [], `${where}: too small for a thumb`);
}

suite("how many there will be", () => {
  for (const size of ["phone", "desktop"])
    for (const [language, scheme] of [["en", "light"], ["es", "dark"]])
      test(`its pages on a ${size}, ${language}, ${scheme}`, async () => {
        const view = await open(running, garden, size, language, scheme);
        for (const path of ["/outlook", "/outlook/3/harlequin-bug", "/outlook/1/imported-cabbageworm"]) {
          await view.go(path);
          await view.page.locator(".loading").waitFor({ state: "detached" });
          await view.page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = true)));
          await held(view, size, path);
        }
        assert.deepEqual(view.complaints, []);
        await view.close();
      });

  test("the list says what the API says, in its order", async () => {
    const view = await open(running, garden, "phone");
    await view.go("/outlook");
    const counted = outlook.worst.map((one) => pestIn(one.bed, one.pest)).filter((one) => one.counts > 0);
    assert.ok(counted.length >= 5);
    assert.deepEqual(await view.page.locator("section[aria-labelledby=counted] h3").allInnerTexts(), counted.map((one) => one.says.text));
    const text = await view.page.locator("main").innerText();
    for (const pest of outlook.pests.filter((one) => one.counts > 0)) assert.ok(text.includes(pest.gate.text), pest.pest);
    await view.close();
  });

  test("a fan has its threshold, its counts and the end of the forecast, and the table the same days", async () => {
    const one = pestIn("3", "harlequin-bug");
    const view = await open(running, garden, "phone");
    await view.go("/outlook/3/harlequin-bug");
    const main = view.page.locator("figure.fan").first();
    assert.equal(await main.locator(".fan-limit").count(), 1);
    assert.equal(await main.locator(".fan-limit-label").textContent(), `threshold ${one.threshold.value}`);
    assert.equal(await main.locator(".fan-weather").count(), 1);
    assert.equal(await main.locator(".fan-taken").count(), one.taken.filter((taken) => taken.counted !== null).length);
    assert.ok(one.taken.length >= 3);
    assert.equal(await main.locator("tbody tr").count(), one.days.length);
    const groups = Object.keys(one.days[0].stages);
    assert.equal(await view.page.locator("figure.fan").count(), 1 + groups.length);
    const text = await view.page.locator("main").innerText();
    for (const taken of one.taken) assert.ok(text.includes(taken.text), taken.text);
    assert.ok(text.includes(one.threshold.source));
    for (const unknown of one.learned.filter((some) => !some.learned)) assert.ok(text.includes(unknown.name), unknown.name);
    await view.close();
  });

  test("a mark stands at the height of its count", async () => {
    const one = pestIn("3", "harlequin-bug");
    const view = await open(running, garden, "phone");
    await view.go("/outlook/3/harlequin-bug");
    const heights = await view.page.locator("figure.fan").first().evaluate((figure) => {
      const middle = (element) => { const box = element.getBoundingClientRect(); return (box.top + box.bottom) / 2; };
      const lines = [...figure.querySelectorAll("line.cal-month")].filter((line) => line.getAttribute("x1") !== line.getAttribute("x2")).map(middle);
      const labels = [...figure.querySelectorAll("text.cal-label")].slice(0, 3).map((label) => Number(label.textContent));
      return { zero: lines[0], top: lines[2], most: labels[2], limit: middle(figure.querySelector(".fan-limit")), dot: middle(figure.querySelector("circle.fan-full")) };
    });
    const value = (at) => ((heights.zero - at) / (heights.zero - heights.top)) * heights.most;
    const nymphs = one.taken.find((taken) => taken.group === "nymph");
    assert.ok(Math.abs(value(heights.limit) - one.threshold.value) < heights.most / 60, "threshold");
    assert.ok(Math.abs(value(heights.dot) - nymphs.counted) < heights.most / 60, "count");
    await view.close();
  });

  test("before any count there are no numbers, and the page says what begins them", async () => {
    const view = await open(running, garden, "phone");
    await view.go("/outlook?at=2026-04-20T06:00");
    assert.equal(await view.page.locator("section[aria-labelledby=counted]").count(), 0);
    assert.ok(await view.page.locator("main p a[href^='/write/count']").count() === 1);
    await view.close();
  });
});
