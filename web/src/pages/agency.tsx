// What the agency that registers products answered about a home-garden product.
import { useState } from "preact/hooks";
import { writeDown } from "../events";
import { Choice, type Ending, EndingNote, endingOf, FormHead, Pick, TextField, useWhen, wanted, WhenAndWho } from "../form_parts";
import { t } from "../state";
import type { GardenView } from "../types";

export function AgencyPage({ garden }: { garden: GardenView }) {
  const [product, setProduct] = useState(wanted("product"));
  const [answer, setAnswer] = useState<"allows" | "refuses" | "">("");
  const [on, setOn] = useState("");
  const [words, setWords] = useState("");
  const [ending, setEnding] = useState<Ending | null>(null);
  const [busy, setBusy] = useState(false);
  const when = useWhen(garden);
  const save = async () => {
    setBusy(true);
    setEnding(null);
    const fields = { product, allows: answer === "allows", on, words };
    setEnding(endingOf(await writeDown("agency_answered", when.moment(), fields, t("pages.agency.told", { product }))));
    setBusy(false);
  };
  return (
    <form class="form" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <FormHead title={t("pages.agency.title")} garden={garden} intro={t("pages.agency.intro")} />
      <Choice label={t("pages.spray.product")} value={product} change={setProduct} options={garden.cards.map((one) => ({ value: one.product, text: one.product }))} />
      <Pick label={t("pages.agency.answer")} value={answer} change={setAnswer}
        options={[{ value: "allows", text: t("pages.agency.allows") }, { value: "refuses", text: t("pages.agency.refuses") }]} />
      <TextField label={t("pages.agency.on")} type="date" value={on} change={setOn} required />
      <TextField label={t("pages.agency.words")} value={words} change={setWords} required />
      <WhenAndWho civil={when.civil} set={when.set} />
      <EndingNote ending={ending} bed="" />
      <button class="button button-main" disabled={busy || product === "" || answer === ""}>{busy ? t("pages.common.saving") : t("pages.common.save")}</button>
    </form>
  );
}
