// A count at the bed, with one thumb: who, which stages, plants looked at, and one large button per find.
import { useState } from "preact/hooks";
import { writeDown } from "../events";
import { BedChoice, type Ending, EndingNote, endingOf, FormHead, Pick, useWhen, wanted, WhenAndWho, worstEnding } from "../form_parts";
import { PestGlyph } from "../glyphs";
import { t } from "../state";
import type { GardenView } from "../types";

// The countable word a stage of the walk means: its own, or that of its group.
export function countableFor(stage: string, words: string[]): string | undefined {
  if (stage === "") return undefined;
  if (words.includes(stage)) return stage;
  if (stage.startsWith("egg")) return words.find((word) => word.startsWith("egg"));
  const instar = /^(?:larva|nymph)-(\d)$/.exec(stage);
  if (instar !== null) {
    const size = Number(instar[1]) <= 3 ? "small" : "large";
    return words.find((word) => word === `${size}-${stage.slice(0, 5)}`) ?? words.find((word) => word === stage.slice(0, 5));
  }
  return words.find((word) => stage.startsWith(word)) ?? words.find((word) => word.endsWith(stage));
}

function Stepper({ label, value, change, least }: { label: string; value: number; change: (value: number) => void; least: number }) {
  return (
    <div class="stepper" role="group" aria-label={label}>
      <span class="stepper-label">{label}</span>
      <button type="button" class="step step-less" onClick={() => change(Math.max(least, value - 1))}>−1<span class="sr-only"> {t("pages.count.fewer_of", { what: label })}</span></button>
      <output class="stepper-value">{value}</output>
      <button type="button" class="step step-more" onClick={() => change(value + 1)}>+1<span class="sr-only"> {t("pages.count.more_of", { what: label })}</span></button>
    </div>
  );
}

export function CountPage({ garden, head = true }: { garden: GardenView; head?: boolean }) {
  const [bed, setBed] = useState(wanted("bed"));
  const crops = garden.beds.find((one) => one.bed === bed)?.plantings.map((planting) => planting.crop) ?? [];
  const likely = garden.pests.filter((pest) => pest.hosts.some((crop) => crops.includes(crop)));
  const offered = likely.length > 0 ? likely : garden.pests;
  const [pestId, setPest] = useState(wanted("pest"));
  const pest = offered.find((one) => one.id === pestId) ?? (offered.length === 1 ? offered[0] : undefined);
  const firstStage = pest === undefined ? undefined : countableFor(wanted("stage"), pest.countable.map((one) => one.key));
  const [plants, setPlants] = useState(Number(wanted("plants")) || 5);
  const [found, setFound] = useState<Record<string, number>>(firstStage === undefined ? {} : { [firstStage]: 0 });
  const [busy, setBusy] = useState(false);
  const [ending, setEnding] = useState<Ending | null>(null);
  const when = useWhen(garden);

  const choosePest = (id: string) => {
    setPest(id);
    setFound({});
  };
  const toggle = (stage: string) => {
    setEnding(null);
    const next = { ...found };
    if (stage in next) delete next[stage];
    else next[stage] = 0;
    setFound(next);
  };
  const looked = pest?.countable.filter((stage) => stage.key in found) ?? [];
  const save = async () => {
    if (pest === undefined) return;
    setBusy(true);
    setEnding(null);
    const endings: Ending[] = [];
    for (const stage of looked) {
      const count = found[stage.key] ?? 0;
      const told = t("pages.count.told", { bed, pest: pest.name, stage: stage.name, count, plants });
      endings.push(endingOf(await writeDown("count_taken", when.moment(), { bed, pest: pest.id, stage: stage.key, plants, count }, told)));
    }
    const worst = worstEnding(endings);
    setEnding(worst);
    if (worst.state !== "refused") setFound({});
    setBusy(false);
  };

  return (
    <form class="form" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      {head && <FormHead title={t("pages.count.title")} garden={garden} />}
      <BedChoice garden={garden} value={bed} change={(value) => { setBed(value); setFound({}); setEnding(null); }} />
      <Pick label={t("pages.count.pest")} value={pest?.id ?? ""} change={choosePest}
        options={offered.map((one) => ({ value: one.id, text: one.name, glyph: <PestGlyph pest={one.id} /> }))} />
      {pest !== undefined && (
        <>
          <fieldset class="pick">
            <legend>{t("pages.count.stage")}</legend>
            <p class="hint">{t("pages.count.hint_stage")}{pest.countable.some((stage) => stage.key === "egg-mass") && ` ${t("pages.count.masses_hint")}`}</p>
            <div class="pick-row">
              {pest.countable.map((stage) => (
                <button type="button" class="pick-one" aria-pressed={stage.key in found} onClick={() => toggle(stage.key)}>
                  <PestGlyph pest={pest.id} stage={stage.key} />
                  <span>{stage.name}</span>
                </button>
              ))}
            </div>
          </fieldset>
          <Stepper label={t("pages.count.plants")} value={plants} change={setPlants} least={1} />
          {looked.map((stage) => (
            <Stepper label={t("pages.count.found_stage", { stage: stage.name })} value={found[stage.key] ?? 0} least={0}
              change={(value) => setFound({ ...found, [stage.key]: value })} />
          ))}
          {looked.length > 0 && (
            <div class="sum">
              <p class="hint">{t("pages.count.zero_hint")}</p>
              <p>{t("pages.count.sum")}</p>
              <ul>{looked.map((stage) => <li>{t("pages.count.line", { stage: stage.name, count: found[stage.key] ?? 0, plants })}</li>)}</ul>
            </div>
          )}
        </>
      )}
      <WhenAndWho civil={when.civil} set={when.set} />
      <EndingNote ending={ending} bed={bed} />
      <button class="button button-main" disabled={busy || bed === "" || looked.length === 0}>{busy ? t("pages.common.saving") : t("pages.common.save")}</button>
    </form>
  );
}
