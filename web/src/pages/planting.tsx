// What was sown or set out, and where.
import { useState } from "preact/hooks";
import { writeDown } from "../events";
import { BedChoice, Choice, type Ending, EndingNote, endingOf, FormHead, TextField, useWhen, wanted, WhenAndWho } from "../form_parts";
import { t } from "../state";
import type { GardenView } from "../types";

// `kale-7`, then `kale-7-2` when that name is taken: a suggestion, which the person may change.
function suggestion(garden: GardenView, bed: string, crop: string): string {
  const name = garden.crops.find((one) => one.eppo === crop)?.name ?? "";
  if (bed === "" || name === "") return "";
  const plain = name.normalize("NFD").replace(/[^A-Za-z0-9 ]/g, "").toLowerCase().trim().replace(/ +/g, "-");
  const year = garden.at.slice(0, 4);
  const taken = new Set(garden.beds.flatMap((one) => one.plantings.map((planting) => planting.planting)));
  const base = `${plain}-${bed}-${year}`;
  for (let n = 1; ; n++) {
    const candidate = n === 1 ? base : `${base}-${n}`;
    if (!taken.has(candidate)) return candidate;
  }
}

export function PlantingPage({ garden }: { garden: GardenView }) {
  const [bed, setBed] = useState(wanted("bed"));
  const [crop, setCrop] = useState("");
  const [named, setNamed] = useState<string | null>(null);
  const [plants, setPlants] = useState("");
  const [setOut, setSetOut] = useState(garden.at.slice(0, 10));
  const [first, setFirst] = useState("");
  const [last, setLast] = useState("");
  const [ending, setEnding] = useState<Ending | null>(null);
  const [busy, setBusy] = useState(false);
  const when = useWhen(garden);
  const name = named ?? suggestion(garden, bed, crop);
  const cropName = garden.crops.find((one) => one.eppo === crop)?.name ?? crop;

  const save = async () => {
    setBusy(true);
    setEnding(null);
    const fields = {
      planting: name, bed, crop, plants: plants === "" ? undefined : Math.round(Number(plants)), set_out: setOut, first_harvest: first, last_harvest: last,
    };
    setEnding(endingOf(await writeDown("planting_sown", when.moment(), fields, t("pages.planting.told", { bed, crop: cropName }))));
    setBusy(false);
  };

  const may = t("pages.common.optional");
  return (
    <form class="form" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <FormHead title={t("pages.planting.title")} garden={garden} />
      <BedChoice garden={garden} value={bed} change={setBed} />
      <Choice label={t("pages.planting.crop")} value={crop} change={setCrop} options={garden.crops.map((one) => ({ value: one.eppo, text: one.name }))} />
      <TextField label={t("pages.planting.name")} hint={t("pages.planting.name_hint")} value={name} change={setNamed} required />
      <TextField label={t("pages.planting.plants")} hint={may} type="number" value={plants} change={setPlants} />
      <TextField label={t("pages.planting.set_out")} type="date" value={setOut} change={setSetOut} />
      <TextField label={t("pages.planting.first_harvest")} hint={may} type="date" value={first} change={setFirst} />
      <TextField label={t("pages.planting.last_harvest")} hint={may} type="date" value={last} change={setLast} />
      <WhenAndWho civil={when.civil} set={when.set} />
      <EndingNote ending={ending} bed={bed} />
      <button class="button button-main" disabled={busy || bed === "" || crop === "" || name === ""}>{busy ? t("pages.common.saving") : t("pages.common.save")}</button>
    </form>
  );
}
