// 'This was a mistake': the entry stays readable, struck through, with the reason and who said so.
import { useState } from "preact/hooks";
import { writeDown } from "../events";
import { type Ending, EndingNote, endingOf, Field, FormHead, useWhen, wanted, WhenAndWho } from "../form_parts";
import { Failure, Link, Loading } from "../parts";
import { dayAndTime, t } from "../state";
import type { BedPage, GardenView, HistoryLine } from "../types";
import { useAnswer } from "../use";

function OneLine({ line, bed, garden }: { line: HistoryLine; bed: string; garden: GardenView }) {
  const [reason, setReason] = useState("");
  const [busy, setBusy] = useState(false);
  const [ending, setEnding] = useState<Ending | null>(null);
  const when = useWhen(garden);
  const save = async () => {
    setBusy(true);
    setEnding(null);
    setEnding(endingOf(await writeDown("amended", when.moment(), { target: line.id, reason }, t("pages.withdraw.told", { bed, what: line.text }))));
    setBusy(false);
  };
  const done = ending !== null && ending.state !== "refused";
  return (
    <form class="form" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <FormHead title={t("pages.withdraw.title")} garden={garden} intro={t("pages.withdraw.intro")} />
      <div class="sum"><p><time dateTime={line.at}>{dayAndTime(line.at)}</time></p><p>{line.text}{line.by !== "" && ` · ${line.by_name}`}</p></div>
      <Field label={t("pages.withdraw.reason")} hint={t("pages.withdraw.reason_hint")}>
        {(id, hintId) => <textarea id={id} aria-describedby={hintId} rows={2} value={reason} required onInput={(event) => setReason(event.currentTarget.value)} />}
      </Field>
      <WhenAndWho civil={when.civil} set={when.set} />
      <EndingNote ending={ending} bed={bed} />
      <button class="button button-main" disabled={busy || done || reason.trim() === ""}>{busy ? t("pages.common.saving") : t("pages.withdraw.submit")}</button>
    </form>
  );
}

export function WithdrawPage({ garden }: { garden: GardenView }) {
  const bed = wanted("bed");
  const id = wanted("id");
  const page = useAnswer<BedPage>(`/api/beds/${encodeURIComponent(bed)}`);
  if (page === null) return <Loading />;
  if (!page.ok) return <Failure error={page.error} />;
  const line = page.value.history.find((one) => one.id === id);
  if (line?.may_withdraw === true) return <OneLine line={line} bed={bed} garden={garden} />;
  return (
    <div class="form">
      <FormHead title={t("pages.withdraw.title")} garden={garden} />
      <p>{t("pages.withdraw.cannot")}</p>
      <p><Link to={`/beds/${encodeURIComponent(bed)}`}>{t("pages.common.to_bed", { bed })}</Link></p>
    </div>
  );
}
