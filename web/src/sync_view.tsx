// What is always in sight of how this device and the garden stand: when they were last in step, what waits, what needs a look.
import type { ComponentChildren } from "preact";
import { inService } from "./worker_home";
import { isoAt } from "./clock";
import { clock, newerPages, paired } from "./heard";
import { minute } from "./news";
import { Link } from "./parts";
import { time } from "./format";
import { dayAndTime, onePage, t } from "./state";
import { conflicts, inStep, lasting, line, loaded, sending, syncNow, unreadable, unjudgedHere, waiting } from "./sync";
import { told } from "./keep";

// A clock's error in words: 3 h 2 min.
export function span(ms: number): string {
  const minutes = Math.round(Math.abs(ms) / 60_000);
  if (minutes < 60) return t("pages.sync.span_min", { m: minutes });
  const hours = Math.floor(minutes / 60);
  if (hours < 48) return t("pages.sync.span_h", { h: hours, m: minutes % 60 });
  return t("pages.sync.span_days", { n: Math.round(hours / 24) });
}

// A moment by the server's clock, with the garden's offset as that last told it.
export function gardenTime(unixMs: number, like: string): string {
  return isoAt(unixMs, "", like);
}

// The server's own clock, as it said it: today's time alone, else the day too.
function said(iso: string): string {
  return iso.slice(0, 10) === gardenTime(clock.serverNow(), iso).slice(0, 10) ? time(iso) : dayAndTime(iso);
}

const stillInStep = 120_000;

function ToSync({ n }: { n: number }) {
  const text = t("pages.queue.waiting", { n });
  return onePage.value ? <strong>{text}</strong> : <Link to="/sync">{text}</Link>;
}

function Standing() {
  minute.value;
  if (!loaded.value) return <span class="sync-standing">…</span>;
  const n = waiting().length;
  if (n === 0 && inStep.value === "") return <span class="sync-standing">{t("pages.sync.never")}</span>;
  if (n === 0) {
    const now = Math.abs(clock.serverNow() - Date.parse(inStep.value)) < stillInStep;
    return <span class="sync-standing">{t(now ? "pages.sync.in_step" : "pages.sync.last_in_step", { when: said(inStep.value) })}</span>;
  }
  return (
    <>
      <ToSync n={n} />
      <span class="sync-standing">{inStep.value === "" ? t("pages.sync.never") : t("pages.sync.since", { when: said(inStep.value) })}</span>
      <button type="button" class="button button-quiet" disabled={sending.value} onClick={() => void syncNow()}>{t(sending.value ? "pages.sync.sending" : "pages.queue.send")}</button>
    </>
  );
}

function Banner({ children, grave = false }: { children: ComponentChildren; grave?: boolean }) {
  return <div class={grave ? "sync-banner sync-grave" : "sync-banner"} role="status">{children}</div>;
}

export function SyncLine() {
  const clashes = conflicts().length;
  const n = waiting().length;
  return (
    <>
      <div class={n > 0 || clashes > 0 ? "queue-note" : "queue-note queue-quiet"} role="status">
        <Standing />
        {clashes > 0 && !onePage.value && <Link to="/sync">{t("pages.sync.look", { n: clashes })}</Link>}
      </div>
      {!paired.value && (
        <Banner grave>
          <p><strong>{t("pages.sync.unpaired")}</strong> {n > 0 ? t("pages.sync.unpaired_kept", { n }) : ""}</p>
          <p><a class="button" href="/pair">{t("pages.sync.pair")}</a></p>
        </Banner>
      )}
      {newerPages.value && (
        <Banner>
          <p>{t("pages.sync.newer")}</p>
          <p><button type="button" class="button" onClick={() => void inService().then(() => location.reload())}>{t("pages.sync.reload")}</button></p>
        </Banner>
      )}
      {!lasting.value && <Banner grave><p>{t("pages.sync.fleeting")}</p></Banner>}
      {unreadable.value !== null && !onePage.value && <Banner grave><p><Link to="/sync">{t("pages.sync.unreadable")}</Link></p></Banner>}
    </>
  );
}

// A spray told on this device and not judged yet closes its bed here, whatever an older board says.
export function LocksHere() {
  const beds = [...new Set(line.value.flatMap((item) => told(item.bytes)?.bed ?? []))].filter((bed) => unjudgedHere(bed) !== null);
  if (beds.length === 0) return null;
  return (
    <div class="sync-banner sync-grave locks-here" role="status">
      {beds.map((bed) => <p><strong>{t("pages.sync.not_judged", { bed })}</strong> {t("pages.sync.not_judged_why", { product: unjudgedHere(bed) ?? "" })}</p>)}
    </div>
  );
}
