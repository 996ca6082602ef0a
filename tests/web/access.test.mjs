// People, roles and phones: pairing by the drawn code, what each role is offered, and an attacker's tries in a real browser.
import assert from "node:assert/strict";
import { createServer } from "node:http";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import jsqr from "jsqr";
import { browser, open, pictures, problems, serveDemo, uuid7 } from "./program.mjs";

// A name that leads to this computer and yet isn't its own: who asks by it is a stranger until paired.
const name = "shed.local";
let running;
before(async () => {
  running = await browser([`--host-resolver-rules=MAP ${name} 127.0.0.1`]);
});
after(async () => {
  await running?.close();
});

async function withNetwork(use) {
  const garden = await serveDemo({ name });
  const ask = async (path, body) => {
    const response = await fetch(garden.url + path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
    const answer = await response.json();
    if (!response.ok) throw new Error(JSON.stringify(answer));
    return answer;
  };
  // A phone of a new person, paired over the network as the pair page does it.
  const phone = async (role, { size = "phone", language = "en", who = role, secure = false } = {}) => {
    const url = secure ? `https://${name}:${garden.securePort}` : `http://${name}:${garden.port}`;
    const view = await open(running, { url }, size, language, "light", { ignoreHTTPSErrors: true });
    const person = await ask("/api/people", { name: who, role });
    const { code } = await ask("/api/pairings", { person: person.id });
    await view.go(`/pair#${code}`);
    await view.page.locator("button.button-main").click();
    await view.page.locator(".ending-saved").waitFor();
    return { ...view, person };
  };
  try {
    await use(garden, { ask, phone, url: `http://${name}:${garden.port}`, secureUrl: `https://${name}:${garden.securePort}` });
  } finally {
    await garden.stop();
  }
}

// What the server answers to who may not is an error in the browser's console, and meant to be; so is that it guards pages over plain http
// as well as it can.
const odd = (complaints) => complaints.filter((text) => !/status of (401|403)|Cross-Origin-Opener-Policy/.test(text));

const lastOf = async (garden) => {
  const { last_seq: last } = await garden.api("/api/events?from=1");
  return (await garden.api(`/api/events?from=${last}`)).events.at(-1)?.event;
};

describe("people and phones", () => {
  for (const [size, language] of [["desktop", "en"], ["phone", "es"]]) {
    test(`a lead adds somebody, a phone pairs by the drawn code, counts under its name, and is signed out (${size}, ${language})`, async () => {
      await withNetwork(async (garden, { url }) => {
        const tag = `${size}-${language}`;
        const lead = await open(running, garden, size, language);
        await lead.go("/settings");
        await lead.page.locator('a[href="/people"]').click();
        await lead.page.locator(".add-person form").waitFor();
        assert.deepEqual(await problems(lead.page), []);
        await lead.page.locator(".add-person input").fill("Ana");
        await lead.page.locator(".add-person .pick-one").nth(2).click();
        await lead.page.screenshot({ path: join(pictures, `people-add-${tag}.png`), fullPage: true });
        await lead.page.locator(".add-person button.button-main").click();
        await lead.page.locator(".person").waitFor();
        await lead.page.locator(".person > button").click();
        const qr = lead.page.locator(".qr");
        await qr.waitFor();
        assert.deepEqual(await problems(lead.page), []);
        await lead.page.screenshot({ path: join(pictures, `people-code-${tag}.png`), fullPage: true });
        const address = await read(lead.page, qr);
        assert.match(address, new RegExp(`^https://${name}:${garden.securePort}/pair#[0-9A-Z]{8}$`));
        const code = address.split("#")[1];
        assert.equal((await lead.page.locator(".code").innerText()).replace("-", ""), code);

        const phone = await open(running, { url }, "phone", language);
        await phone.go(`/board`);
        assert.equal(new URL(phone.page.url()).pathname, "/pair", "who isn't paired is led to the one page there is");
        assert.deepEqual(await problems(phone.page), []);
        await phone.page.screenshot({ path: join(pictures, `pair-${language}.png`), fullPage: true });
        await phone.page.locator(".code-input").fill("0000-0000");
        await phone.page.locator("button.button-main").click();
        await phone.page.locator(".ending-refused").waitFor();
        await phone.go(`/pair#${code}`);
        await phone.page.reload();
        await phone.go(`/pair#${code}`);
        assert.equal(await phone.page.locator(".code-input").inputValue(), `${code.slice(0, 4)}-${code.slice(4)}`);
        assert.equal(new URL(phone.page.url()).hash, "", "the code doesn't stay in the address");
        await phone.page.locator('.field input:not(.code-input)').fill("blue phone");
        await phone.page.locator("button.button-main").click();
        await phone.page.locator(".ending-saved").waitFor();
        await phone.page.screenshot({ path: join(pictures, `pair-done-${language}.png`), fullPage: true });
        await lead.page.locator('.code-panel[role="status"]').waitFor();
        await lead.page.locator(".code-panel button").click();
        await lead.page.screenshot({ path: join(pictures, `people-paired-${tag}.png`), fullPage: true });

        await phone.page.locator("button.button-main").click();
        await phone.page.locator(".walk-item a.button").first().click();
        await phone.page.locator(".stepper").first().waitFor();
        assert.match(await phone.page.locator(".when-who").innerText(), /Ana/);
        assert.equal(await phone.page.locator(".when-who input").count(), 1, "nobody types another name");
        await phone.page.locator(".stepper").nth(1).locator(".step-more").click();
        await phone.page.locator("button.button-main").click();
        await phone.page.locator(".ending-saved").waitFor();
        const event = await lastOf(garden);
        const { people } = await garden.api("/api/people");
        assert.equal(event.by, people[0].id);
        await phone.page.locator(".ending-saved a").first().click();
        await phone.page.locator(".history li").first().waitFor();
        assert.match(await phone.page.locator(".history li").first().innerText(), /Ana/);

        await lead.page.locator(".devices button").click();
        await lead.page.locator(".devices").waitFor({ state: "detached" });
        await phone.page.goto(`${url}/board`);
        await phone.page.locator(".code-input").waitFor();
        assert.equal(new URL(phone.page.url()).pathname, "/pair");
        assert.deepEqual(lead.complaints, []);
        assert.deepEqual(odd(phone.complaints), []);
        await lead.close();
        await phone.close();
      });
    });
  }

  test("erasing asks for the name, and the records stay, as by someone no longer here", async () => {
    await withNetwork(async (garden, { phone }) => {
      const scout = await phone("scout", { who: "Ana" });
      const bed = (await garden.api("/api/garden")).beds.find((one) => one.plantings.length > 0).bed;
      await scout.go(`/write/work?bed=${bed}&work=water`);
      await scout.page.locator("button.button-main").click();
      await scout.page.locator(".ending-saved").waitFor();
      const lead = await open(running, garden, "phone");
      await lead.go("/people");
      await lead.page.locator(".erase summary").click();
      const erase = lead.page.locator(".erase button");
      await lead.page.locator(".erase input").fill("An");
      assert.ok(await erase.isDisabled());
      await lead.page.locator(".erase input").fill("Ana");
      await lead.page.screenshot({ path: join(pictures, "people-erase-phone.png"), fullPage: true });
      assert.deepEqual(await problems(lead.page), []);
      await erase.click();
      await lead.page.locator(".person").waitFor({ state: "detached" });
      await lead.go(`/beds/${bed}`);
      assert.match(await lead.page.locator(".history li").first().innerText(), /someone no longer here/);
      assert.equal((await lead.page.content()).includes("Ana"), false);
      await lead.close();
      await scout.close();
    });
  });
});

describe("what each role is offered", () => {
  // Links of the bed's page and of the page one writes from, by role.
  const offered = {
    lead: ["count", "work", "harvest", "spray", "planting"],
    applicator: ["count", "work", "harvest", "spray"],
    scout: ["count", "work", "harvest"],
    picker: ["harvest"],
    reader: [],
  };
  for (const [role, kinds] of Object.entries(offered)) {
    test(role, async () => {
      await withNetwork(async (garden, { phone, url }) => {
        const view = await phone(role);
        const bed = (await garden.api("/api/garden")).beds.find((one) => one.plantings.length > 0).bed;
        const kindsOf = async (selector) => [...new Set(await view.page.locator(selector).evaluateAll((links) => links.map((link) => new URL(link.href).pathname.replace("/write/", ""))))];
        await view.go("/");
        const nav = await view.page.locator(".main-nav a").evaluateAll((links) => links.map((link) => new URL(link.href).pathname));
        assert.equal(nav.includes("/write/menu"), kinds.length > 0);
        assert.equal(nav.includes("/seasons"), role !== "picker");
        assert.equal(await view.page.locator(".walk-item a.button").count() > 0, kinds.includes("count"));
        assert.equal(await view.page.locator(".done-link").count() > 0, kinds.includes("work"));
        await view.page.screenshot({ path: join(pictures, `role-${role}-phone.png`) });
        if (kinds.length > 0) {
          await view.go("/write/menu");
          assert.deepEqual((await kindsOf(".menu-one")).filter((kind) => kind !== "release").sort(), [...kinds].sort());
          assert.equal((await kindsOf(".menu-one")).includes("release"), role === "lead");
          assert.deepEqual(await problems(view.page), []);
        }
        if (role !== "picker") {
          await view.go(`/beds/${bed}`);
          assert.deepEqual((await kindsOf(".bed-write a")).sort(), [...kinds].sort());
          assert.equal(await view.page.locator(".history a.undo").count() > 0, role === "lead", "others' entries aren't theirs to put right");
        }
        await view.go("/settings");
        assert.equal(await view.page.locator('a[href="/people"]').count(), role === "lead" ? 1 : 0);
        await view.page.locator(".this-device").screenshot({ path: join(pictures, `device-${role}.png`) });
        // By the address typed, too.
        if (role !== "lead") {
          const answer = await view.page.goto(`${url}/people`);
          assert.equal(answer.status(), 403);
          await view.page.locator("main h1").waitFor();
          assert.match(await view.page.locator("main h1").innerText(), /not for your role/);
          assert.deepEqual(await problems(view.page), []);
        }
        assert.deepEqual(odd(view.complaints), []);
        await view.close();
      });
    });
  }

  test("a lead's phone writes for others, and only for people there are", async () => {
    await withNetwork(async (garden, { phone, ask }) => {
      const ana = await ask("/api/people", { name: "Ana", role: "scout" });
      const lead = await phone("lead");
      const bed = (await garden.api("/api/garden")).beds.find((one) => one.plantings.length > 0).bed;
      for (const [who, id] of [["lead", lead.person.id], ["Ana", ana.id]]) {
        await lead.go(`/write/work?bed=${bed}&work=water`);
        const choice = lead.page.locator(".when-who select");
        await choice.waitFor();
        await choice.selectOption({ label: who });
        await lead.page.locator("button.button-main").click();
        await lead.page.locator(".ending-saved").waitFor();
        assert.equal((await lastOf(garden)).by, id);
      }
      await lead.close();
    });
  });
});

describe("an attacker", () => {
  test("finds no cookie in reach of scripts, and over https none that travels without it", async () => {
    await withNetwork(async (garden, { phone, url, secureUrl }) => {
      for (const secure of [false, true]) {
        const view = await phone("scout", { who: `scout ${secure}`, secure });
        const cookies = await view.page.context().cookies(secure ? secureUrl : url);
        const [cookie] = cookies.filter((one) => one.name === (secure ? "__Host-leafturn" : "leafturn"));
        assert.equal(cookie.httpOnly, true);
        assert.equal(cookie.sameSite, "Strict");
        assert.equal(cookie.secure, secure);
        assert.equal(cookie.path, "/");
        assert.equal(await view.page.evaluate(() => document.cookie), "");
        await view.close();
      }
    });
  });

  test("writes nothing from another site's page, with the phone's cookie in the browser", async () => {
    await withNetwork(async (garden, { phone, url }) => {
      const lead = await phone("lead");
      const before = (await garden.api("/api/health")).events;
      const event = JSON.stringify({ v: 1, id: uuid7(), writer: "elsewhere", writer_seq: 1, happened_at: "2026-06-10T08:00:00Z", by: lead.person.id, kind: "work_done", work: "water", bed: "1" });
      const evil = createServer((request, response) => {
        response.setHeader("Content-Type", "text/html");
        response.end(`<!doctype html><title>elsewhere</title><form id="f" method="post" enctype="text/plain" action="${url}/api/events"><input name='${event.slice(0, -1)},"x":"' value='"}'></form>`);
      });
      await new Promise((done) => evil.listen(0, "127.0.0.1", done));
      try {
        const page = await lead.page.context().newPage();
        await page.goto(`http://127.0.0.1:${evil.address().port}/`);
        const told = await page.evaluate(async ({ url, event, person }) => {
          const tries = [];
          for (const [path, body] of [["/api/events", event], ["/api/people", '{"name":"evil","role":"lead"}'], [`/api/people/${person}`, '{"role":"reader"}'], ["/api/sign-out", "{}"]])
            for (const init of [{ mode: "no-cors", headers: { "Content-Type": "text/plain" } }, { mode: "cors", headers: { "Content-Type": "application/json" } }])
              tries.push(await fetch(url + path, { method: "POST", credentials: "include", body, ...init }).then((answer) => answer.status, () => "barred"));
          const read = await fetch(`${url}/api/me`, { credentials: "include" }).then(() => "read", () => "barred");
          return { tries, read };
        }, { url, event, person: lead.person.id });
        assert.equal(told.read, "barred", "another site can't read the token");
        assert.deepEqual([...new Set(told.tries)].filter((one) => one !== 0), ["barred"], "no answer can be read");
        const answer = await Promise.all([page.waitForNavigation(), page.evaluate(() => document.getElementById("f").submit())]);
        assert.equal(answer[0].status(), 403);
        await page.close();
        assert.equal((await garden.api("/api/health")).events, before);
        assert.deepEqual((await garden.api("/api/people")).people.map((one) => [one.name, one.role]), [["lead", "lead"]]);
        await lead.go("/settings");
        assert.match(await lead.page.locator(".this-device").innerText(), /lead/, "still signed in");
      } finally {
        evil.close();
      }
      await lead.close();
    });
  });

  test("stores scripts in every text field, and none of them runs on any page", async () => {
    await withNetwork(async (garden, { ask, phone }) => {
      // Each closes something else: a tag, an attribute, a script, a template.
      let n = 0;
      const planted = [];
      const bad = (most = 200) => {
        const text = [`<img src=x onerror="window.ran=${++n}">`, `"><script>window.ran=${n}</script>`, `'-window.ran=${n}-'`, `\${window.ran=${n}}`, `<svg/onload=window.ran=${n}>`][n % 5];
        assert.ok(text.length <= most, text);
        planted.push(text);
        return text;
      };
      const lead = await open(running, garden, "desktop");
      const page = lead.page;
      const saved = async () => {
        await page.locator("button.button-main").click();
        await page.locator(".ending-saved").waitFor();
      };
      // Who did it is a choice once there are people; before that answer is in, a field to type in stands there.
      const form = async (path) => {
        await lead.go(path);
        await page.locator(".when-who select").waitFor();
      };
      // Through the pages' own forms.
      await lead.go("/people");
      await page.locator(".add-person input").fill(bad(60));
      await page.locator(".add-person .pick-one").first().click();
      await page.locator(".add-person button.button-main").click();
      await page.locator(".person").waitFor();
      const { people: [person] } = await garden.api("/api/people");
      assert.equal(person.name, planted[0]);
      const bed = (await garden.api("/api/garden")).beds.find((one) => one.plantings.length > 0).bed;
      await form(`/write/work?bed=${bed}&work=water`);
      await page.locator('input[type="text"]').first().fill(bad());
      await saved();
      await form(`/write/harvest?bed=${bed}`);
      for (const field of await page.locator('form input[type="text"]').all()) await field.fill(bad());
      await page.locator('input[type="number"]').first().fill("1");
      await saved();
      await form(`/write/planting?bed=${bed}`);
      await page.getByLabel("Crop", { exact: true }).selectOption("LACSA");
      for (const field of await page.locator('form input[type="text"]').all()) if (await field.isVisible()) await field.fill(bad(60));
      await saved();
      await form(`/write/work?bed=${bed}&work=cover`);
      await saved();
      const wrong = (await lastOf(garden)).id;
      await form(`/write/withdraw?bed=${bed}&id=${wrong}`);
      await page.locator("textarea").fill(bad());
      await saved();
      await form(`/write/outside-label?bed=${bed}`);
      for (const field of await page.locator('form input[type="text"], form textarea').all()) await field.fill(bad());
      for (const box of await page.locator(".confirm input").all()) await box.check();
      await saved();
      await form(`/write/release?bed=${bed}`);
      await page.locator(".pick-one").first().click();
      for (const field of await page.locator('form input[type="text"], form textarea').all()) await field.fill(bad());
      for (const box of await page.locator(".confirm input").all()) await box.check();
      await saved();
      // Through the API, what the forms choose from lists: names of beds, the writer, the person typed before there were people.
      let seq = 0;
      const event = async (fields) => garden.post({ writer: bad(80), writer_seq: ++seq, happened_at: (await garden.api("/api/garden")).at, by: bad(), ...fields });
      const evilBed = bad(60);
      await event({ kind: "bed_laid", bed: evilBed, x_m: 1, y_m: 1, width_m: 1, length_m: 1 });
      await event({ kind: "planting_sown", planting: bad(60), bed: evilBed, crop: "BRSOC" });
      await event({ kind: "work_done", work: "water", bed: evilBed, detail: bad() });
      const described = (await garden.api("/api/events?from=1")).events.map((one) => one.event).findLast((one) => one.kind === "garden_described");
      await event({ ...described, id: uuid7(), name: bad(), by: "lead" });
      const { code } = await ask("/api/pairings", { person: person.id, device: bad(60) });
      const paired = await open(running, { url: `http://${name}:${garden.port}` }, "phone");
      await paired.go(`/pair#${code}`);
      await paired.page.locator("button.button-main").click();
      await paired.page.locator(".ending-saved").waitFor();
      assert.ok(n >= 18, `${n} fields`);

      for (const view of [lead, paired]) {
        const base = view === lead ? garden.url : `http://${name}:${garden.port}`;
        await view.page.addInitScript(() => document.addEventListener("securitypolicyviolation", (event) => (window.violated = `${event.violatedDirective} ${event.sample}`)));
        const eb = encodeURIComponent(evilBed);
        for (const path of ["/", "/board", `/beds/${bed}`, `/beds/${eb}`, `/beds/${eb}/pull`, "/seasons", "/weather", "/outlook", "/settings", "/sync", "/people", "/pair",
          "/write/menu", `/write/count?bed=${eb}`, `/write/work?bed=${eb}`, `/write/harvest?bed=${eb}`, `/write/planting?bed=${eb}`, `/write/spray?bed=${eb}&product=${encodeURIComponent(bad())}`,
          `/write/withdraw?bed=${eb}&id=${encodeURIComponent(bad())}`, `/write/release?bed=${eb}`, `/beds/${encodeURIComponent(bad())}`, `/pair#${encodeURIComponent(bad())}`]) {
          const answer = await view.page.goto(base + path);
          if (answer !== null) {
            const policy = (await answer.allHeaders())["content-security-policy"];
            assert.match(policy, /default-src 'none'/);
            assert.doesNotMatch(policy, /unsafe/);
            // Where there is no such page the answer is JSON, and must not be taken for anything else.
            if (!(await answer.headerValue("content-type")).startsWith("text/html")) {
              assert.match(await answer.headerValue("content-type"), /^application\/json/);
              assert.equal(await answer.headerValue("x-content-type-options"), "nosniff");
              continue;
            }
          }
          await view.page.locator("main h1, main h2").first().waitFor({ timeout: 20_000 }).catch((error) => assert.fail(`${path}: ${error.message}`));
          await view.page.waitForLoadState("networkidle").catch(() => undefined);
          const seen = await view.page.evaluate(() => ({ ran: window.ran, violated: window.violated, made: document.querySelectorAll("main img[src=x], main script, main svg[onload]").length }));
          assert.deepEqual(seen, { ran: undefined, violated: undefined, made: 0 }, path);
        }
      }
      // It is there, as text: the test isn't looking at pages that left it out.
      await lead.go(`/beds/${bed}`);
      const shown = await page.locator("main").innerText();
      assert.ok(shown.includes(planted[1]), "the work's detail stands in the history");
      await lead.go("/people");
      assert.ok((await page.locator("main").innerText()).includes(planted[0]));
      await lead.page.screenshot({ path: join(pictures, "stored-scripts-desktop.png"), fullPage: true });
      await lead.close();
      await paired.close();
    });
  });
});

// What a camera sees: the drawn code, read back by a library that has nothing to do with ours.
async function read(page, locator) {
  await locator.scrollIntoViewIfNeeded();
  const png = (await locator.screenshot()).toString("base64");
  const pixels = await page.context().browser().newContext().then(async (context) => {
    const blank = await context.newPage();
    const found = await blank.evaluate(async (data) => {
      const image = new Image();
      image.src = `data:image/png;base64,${data}`;
      await image.decode();
      const canvas = document.createElement("canvas");
      canvas.width = image.width;
      canvas.height = image.height;
      const pen = canvas.getContext("2d");
      pen.drawImage(image, 0, 0);
      return { width: image.width, height: image.height, data: [...pen.getImageData(0, 0, image.width, image.height).data] };
    }, png);
    await context.close();
    return found;
  });
  return (jsqr.default ?? jsqr)(Uint8ClampedArray.from(pixels.data), pixels.width, pixels.height)?.data ?? "unreadable";
}
