// What only a person there can say of a spray, before the card is asked; written down with it.
import { useState } from "preact/hooks";
import { Pick, TextField } from "./form_parts";
import { metresPerFoot } from "./format";
import { yesNo } from "./hour_strip";
import type { YesNo } from "./spray_hours_types";
import { t } from "./state";
import type { Told } from "./types";

const flowers = ["none", "open", "open-cucurbit"] as const;
const produce = ["kept", "given", "sold"] as const;
const ofHandler = ["adult", "trained", "licensed"] as const;
type Flowers = (typeof flowers)[number];
type Produce = (typeof produce)[number];
type Question = "family" | (typeof ofHandler)[number];

export interface ToldState {
  flowers: Flowers | "";
  person: string;
  answers: Partial<Record<Question, YesNo>>;
  wearing: string;
  produce: Produce | "";
}
export const nothingTold: ToldState = { flowers: "", person: "", answers: {}, wearing: "", produce: "" };

const yes = (answer: YesNo | undefined) => (answer === undefined ? undefined : answer === "yes");

/** As the server reads it; absent when nothing was told. */
export function toldOf(state: ToldState, us: boolean): Told | undefined {
  const told: Told = {};
  if (state.flowers !== "") told.flowers = state.flowers;
  const near = Number(state.person.replace(",", "."));
  if (state.person.trim() !== "" && !Number.isNaN(near)) told.nearest_person_m = us ? near * metresPerFoot : near;
  if (state.produce !== "") told.produce = state.produce;
  const handler: NonNullable<Told["handler"]> = {};
  if (yes(state.answers.family) === true) handler.family = true;
  for (const question of ofHandler) {
    const said = yes(state.answers[question]);
    if (said !== undefined) handler[question] = said;
  }
  const wearing = state.wearing.split(",").map((thing) => thing.trim()).filter((thing) => thing !== "");
  if (wearing.length > 0) handler.protection = wearing;
  // 'Not of the family' alone says nothing that worker protection doesn't assume.
  if (Object.keys(handler).length > 0) told.handler = handler;
  return Object.keys(told).length > 0 ? told : undefined;
}

export function useTold(): { state: ToldState; change: (part: Partial<ToldState>) => void } {
  const [state, set] = useState(nothingTold);
  return { state, change: (part) => set((was) => ({ ...was, ...part })) };
}

export function ToldFields({ state, change, us }: { state: ToldState; change: (part: Partial<ToldState>) => void; us: boolean }) {
  const answered = (question: Question) => (value: YesNo) => change({ answers: { ...state.answers, [question]: value } });
  return (
    <>
      <Pick<Flowers> label={t("pages.spray.bloom")} value={state.flowers} change={(value) => change({ flowers: value })}
        options={flowers.map((one) => ({ value: one, text: t(`pages.spray.bloom_${one}`) }))} />
      <TextField label={t(us ? "pages.spray.person_ft" : "pages.spray.person")} hint={t("pages.spray.person_hint")} type="number" value={state.person} change={(person) => change({ person })} />
      <details class="told-more">
        <summary>{t("pages.told.title")}</summary>
        <Pick label={t("pages.told.family")} value={state.answers.family ?? ""} options={yesNo()} change={answered("family")} />
        {state.answers.family !== "yes" && (
          <>
            <Pick label={t("pages.told.adult")} value={state.answers.adult ?? ""} options={yesNo()} change={answered("adult")} />
            <Pick label={t("pages.told.trained")} value={state.answers.trained ?? ""} options={yesNo()} change={answered("trained")} />
          </>
        )}
        <Pick label={t("pages.told.licensed")} value={state.answers.licensed ?? ""} options={yesNo()} change={answered("licensed")} />
        <TextField label={t("pages.told.wearing")} hint={t("pages.told.wearing_hint")} value={state.wearing} change={(wearing) => change({ wearing })} />
        <Pick<Produce> label={t("pages.told.produce")} value={state.produce} change={(value) => change({ produce: value })}
          options={produce.map((one) => ({ value: one, text: t(`pages.told.produce_${one}`) }))} />
      </details>
    </>
  );
}
