// Sections about what this device holds, for the page about it and for the counting page.
import { useState } from "preact/hooks";
import { clockJump, offsetMs } from "./heard";
import { type Kept, told } from "./keep";
import { wrongBy } from "./phone_clock";
import { readPhoneFile } from "./phone_file";
import { dayAndTime, t } from "./state";
import { conflicts, forgetJump, inStep, loadFile, receipts, saveFile, sendAgain, setAside } from "./sync";
import { gardenTime, span } from "./sync_view";

export function download(name: string, text: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  link.download = name;
  link.click();
  URL.revokeObjectURL(link.href);
}

function Conflict({ item }: { item: Kept }) {
  const spray = told(item.bytes)?.spray?.state === "made";
  return (
    <li>
      <p><strong>{item.told}</strong></p>
      <p class="warning">{item.state === "quarantined" ? t("pages.sync.quarantined") : t("pages.queue.refused", { reason: item.reason })}</p>
      {item.code === "garden.in_the_future" && <p>{t("pages.sync.future")}</p>}
      {spray && <p>{t("pages.sync.spray_refused")}</p>}
      <p class="buttons">
        {item.state === "refused" && <button type="button" class="button" onClick={() => void sendAgain(item.id)}>{t("pages.sync.again")}</button>}
        <button type="button" class="button" onClick={() => void setAside(item.id)}>{t("pages.sync.set_aside")}</button>
      </p>
      <details><summary>{t("pages.sync.bytes")}</summary><pre class="bytes">{item.bytes}</pre></details>
    </li>
  );
}

function byGarden(unixMs: number): string {
  return dayAndTime(gardenTime(unixMs, inStep.value));
}

export function ClockSection() {
  const jump = clockJump.value;
  const offset = offsetMs.value;
  return (
    <section aria-labelledby="clock-title">
      <h2 id="clock-title">{t("pages.sync.clock")}</h2>
      {offset === null && <p>{t("pages.sync.clock_unknown")}</p>}
      {offset !== null && Math.abs(offset) < wrongBy && <p>{t("pages.sync.clock_right")}</p>}
      {offset !== null && Math.abs(offset) >= wrongBy && <p class="warning">{t(offset > 0 ? "pages.sync.clock_ahead" : "pages.sync.clock_behind", { span: span(offset) })}</p>}
      {jump !== null && (
        <>
          <p class="warning">{t("pages.sync.clock_jumped", { span: span(jump.to_ms - jump.from_ms), from: byGarden(jump.after - jump.from_ms), to: byGarden(jump.before - jump.to_ms) })}</p>
          <p><button type="button" class="button" onClick={() => void forgetJump()}>{t("pages.sync.seen")}</button></p>
        </>
      )}
    </section>
  );
}

export function FileSection() {
  const [said, setSaid] = useState("");
  const load = async (input: HTMLInputElement) => {
    const file = input.files?.[0];
    if (file === undefined) return;
    const read = readPhoneFile(await file.text());
    input.value = "";
    if ("line" in read) return setSaid(t(read.newer ? "pages.sync.file_newer" : "pages.sync.file_wrong", { line: read.line }));
    try {
      const n = await loadFile(read);
      setSaid(t("pages.sync.file_read", { n, had: read.entries.length - n }));
    } catch {
      setSaid(t("pages.common.not_kept"));
    }
  };
  return (
    <section aria-labelledby="file-title">
      <h2 id="file-title">{t("pages.sync.file")}</h2>
      <p>{t("pages.sync.file_explain")}</p>
      <p class="buttons">
        <button type="button" class="button" onClick={() => void saveFile().then((text) => download("leafturn-phone.jsonl", text))}>{t("pages.sync.file_save")}</button>
        <label class="button file-pick">{t("pages.sync.file_load")}<input type="file" accept=".jsonl,application/json,text/plain" onChange={(event) => void load(event.currentTarget)} /></label>
      </p>
      <p role="status">{said}</p>
    </section>
  );
}

export function Conflicts() {
  const clash = conflicts();
  if (clash.length === 0) return null;
  return (
    <section class="queue" aria-labelledby="clash-title">
      <h2 id="clash-title">{t("pages.sync.look", { n: clash.length })}</h2>
      <p>{t("pages.sync.look_explain")}</p>
      <ul>{clash.map((item) => <Conflict item={item} key={item.id} />)}</ul>
    </section>
  );
}

export function Receipts() {
  return (
    <section aria-labelledby="receipts-title">
      <h2 id="receipts-title">{t("pages.sync.receipts")}</h2>
      <p>{t("pages.sync.receipts_explain")}</p>
      {receipts.value.length === 0 ? <p>{t("pages.sync.receipts_none")}</p> : (
        <ul class="receipts">
          {receipts.value.map((one) => (
            <li key={one.id}>
              <span>{t("pages.sync.receipt", { seq: one.seq, told: one.told })}{one.at !== "" && ` · ${dayAndTime(one.at)}`}</span>
              {one.outside && <span class="warning">{t("pages.common.judged_outside")}</span>}
              <code>{one.link.slice(0, 16)}</code>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
