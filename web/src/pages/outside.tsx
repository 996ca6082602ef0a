// A spray that was already made although its card refuses it, doesn't say, or there is none. Better written down than hidden: the bed is locked.
import { useState } from "preact/hooks";
import { writeDown } from "../events";
import { BedChoice, Confirm, type Ending, EndingNote, endingOf, Field, FormHead, TextField, useWhen, wanted, WhenAndWho } from "../form_parts";
import { Cautions } from "../parts";
import { t } from "../state";
import type { GardenView } from "../types";

export function OutsidePage({ garden }: { garden: GardenView }) {
  const [bed, setBed] = useState(wanted("bed"));
  const [product, setProduct] = useState(wanted("product"));
  const [rate, setRate] = useState("");
  const [detail, setDetail] = useState("");
  const [sure, setSure] = useState(false);
  const [busy, setBusy] = useState(false);
  const [ending, setEnding] = useState<Ending | null>(null);
  const when = useWhen(garden, 1);
  const card = garden.cards.find((one) => one.product === product);
  const bedWords = bed === "" ? t("pages.outside.any_bed") : t("pages.common.bed", { bed }).toLowerCase();

  const save = async () => {
    setBusy(true);
    setEnding(null);
    const fields = { state: "made", bed, product, card: card?.digest, rate, outside_label: true, detail, plan: wanted("plan") };
    setEnding(endingOf(await writeDown("application", when.moment(), fields, t("pages.outside.told", { bed, product }))));
    setBusy(false);
  };

  return (
    <form class="form form-grave" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <FormHead title={t("pages.outside.title")} garden={garden} intro={t("pages.outside.intro")} />
      <section class="consequence" aria-labelledby="consequence-title">
        <h2 id="consequence-title">{t("pages.outside.consequence_title")}</h2>
        <ol>
          <li>{t("pages.outside.consequence_1", { bed: bedWords })}</li>
          <li>{t("pages.outside.consequence_2")}</li>
          <li>{t("pages.outside.consequence_3")}</li>
          <li>{t("pages.outside.consequence_4")}</li>
        </ol>
      </section>
      <BedChoice garden={garden} value={bed} change={setBed} />
      <TextField label={t("pages.outside.product")} value={product} change={setProduct} required />
      <TextField label={t("pages.outside.rate")} hint={t("pages.common.optional")} value={rate} change={setRate} />
      <Field label={t("pages.outside.what_happened")}>
        {(id) => <textarea id={id} rows={3} value={detail} required onInput={(event) => setDetail(event.currentTarget.value)} />}
      </Field>
      <WhenAndWho civil={when.civil} set={when.set} label={t("pages.spray.end")} />
      <Confirm label={t("pages.outside.confirm")} value={sure} change={setSure} />
      <EndingNote ending={ending} bed={bed} />
      <button class="button button-main button-grave" disabled={busy || !sure || bed === "" || product === "" || detail === ""}>{busy ? t("pages.common.saving") : t("pages.outside.submit")}</button>
      <Cautions cautions={["label_is_law", "no_early_harvest", "stay_out", "poisoning"].map((key) => t(`caution.${key}`))} />
    </form>
  );
}
