// This device and the garden's server in step: what waits is sent, what arrived is receipted, and both are told to every page of the device.
import { effect, signal } from "@preact/signals";
import { get, sendEvent, useToken } from "./api";
import { clock, clockJump, lastHeard, paired } from "./heard";
import { type Draft, type Heading, type Keep, type Kept, memoryKeep, NotKept, type Receipt, told } from "./keep";
import { idbKeep } from "./keep_idb";
import { moveOld } from "./keep_move";
import type { Compared, Jump } from "./phone_clock";
import { type PhoneFile, writePhoneFile } from "./phone_file";
import { flush, type Outcome, type Sent } from "./queue";
import type { Me } from "./types";
import { newId } from "./uuid7";

export const loaded = signal(false); // until then nobody knows what waits
export const line = signal<Kept[]>([]);
export const receipts = signal<Receipt[]>([]);
export const inStep = signal<string>(""); // the server's clock when nothing waited any more
export const lasting = signal(true);
export const unreadable = signal<string | null>(null); // an old list nobody can read
export const me = signal<Me | null>(null);
export const known = signal(false); // who this device is was told, now or before, or asked in vain
export const sending = signal(false);

const shownReceipts = 50;
// Other tabs of this device hear of every change.
const others = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("leafturn.kept");

async function openKeep(): Promise<Keep> {
  let keep: Keep;
  try {
    keep = await idbKeep(indexedDB, newId);
  } catch {
    keep = memoryKeep(newId);
  }
  lasting.value = keep.lasting;
  try {
    unreadable.value = (await moveOld(localStorage, keep)).unreadable;
  } catch {
    // No room to move into: the old list stays where it is, and is tried again when a page is next opened.
  }
  const compared = await keep.memo("clock") as Compared | undefined;
  if (compared !== undefined) clock.recall(compared);
  inStep.value = (await keep.memo("in_step") as string | undefined) ?? "";
  // Until the server says who this device is, it is who it was.
  me.value ??= (await keep.memo("person") as Me | undefined) ?? null;
  known.value ||= me.value !== null;
  clockJump.value ??= (await keep.memo("jump") as Jump | undefined) ?? null;
  return keep;
}

const opening = openKeep();

async function refresh(): Promise<void> {
  const keep = await opening;
  line.value = await keep.line();
  receipts.value = await keep.receipts(shownReceipts);
  loaded.value = true;
}

async function changed(): Promise<void> {
  await refresh();
  others?.postMessage("changed");
}

export function waiting(all: Kept[] = line.value): Kept[] {
  return all.filter((item) => item.state === "waiting");
}

// What somebody has to look at: refused, or held back because the ledger has other bytes of that id.
export function conflicts(all: Kept[] = line.value): Kept[] {
  return all.filter((item) => item.state === "refused" || item.state === "quarantined");
}

// A spray told here that the garden hasn't judged: nobody else knows of it, so this device keeps its bed closed.
export function unjudgedHere(bed: string, all: Kept[] = line.value): string | null {
  for (const item of all) {
    if (item.state === "set_aside") continue;
    const said = told(item.bytes);
    if (said?.bed === bed && said.spray?.state === "made") return said.spray.product;
  }
  return null;
}

let running: Promise<Outcome[]> | null = null;
let next: Promise<Outcome[]> | null = null;

const soonAgain = 1_500;

async function run(): Promise<Outcome[]> {
  const keep = await opening;
  sending.value = true;
  try {
    const outcomes = await flush(keep, sendEvent, (done) => {
      if (done % 10 === 0) void refresh();
    });
    // A signal that comes and goes: what got through this far says that more may.
    if (outcomes.length > 1 && outcomes[outcomes.length - 1]?.result.kind === "unreached") window.setTimeout(() => void syncNow(), soonAgain);
    return outcomes;
  } finally {
    sending.value = false;
    running = null;
    await changed();
    await noteInStep();
  }
}

// One at a time in this tab; what is asked for meanwhile is one more round after it. Two tabs may send the same entry: it gets one receipt.
export function syncNow(): Promise<Outcome[]> {
  if (running === null) return (running = run());
  next ??= running.catch(() => []).then(() => {
    next = null;
    return syncNow();
  });
  return next;
}

async function noteInStep(): Promise<void> {
  if (lastHeard.value === "" || waiting().length > 0) return;
  if (inStep.value === lastHeard.value) return;
  inStep.value = lastHeard.value;
  const keep = await opening;
  await keep.remember("in_step", inStep.value).catch(() => undefined);
  const compared = clock.last();
  if (compared !== null) await keep.remember("clock", compared).catch(() => undefined);
  if (clockJump.value !== null) await keep.remember("jump", clockJump.value).catch(() => undefined);
}

export async function forgetJump(): Promise<void> {
  clockJump.value = null;
  await (await opening).remember("jump", undefined);
}

const formPatience = 6_000;

// Kept on this device first, then sent with everything that waits before it. A refusal sets it aside: the form that made it is still open and
// shows why.
export async function keepAndSend(build: (heading: Heading) => Draft): Promise<Sent> {
  const keep = await opening;
  let kept: Kept;
  try {
    kept = await keep.write(build);
  } catch (error) {
    return await sendUnkept(build, error instanceof NotKept ? error.message : "unknown");
  }
  await changed();
  const slow = new Promise<Outcome[]>((done) => window.setTimeout(() => done([]), formPatience));
  const outcomes = await Promise.race([syncNow(), slow]);
  const mine = outcomes.find((outcome) => outcome.id === kept.id)?.result ?? { kind: "unreached" as const };
  if (mine.kind === "refused") await setAside(kept.id);
  return mine;
}

// Nothing can be kept: it is sent at once, as by a writer of its own whose count nobody goes on with, or it is said that it is lost.
async function sendUnkept(build: (heading: Heading) => Draft, reason: string): Promise<Sent> {
  const once = await memoryKeep(newId).write(build);
  const sent = await sendEvent(once.bytes);
  return sent.kind === "unreached" || sent.kind === "unpaired" ? { kind: "unkept", reason } : sent;
}

export async function setAside(id: string): Promise<void> {
  await (await opening).change(id, { state: "set_aside" });
  await changed();
}

export async function sendAgain(id: string): Promise<void> {
  await (await opening).change(id, { state: "waiting", reason: "", code: "" });
  await changed();
  await syncNow();
}

export async function saveFile(): Promise<string> {
  const keep = await opening;
  return writePhoneFile(await keep.line(), await keep.receipts(1_000), new Date().toISOString());
}

export async function loadFile(file: PhoneFile): Promise<number> {
  const fresh = await (await opening).take(file.entries, file.receipts);
  await changed();
  void syncNow();
  return fresh;
}

export async function writerName(): Promise<string | null> {
  const name = await (await opening).memo("writer");
  return typeof name === "string" ? name : null;
}

// Who this device writes as. Without a signal, as it was last told: what is written meanwhile is that person's.
export function askWho(): Promise<void> {
  return (asking = askedWho());
}

// An entry names its writer: the very first one waits until that is known, or known not to be told.
let asking: Promise<void> | null = null;
export async function whoWrites(typed: string): Promise<string> {
  await opening;
  if (me.value === null && asking !== null) await asking;
  return me.value?.person ?? typed;
}

async function askedWho(): Promise<void> {
  const keep = await opening;
  const got = await get<Me>("/api/me");
  if (got.ok) {
    me.value = got.value;
    await keep.remember("person", { ...got.value, token: null }).catch(() => undefined);
  }
  known.value = true;
  useToken(got.ok ? got.value : null);
}

// Signed out: what is written from now on is nobody's, and what waits keeps the name it was written under.
export async function forgetWho(): Promise<void> {
  me.value = null;
  useToken(null);
  await (await opening).remember("person", undefined).catch(() => undefined);
}

export async function startSync(): Promise<void> {
  await refresh();
  others?.addEventListener("message", () => void refresh());
  window.addEventListener("storage", () => void opening.then((keep) => moveOld(localStorage, keep)).then(refresh));
  window.addEventListener("online", () => void syncNow());
  window.setInterval(() => {
    if (paired.value && waiting().length > 0) void syncNow();
  }, 15_000);
  effect(() => {
    lastHeard.value;
    void noteInStep();
  });
  await askWho();
  if (waiting().length > 0) await syncNow();
}
