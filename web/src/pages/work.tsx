// Work without a product: what hands, water and cloth did.
import { useState } from "preact/hooks";
import { writeDown } from "../events";
import { BedChoice, Confirm, type Ending, EndingNote, endingOf, FormHead, Pick, TextField, useWhen, wanted, WhenAndWho } from "../form_parts";
import { mayDo } from "../may";
import { t } from "../state";
import type { BedPage, GardenView } from "../types";
import { useAnswer } from "../use";

const works = ["hand_pick", "crush_eggs", "water", "cover", "uncover", "pull", "release_friends", "clean_up"] as const;
type Work = (typeof works)[number];

// The work a line of the brief asks for, if it is work: 'done' leads to this page with it.
export function workOf(code: string): Work | null {
  const kind = code.replace(/^do\./, "").replace(/_untimed$/, "").replace("-", "_");
  return kind === "hand_pick" || kind === "crush_eggs" || kind === "water" ? kind : null;
}

export function workAddress(bed: string, work: Work): string {
  return `/write/work?bed=${encodeURIComponent(bed)}&work=${work}`;
}

export function WorkPage({ garden }: { garden: GardenView }) {
  const [bed, setBed] = useState(wanted("bed"));
  const [work, setWork] = useState<Work | "">(works.find((one) => one === wanted("work")) ?? "");
  const [detail, setDetail] = useState("");
  const [sure, setSure] = useState(false);
  const [busy, setBusy] = useState(false);
  const [ending, setEnding] = useState<Ending | null>(null);
  const when = useWhen(garden);
  const pulling = work === "pull";
  const page = useAnswer<BedPage>(pulling && bed !== "" ? `/api/beds/${encodeURIComponent(bed)}` : null);
  const atRisk = page?.ok === true ? (page.value.brief?.do.filter((one) => one.code.startsWith("do.old_crop")) ?? []) : [];
  const standing = garden.beds.find((one) => one.bed === bed)?.plantings ?? [];

  const change = <T,>(set: (value: T) => void) => (value: T) => {
    setEnding(null);
    setSure(false);
    set(value);
  };
  const save = async () => {
    if (work === "") return;
    setBusy(true);
    setEnding(null);
    setEnding(endingOf(await writeDown("work_done", when.moment(), { work, bed, detail }, t("pages.works.told", { bed, work: t(`pages.work.${work}`) }))));
    setBusy(false);
  };
  const done = ending !== null && ending.state !== "refused";

  return (
    <form class="form" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <FormHead title={t("pages.works.title")} garden={garden} />
      <BedChoice garden={garden} value={bed} change={change(setBed)} />
      <Pick<Work> label={t("pages.works.which")} value={work} change={change(setWork)} options={works.filter((one) => one !== "pull" || mayDo("lay_out")).map((one) => ({ value: one, text: t(`pages.works.${one}`) }))} />
      {pulling && bed !== "" && (
        <section class="consequence" aria-labelledby="pull-title">
          <h2 id="pull-title">{t("pages.works.pull_title")}</h2>
          {atRisk.map((one) => <p class="at-risk">{one.text}</p>)}
          <p>{standing.length === 0 ? t("pages.works.pull_empty") : t("pages.works.pull_ends", { crops: standing.map((one) => one.name).join(", ") })}</p>
          <Confirm label={t("pages.works.pull_confirm")} value={sure} change={setSure} />
        </section>
      )}
      <TextField label={t("pages.works.detail")} hint={t("pages.common.optional")} value={detail} change={setDetail} />
      <WhenAndWho civil={when.civil} set={when.set} />
      <EndingNote ending={ending} bed={bed} />
      <button class="button button-main" disabled={busy || done || bed === "" || work === "" || (pulling && (!sure || page === null))}>{busy ? t("pages.common.saving") : t("pages.common.save")}</button>
    </form>
  );
}
