// The counting page: one file with everything in it, for phones that reach the garden over plain http, where browsers keep no pages offline, and
// for a copy of it saved on the phone. It counts, keeps what was counted, and sends it when the garden answers.
import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { FormHead, Pick } from "../form_parts";
import type { Language } from "../format";
import { minute, startNews } from "../news";
import { CountPage } from "../pages/count";
import { dayAndTime, language, onePage, remember, t, words } from "../state";
import { line, startSync, syncNow, waiting, writerName } from "../sync";
import { ClockSection, Conflicts, download, FileSection, Receipts } from "../sync_parts";
import { SyncLine } from "../sync_view";
import type { GardenView } from "../types";
import "./counting.css";

type Inside = Record<Language, { garden: GardenView; words: Record<string, string> }>;

const fromFile = location.protocol === "file:";
const inside = JSON.parse(document.getElementById("garden")?.textContent ?? "{}") as Inside;

// The page as the server gave it, not as it stands in the browser now: its policy knows the one, not the other.
async function savePage(): Promise<void> {
  const response = await fetch(location.pathname);
  if (response.ok) download("leafturn-counting.html", await response.text());
}

function Waiting() {
  const wait = waiting();
  if (wait.length === 0) return null;
  return (
    <section class="queue" aria-labelledby="queue-title">
      <h2 id="queue-title">{t("pages.queue.waiting", { n: wait.length })}</h2>
      <ul>{wait.slice(-20).reverse().map((item) => <li key={item.id}>{item.told}</li>)}</ul>
      {wait.length > 20 && <p>{t("pages.sync.more", { n: wait.length - 20 })}</p>}
      {!fromFile && <button type="button" class="button" onClick={() => void syncNow()}>{t("pages.queue.send")}</button>}
    </section>
  );
}

function Counting() {
  const [writer, setWriter] = useState<string | null>(null);
  useEffect(() => void writerName().then(setWriter), [line.value]);
  minute.value;
  words.value = inside[language.value].words;
  const garden = inside[language.value].garden;
  useEffect(() => {
    document.documentElement.lang = language.value;
    document.title = `${t("counting.title")} · ${garden.name}`;
  }, [language.value]);
  return (
    <>
      <SyncLine />
      <main id="page" class="counting">
        <div class="form">
          <FormHead title={t("counting.title")} garden={garden} />
          <p class="sum keep-open"><strong>{t(fromFile ? "counting.as_file" : "counting.keep_open")}</strong></p>
          <p class="hint">{t("counting.from", { when: dayAndTime(garden.now) })} {t("counting.sign")}</p>
          <Conflicts />
        </div>
        <CountPage garden={garden} head={false} key={language.value} />
        <div class="form">
          <Waiting />
          <FileSection />
          {!fromFile && <p><button type="button" class="button" onClick={() => void savePage()}>{t("counting.save_page")}</button></p>}
          <ClockSection />
          <Receipts />
          <Pick<Language> label={t("pages.settings.language")} value={language.value}
            change={(value) => { language.value = value; remember("lang", value); }}
            options={[{ value: "en", text: "English" }, { value: "es", text: "Español" }]} />
          <p class="hint">{writer === null ? t("pages.settings.device_none") : t("pages.settings.device", { writer })}</p>
        </div>
      </main>
    </>
  );
}

onePage.value = true;
void startSync();
if (!fromFile) startNews();
window.addEventListener("beforeunload", (event) => {
  if (waiting().length > 0) event.preventDefault();
});

const root = document.getElementById("app");
if (root !== null) render(<Counting />, root);
