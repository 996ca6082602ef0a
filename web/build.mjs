// Type-checks and bundles the pages into OUTDIR: the pages, their service worker, the counting page that is one file, and their version.
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const out = resolve(process.argv[2] ?? join(here, "dist"));

if (!existsSync(join(here, "node_modules", "esbuild"))) {
  console.error("leafturn: the page tools are missing (web/node_modules): run ./start --install, or: (cd web && npm ci)");
  process.exit(1);
}

try {
  for (const part of [here, join(here, "src", "worker")]) {
    execFileSync(join(here, "node_modules", ".bin", "tsc"), ["--noEmit", "-p", part], { stdio: "inherit" });
  }
} catch {
  console.error("leafturn: the pages do not type-check (web/src): mend the lines above");
  process.exit(1);
}

const esbuild = await import("esbuild");
const source = (...parts) => join(here, "src", ...parts);
const placeholder = "@PAGES@";

async function bundled(entryPoints, format) {
  const result = await esbuild.build({
    entryPoints,
    outdir: out,
    write: false,
    bundle: true,
    minify: true,
    format,
    target: ["es2020"],
    define: { __PAGES__: JSON.stringify(placeholder) },
    jsx: "automatic",
    jsxImportSource: "preact",
    legalComments: "none",
    logLevel: "warning",
  });
  return Object.fromEntries(result.outputFiles.map((file) => [file.path.slice(out.length + 1), file.text]));
}

const files = {
  ...await bundled({ app: source("main.tsx") }, "esm"),
  ...await bundled({ worker: source("worker", "worker.ts") }, "iife"),
  "index.html": readFileSync(source("index.html"), "utf8"),
  "manifest.webmanifest": readFileSync(source("manifest.webmanifest"), "utf8"),
  "icon.svg": readFileSync(source("icon.svg"), "utf8"),
};

// One file that needs no other: the server puts the garden's own facts in the place kept for them (server/counting.cpp).
const counting = await bundled({ counting: source("counting", "counting.tsx") }, "iife");
const countingScript = counting["counting.js"].trim().replaceAll(/<\/(script)/gi, "<\\/$1").replaceAll("<!--", "<\\!--");
const countingStyle = counting["counting.css"].trim();
files["counting.html"] = readFileSync(source("counting", "counting.html"), "utf8").replace("@STYLE@", () => countingStyle).replace("@SCRIPT@", () => countingScript);

// The version is what all of it says, so that any change is a new one and the same source the same.
const hash = createHash("sha256");
for (const name of Object.keys(files).sort()) hash.update(`${name}\0${files[name]}\0`);
const version = hash.digest("hex").slice(0, 12);
files["version.txt"] = version;

// Its policy allows this very script and this very style, inline as they are, and nothing else of the kind.
const allowed = (text) => `'sha256-${createHash("sha256").update(text.replaceAll(placeholder, version)).digest("base64")}'`;
files["policy.txt"] = `default-src 'none'; script-src ${allowed(countingScript)}; style-src ${allowed(countingStyle)}; connect-src 'self'; `
  + "img-src data:; base-uri 'none'; form-action 'none'";
files["counting.html"] = files["counting.html"].replace("@POLICY@", () => files["policy.txt"]);

mkdirSync(out, { recursive: true });
for (const old of readdirSync(out)) if (!(old in files)) rmSync(join(out, old));
for (const [name, text] of Object.entries(files)) writeFileSync(join(out, name), text.replaceAll(placeholder, version));
