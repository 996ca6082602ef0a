// This device and the garden: what waits, what was refused, what arrived, whose clock is right; and the way by file when there is no network.
import { useEffect, useState } from "preact/hooks";
import { Link, Loading } from "../parts";
import { t } from "../state";
import { line, loaded, sendAgain, syncNow, unreadable, waiting, writerName } from "../sync";
import { ClockSection, Conflicts, FileSection, Receipts } from "../sync_parts";

export function SyncPage() {
  const [writer, setWriter] = useState<string | null>(null);
  useEffect(() => void writerName().then(setWriter), [line.value]);
  if (!loaded.value) return <Loading />;
  const wait = waiting();
  const aside = line.value.filter((item) => item.state === "set_aside");
  return (
    <div class="form sync-page">
      <header class="masthead masthead-form"><h1>{t("pages.sync.title")}</h1></header>
      <Conflicts />
      <section class="queue" aria-labelledby="queue-title">
        <h2 id="queue-title">{wait.length === 0 ? t("pages.queue.none") : t("pages.queue.waiting", { n: wait.length })}</h2>
        {wait.length > 0 && (
          <>
            <p>{t("pages.queue.explain")}</p>
            <ul>{wait.slice(0, 100).map((item) => <li key={item.id}>{item.told}</li>)}</ul>
            {wait.length > 100 && <p>{t("pages.sync.more", { n: wait.length - 100 })}</p>}
            <button type="button" class="button button-main" onClick={() => void syncNow()}>{t("pages.queue.send")}</button>
          </>
        )}
      </section>
      <ClockSection />
      <FileSection />
      <Receipts />
      {aside.length > 0 && (
        <details>
          <summary>{t("pages.sync.aside", { n: aside.length })}</summary>
          <ul>{aside.map((item) => <li key={item.id}>{item.told}{item.reason !== "" && `: ${item.reason}`} <button type="button" class="button button-quiet" onClick={() => void sendAgain(item.id)}>{t("pages.sync.again")}</button></li>)}</ul>
        </details>
      )}
      {unreadable.value !== null && (
        <section aria-labelledby="unreadable-title">
          <h2 id="unreadable-title">{t("pages.sync.unreadable")}</h2>
          <p>{t("pages.sync.unreadable_explain")}</p>
          <pre class="bytes" tabIndex={0}>{unreadable.value}</pre>
        </section>
      )}
      <p class="hint">{writer === null ? t("pages.settings.device_none") : t("pages.settings.device", { writer })} <Link to="/settings">{t("pages.nav.settings")}</Link></p>
    </div>
  );
}
