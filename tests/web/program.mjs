// The program under test: a fresh demo garden, served on a free port, and Chromium to look at it.
import { spawn, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "..", "..");
export const pictures = join(root, "build", "pictures");
mkdirSync(pictures, { recursive: true });

function program() {
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
export async function serveDemo() {
  const parent = mkdtempSync(join(tmpdir(), "leafturn-browser-"));
  const folder = join(parent, "garden");
  const made = spawnSync(program(), ["demo", folder], { encoding: "utf8" });
  if (made.status !== 0) throw new Error(`leafturn demo: ${made.stderr}`);
  const port = await freePort();
  const url = `http://127.0.0.1:${port}`;
  let child;
  const start = async () => {
    child = spawn(program(), ["serve", "--garden", folder, "--port", String(port)], { stdio: ["ignore", "ignore", "pipe"] });
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
    url, folder, kill, restart: start,
    stop: async () => {
      await kill();
      rmSync(parent, { recursive: true, force: true });
    },
    api: async (path) => (await fetch(url + path)).json(),
  };
}

export function browser() {
  return chromium.launch({
    executablePath: process.env["LEAFTURN_CHROMIUM"] ?? "/usr/bin/chromium",
    args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
}

export const sizes = { phone: { width: 390, height: 844 }, desktop: { width: 1280, height: 900 } };

// A page that fails its test on any error in the console, and any request to another place.
export async function open(running, { url }, size, language = "en", colorScheme = "light") {
  const context = await running.newContext({ viewport: sizes[size], locale: language === "es" ? "es-MX" : "en-US", colorScheme, hasTouch: size === "phone" });
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

export async function problems(page) {
  // Evaluated over the debugging protocol, which the page's own policy doesn't bar.
  await page.evaluate(axe);
  const result = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  return result.violations.map((violation) => `${violation.id}: ${violation.help}: ${violation.nodes.map((node) => `${node.html.slice(0, 160)} ${node.failureSummary}`).join(" | ")}`);
}
