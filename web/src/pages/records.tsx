// What the rules ask for, on the screen as a list of what is missing, and everything there is to print.
import { useState } from "preact/hooks";
import { Pick, TextField } from "../form_parts";
import { mayDo } from "../may";
import { Failure, Loading, Masthead } from "../parts";
import { language, t, units } from "../state";
import { useLive } from "../use";

type Rule = "all" | "us-rup" | "us-worker" | "us-organic" | "eu";
type Paper = "a4" | "letter";

interface RecordSheet {
  id: string;
  bed: string;
  outside_label: boolean;
  not_judged: boolean;
  fields: Record<string, { known: boolean; text: string }>;
  missing: Record<string, { field: string; section: string; where_limited: boolean; do: string }[]>;
  due: Record<string, { keep_until: string | null }>;
  amendments: unknown[];
}
interface Records {
  garden: string;
  marked: string | null;
  at: string;
  head: string;
  records: RecordSheet[];
}

const rules: Rule[] = ["all", "us-rup", "us-worker", "us-organic", "eu"];

// Where a sheet is made, in the reader's language and on the paper chosen here.
export function printAddress(name: string, asked: Record<string, string>): string {
  const query = new URLSearchParams({ lang: language.value, ...asked });
  if (units.value !== "garden") query.set("units", units.value);
  return `/api/print/${name}?${query.toString()}`;
}

export function PrintLink({ name, asked, children }: { name: string; asked: Record<string, string>; children: string }) {
  return <a class="button" href={printAddress(name, asked)} target="_blank" rel="noopener">{children}</a>;
}

function Missing({ sheet }: { sheet: RecordSheet }) {
  const gaps = Object.entries(sheet.missing).flatMap(([rule, list]) => list.map((one) => ({ ...one, rule })));
  if (gaps.length === 0) return <p>{t("records.missing.none")}</p>;
  return (
    <details>
      <summary>{t("pages.records.gaps", { n: String(gaps.length) })}</summary>
      <dl class="record-gaps">
        {gaps.map((gap) => (
          <>
            <dt>{t(`records.field.${gap.field}`)} <span class="hint">{gap.section}</span></dt>
            <dd>{gap.do}</dd>
          </>
        ))}
      </dl>
    </details>
  );
}

function OneRecord({ sheet }: { sheet: RecordSheet }) {
  const said = (field: string) => sheet.fields[field]?.text ?? "";
  const known = ["rate", "area", "applicator"].filter((field) => sheet.fields[field]?.known === true);
  return (
    <li class="record">
      <h3>{t("records.heading", { when: said("ended"), bed: sheet.bed, product: said("product") })}</h3>
      {sheet.outside_label && <p class="warning">{t("records.outside_label")}</p>}
      {sheet.not_judged && <p class="warning">{t("records.not_judged")}</p>}
      <p>{known.map(said).join(" · ")}</p>
      {sheet.amendments.length > 0 && <p class="hint">{t("pages.records.amended", { n: String(sheet.amendments.length) })}</p>}
      <Missing sheet={sheet} />
    </li>
  );
}

export function RecordsPage() {
  const [rule, setRule] = useState<Rule>("all");
  const [paper, setPaper] = useState<Paper | "">(""); // not chosen: the server takes what goes with the units
  const [from, setFrom] = useState("");
  const [until, setUntil] = useState("");
  const days: Record<string, string> = { ...(from === "" ? {} : { from }), ...(until === "" ? {} : { until }) };
  const answer = useLive<Records>(`/api/records?${new URLSearchParams({ for: rule, ...days }).toString()}`);
  const sized: Record<string, string> = paper === "" ? {} : { paper };
  return (
    <div class="form">
      {answer?.ok === true
        ? <Masthead title={t("pages.records.title")} garden={answer.value.garden} marked={answer.value.marked} at={answer.value.at} />
        : <header class="masthead masthead-form"><h1>{t("pages.records.title")}</h1></header>}
      <Pick<Rule> label={t("pages.records.rule")} value={rule} change={setRule} options={rules.map((one) => ({ value: one, text: one === "all" ? t("pages.records.all") : t(`records.rule.${one}`) }))} />
      <TextField label={t("pages.records.from")} type="date" value={from} change={setFrom} />
      <TextField label={t("pages.records.until")} type="date" value={until} change={setUntil} />
      <Pick<Paper | ""> label={t("pages.records.paper")} value={paper} change={setPaper} options={[{ value: "letter", text: "Letter" }, { value: "a4", text: "A4" }]} />
      <p class="record-links">
        <PrintLink name="records.pdf" asked={{ for: rule, ...sized, ...days }}>{t("pages.records.pdf")}</PrintLink>
        <PrintLink name="records.csv" asked={{ for: rule, ...days }}>{t("pages.records.csv")}</PrintLink>
      </p>
      {answer === null && <Loading />}
      {answer?.ok === false && <Failure error={answer.error} />}
      {answer?.ok === true && (
        <section aria-labelledby="records-list">
          <h2 id="records-list">{t("pages.records.list", { n: String(answer.value.records.length) })}</h2>
          <ul class="records">{answer.value.records.map((sheet) => <OneRecord sheet={sheet} key={sheet.id} />)}</ul>
        </section>
      )}
      <section aria-labelledby="records-sheets">
        <h2 id="records-sheets">{t("pages.records.sheets")}</h2>
        <p class="record-links">
          <PrintLink name="board.pdf" asked={sized}>{t("pages.board.title")}</PrintLink>
          <PrintLink name="calendar.pdf" asked={sized}>{t("calendar_sheet.title")}</PrintLink>
          <PrintLink name="sign.pdf" asked={sized}>{t("pages.records.signs")}</PrintLink>
          {(["harvests", "entries", "work"] as const).map((of) => <PrintLink name="log.pdf" asked={{ of, ...sized, ...days }}>{t(`log.title.${of}`)}</PrintLink>)}
          {mayDo("manage_people") && <PrintLink name="crew.pdf" asked={sized}>{t("crew.title")}</PrintLink>}
          {mayDo("treat") && <span class="hint">{t("pages.records.worksheet")}</span>}
        </p>
      </section>
    </div>
  );
}
