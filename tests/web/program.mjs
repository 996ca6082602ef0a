// The program under test: a fresh demo garden, served on a free port, and Chromium to look at it.
import { spawn, spawnSync } from "node:child_process";
import { randomBytes } from "node:crypto";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { createServer as createHttpServer, request as httpRequest } from "node:http";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "..", "..");
export const pictures = join(root, "build", "pictures");
mkdirSync(pictures, { recursive: true });

export function program() {
  const candidates = [process.env["LEAFTURN_PROGRAM"], join(root, "build", "release", "leafturn"), join(root, "build", "dev", "leafturn")];
  const found = candidates.find((path) => path !== undefined && existsSync(path));
  if (found === undefined) throw new Error("no leafturn to test: build it first (cmake --build --preset release), or set LEAFTURN_PROGRAM");
  return found;
}

function freePort() {
  return new Promise((done, fail) => {
    const server = createServer();
    server.once("error", fail);
    server.listen(0, "127.0.0.1", () => {
      const { port } = server.address();
      server.close(() => done(port));
    });
  });
}

// A garden of its own for every caller: `{ url, folder, kill, restart, stop }`.
export async function serveDemo(options = {}) {
  return serveNew((folder) => {
    const made = spawnSync(program(), ["demo", folder], { encoding: "utf8" });
    if (made.status !== 0) throw new Error(`leafturn demo: ${made.stderr}`);
  }, options);
}

// An invented garden without a day of its own: its now is the clock's. Planted long enough ago, harvested far enough ahead.
export async function liveGarden(options = {}) {
  const day = (days) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);
  return serveNew((folder) => {
    const from = `${folder}-files`;
    mkdirSync(from);
    writeFileSync(join(from, "garden.toml"), 'name = "Invented garden of today"\nlatitude = 40.0\nlongitude = -95.0\nelevation_m = 300\nzone = "America/Chicago"\nunits = "us"\njurisdiction = "US"\nsetting = "agricultural"\nmarked = "invented"\n');
    writeFileSync(join(from, "beds.csv"), "bed,x_m,y_m,width_m,length_m\n1,0,0,1,10\n2,3,0,1,10\n");
    writeFileSync(join(from, "plantings.csv"), `planting,bed,crop,plants,set_out,first_harvest,last_harvest,removed\nkale-1,1,BRSOC,400,${day(-60)},${day(20)},${day(90)},\ncollard-1,2,BRSOA,400,${day(-60)},${day(20)},${day(90)},\n`);
    const made = spawnSync(program(), ["garden", "import", from, "--into", folder], { encoding: "utf8" });
    if (made.status !== 0) throw new Error(`leafturn garden import: ${made.stderr}`);
  }, options);
}

// `name`: served to the network under that name, over https, and with `plain` over http too.
async function serveNew(make, { name, plain = true } = {}) {
  const parent = mkdtempSync(join(tmpdir(), "leafturn-browser-"));
  const folder = join(parent, "garden");
  make(folder);
  const port = await freePort();
  const securePort = name === undefined ? 0 : await freePort();
  const more = name === undefined ? [] : ["--lan", "--lan-port", String(securePort), "--name", name, ...(plain ? ["--plain"] : [])];
  const url = `http://127.0.0.1:${port}`;
  let child;
  const start = async () => {
    child = spawn(program(), ["serve", "--garden", folder, "--port", String(port), ...more], { stdio: ["ignore", "ignore", "pipe"] });
    let said = "";
    child.stderr.on("data", (chunk) => (said += chunk));
    for (let tries = 0; tries < 200; tries++) {
      if (child.exitCode !== null) throw new Error(`leafturn serve ended: ${said}`);
      try {
        if ((await fetch(`${url}/api/health`)).ok) return;
      } catch {
        // not listening yet
      }
      await new Promise((wait) => setTimeout(wait, 50));
    }
    throw new Error(`leafturn serve does not answer: ${said}`);
  };
  const kill = () => new Promise((done) => {
    if (child.exitCode !== null) return done(child.exitCode);
    child.once("exit", (code) => done(code));
    child.kill("SIGTERM");
  });
  await start();
  return {
    url, securePort, port, folder, kill, restart: start,
    stop: async () => {
      await kill();
      rmSync(parent, { recursive: true, force: true });
    },
    api: async (path) => (await fetch(url + path)).json(),
    raw: async () => {
      let text = "";
      for (let from = 1; ;) {
        const part = await (await fetch(`${url}/api/events?from=${from}`)).text();
        text += part;
        const { events: some, last_seq: last } = JSON.parse(part);
        from = (some.at(-1)?.seq ?? last) + 1;
        if (from > last) return text;
      }
    },
    send: async (bytes) => {
      const response = await fetch(`${url}/api/events`, { method: "POST", headers: { "Content-Type": "application/json" }, body: bytes });
      return response.json();
    },
    // Somebody else writes something down.
    post: async (fields) => {
      const event = { v: 1, id: uuid7(), writer: "another-phone", writer_seq: ++posted, ...fields };
      const response = await fetch(`${url}/api/events`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(event) });
      if (response.status !== 201) throw new Error(await response.text());
      return response.json();
    },
  };
}

const flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

export function browser(more = []) {
  return chromium.launch({ executablePath: process.env["LEAFTURN_CHROMIUM"] ?? "/usr/bin/chromium", args: [...flags, ...more] });
}

export const sizes = { phone: { width: 390, height: 844 }, desktop: { width: 1280, height: 900 } };

// A page that fails its test on any error in the console, and any request to another place.
export async function open(running, { url }, size, language = "en", colorScheme = "light", more = {}) {
  const context = await running.newContext({ viewport: sizes[size], locale: language === "es" ? "es-MX" : "en-US", colorScheme, hasTouch: size === "phone", ...more });
  const page = await context.newPage();
  const complaints = [];
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") complaints.push(message.text());
  });
  page.on("pageerror", (error) => complaints.push(error.message));
  page.on("request", (request) => {
    if (!request.url().startsWith(url) && !request.url().startsWith("data:")) complaints.push(`asked elsewhere: ${request.url()}`);
  });
  return { page, complaints, go: async (path) => {
    await page.goto(url + path);
    await page.locator("main h1").waitFor();
  }, close: () => context.close() };
}

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

// A garden that a test may write into without disturbing the others.
export async function withGarden(use) {
  const garden = await serveDemo();
  try {
    await use(garden);
  } finally {
    await garden.stop();
  }
}

// All events of a garden, by its API.
export async function events(garden) {
  const all = [];
  for (let from = 1; ;) {
    const answer = await garden.api(`/api/events?from=${from}`);
    all.push(...answer.events);
    from = (answer.events.at(-1)?.seq ?? answer.last_seq) + 1;
    if (from > answer.last_seq) return all;
  }
}

// One more find and written down; the form stays for the next.
export async function countOnce(page, found = 1) {
  const stage = page.locator(".pick").nth(1).locator("button").first();
  if (await stage.getAttribute("aria-pressed") !== "true") await stage.click();
  for (let i = 0; i < found; i++) await page.locator(".stepper").nth(1).locator(".step-more").click();
  await page.locator("button.button-main").click();
  await page.locator(".ending").waitFor();
}

// What a page's device keeps in its line.
export function lineIn(page) {
  return page.evaluate(() => new Promise((done) => {
    const request = indexedDB.open("leafturn");
    request.onsuccess = () => {
      const all = request.result.transaction("line").objectStore("line").getAll();
      all.onsuccess = () => {
        request.result.close();
        done(all.result);
      };
    };
  }));
}

// The garden behind another address, whose answers `change(path, text)` may change: a server of another version.
export async function behind(garden, change) {
  const target = new URL(garden.url);
  const server = createHttpServer((asked, answer) => {
    const onward = httpRequest({ host: target.hostname, port: target.port, path: asked.url, method: asked.method, headers: asked.headers }, (got) => {
      const parts = [];
      got.on("data", (part) => parts.push(part));
      got.on("end", () => {
        const body = Buffer.from(change(asked.url, Buffer.concat(parts).toString("utf8")), "utf8");
        answer.writeHead(got.statusCode, { ...got.headers, "content-length": String(body.length) });
        answer.end(body);
      });
    });
    onward.on("error", () => answer.destroy());
    asked.pipe(onward);
  });
  await new Promise((done) => server.listen(0, "127.0.0.1", done));
  return { url: `http://127.0.0.1:${server.address().port}`, stop: () => new Promise((done) => {
    server.closeAllConnections();
    server.close(done);
  }) };
}

// Until nothing is in the line any more.
export async function lineEmpty(page) {
  for (let i = 0; i < 300; i++) {
    if ((await lineIn(page)).length === 0) return;
    await page.waitForTimeout(100);
  }
  throw new Error("entries still in the line after half a minute");
}

// The page's clock, off the machine's by `window.skewMs`, which may be changed.
export function skewClock(context, ms) {
  return context.addInitScript((by) => {
    const Real = Date;
    const real = Real.now.bind(Real);
    window.skewMs = by;
    window.Date = class extends Real {
      constructor(...given) {
        if (given.length === 0) super(real() + window.skewMs);
        else super(...given);
      }
      static now() {
        return real() + window.skewMs;
      }
    };
  }, ms);
}

// A browser with a home of its own, that what it keeps outlives.
export async function lasting(profile, { args = [], env = {}, skewHours = 0 } = {}) {
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: process.env["LEAFTURN_CHROMIUM"] ?? "/usr/bin/chromium", args: [...flags, ...args], env: { ...process.env, ...env }, viewport: sizes.phone, locale: "en-US",
  });
  if (skewHours !== 0) await skewClock(context, skewHours * 3_600_000);
  return context;
}

// A home whose browser trusts a garden's authority, as a phone does that followed the guide.
export function homeThatTrusts(garden) {
  const home = mkdtempSync(join(tmpdir(), "leafturn-home-"));
  const store = join(home, ".pki", "nssdb");
  mkdirSync(store, { recursive: true });
  const certutil = (...more) => {
    const run = spawnSync("certutil", ["-d", `sql:${store}`, ...more], { encoding: "utf8" });
    if (run.error !== undefined || run.status !== 0) throw new Error(`certutil (libnss3-tools): ${run.error ?? run.stderr}`);
  };
  certutil("-N", "--empty-password");
  certutil("-A", "-t", "C,,", "-n", "garden", "-i", join(garden.folder, "authority", "authority.crt"));
  return home;
}

// This phone paired as that person, as after typing the lead's code; nothing to do where it is paired already.
export async function pairPhone(page, url, garden, person, role = "scout") {
  await page.goto(`${url}/pair`);
  if (await page.evaluate(async () => (await fetch("/api/me")).ok)) return;
  const run = (...args) => spawnSync(program(), [...args, "--garden", garden.folder, "--json"], { encoding: "utf8" });
  run("people", "add", person, "--role", role);
  const made = run("pair", person);
  if (made.status !== 0) throw new Error(`leafturn pair: ${made.stderr}`);
  const { code } = JSON.parse(made.stdout);
  const status = await page.evaluate(async (given) => {
    const answer = await fetch("/api/pair", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ code: given, device: "phone" }) });
    return answer.status;
  }, code);
  if (status >= 300) throw new Error(`/api/pair: ${status}`);
}

// The processes of the browser that lives in `profile`, by their own command lines.
export function browserPids(profile) {
  return readdirSync("/proc").filter((name) => /^\d+$/.test(name)).filter((pid) => {
    try {
      return readFileSync(`/proc/${pid}/cmdline`, "utf8").split("\0").includes(`--user-data-dir=${profile}`);
    } catch {
      return false;
    }
  }).map(Number);
}

export async function withLiveGarden(use) {
  const garden = await liveGarden();
  try {
    await use(garden);
  } finally {
    await garden.stop();
  }
}

let posted = 0;
export function uuid7() {
  const hex = Date.now().toString(16).padStart(12, "0") + "7" + randomBytes(10).toString("hex").slice(1, 4) + "8" + randomBytes(10).toString("hex").slice(1, 16);
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20, 32)}`;
}

export async function problems(page) {
  // Evaluated over the debugging protocol, which the page's own policy doesn't bar.
  await page.evaluate(axe);
  const result = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  return result.violations.map((violation) => `${violation.id}: ${violation.help}: ${violation.nodes.map((node) => `${node.html.slice(0, 160)} ${node.failureSummary}`).join(" | ")}`);
}
