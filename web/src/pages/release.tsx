// Lifts the lock of a spray outside its label: the crop was destroyed, or an authority answered in writing. Nothing else lifts it.
import { useState } from "preact/hooks";
import { writeDown } from "../events";
import { BedChoice, Confirm, type Ending, EndingNote, endingOf, Field, FormHead, Pick, useWhen, wanted, WhenAndWho } from "../form_parts";
import { t } from "../state";
import type { GardenView } from "../types";

export function ReleasePage({ garden }: { garden: GardenView }) {
  const [bed, setBed] = useState(wanted("bed"));
  const [basis, setBasis] = useState<"destroyed" | "authority" | "">("");
  const [detail, setDetail] = useState("");
  const [sure, setSure] = useState(false);
  const [busy, setBusy] = useState(false);
  const [ending, setEnding] = useState<Ending | null>(null);
  const when = useWhen(garden);

  const save = async () => {
    setBusy(true);
    setEnding(null);
    setEnding(endingOf(await writeDown("bed_released", when.moment(), { basis, bed, detail }, t("pages.release.told", { bed }))));
    setBusy(false);
  };

  return (
    <form class="form form-grave" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <FormHead title={t("pages.release.title")} garden={garden} intro={t("pages.release.intro")} />
      <BedChoice garden={garden} value={bed} change={setBed} />
      <Pick label={t("pages.release.basis")} value={basis} change={setBasis}
        options={[{ value: "destroyed", text: t("pages.release.destroyed") }, { value: "authority", text: t("pages.release.authority") }]} />
      {basis !== "" && (
        <Field label={t(`pages.release.detail_${basis}`)}>
          {(id) => <textarea id={id} rows={3} value={detail} required onInput={(event) => setDetail(event.currentTarget.value)} />}
        </Field>
      )}
      <WhenAndWho civil={when.civil} set={when.set} />
      <Confirm label={t("pages.release.confirm")} value={sure} change={setSure} />
      <EndingNote ending={ending} bed={bed} />
      <button class="button button-main" disabled={busy || !sure || bed === "" || basis === "" || detail === ""}>{busy ? t("pages.common.saving") : t("pages.release.submit")}</button>
    </form>
  );
}
