// What was picked, or the day it will be picked.
import { useState } from "preact/hooks";
import { writeDown } from "../events";
import { BedChoice, Choice, type Ending, EndingNote, endingOf, FormHead, Pick, TextField, useWhen, wanted, WhenAndWho } from "../form_parts";
import { refusalCode } from "../queue";
import { day, dayAndTime, showsUs, t } from "../state";
import { isOld, useAnswer } from "../use";
import type { Board, GardenView } from "../types";
import { closedHere } from "./board";

const gramsPerPound = 453.59237;

export function HarvestPage({ garden }: { garden: GardenView }) {
  const [bed, setBed] = useState(wanted("bed"));
  const [which, setWhich] = useState<"taken" | "planned">("taken");
  const [plantingName, setPlanting] = useState("");
  const [amount, setAmount] = useState("");
  const [detail, setDetail] = useState("");
  const [planned, setPlanned] = useState(garden.at.slice(0, 10));
  const [ending, setEnding] = useState<Ending | null>(null);
  const [refused, setRefused] = useState(false);
  const [early, setEarly] = useState<"destroyed" | "held" | "">("");
  const [busy, setBusy] = useState(false);
  const when = useWhen(garden);
  const board = useAnswer<Board>("/api/board");

  const plantings = garden.beds.find((one) => one.bed === bed)?.plantings ?? [];
  const planting = plantings.find((one) => one.planting === plantingName) ?? (plantings.length === 1 ? plantings[0] : undefined);
  const us = showsUs(garden.units);
  const row = board?.ok === true ? board.value.board.map(closedHere).find((one) => one.bed === bed) : undefined;

  const save = async () => {
    if (planting === undefined) return;
    setBusy(true);
    setEnding(null);
    const crop = planting.name;
    const grams = amount === "" ? undefined : Number(amount) * (us ? gramsPerPound : 1000);
    const sent = which === "taken"
      ? await writeDown("harvest_taken", when.moment(), { bed, planting: planting.planting, amount_g: grams, detail, early }, t("pages.harvest.told_taken", { bed, crop }))
      : await writeDown("harvest_planned", when.moment(), { planting: planting.planting, day: planned }, t("pages.harvest.told_planned", { bed, crop, day: day(planned) }));
    setEnding(endingOf(sent));
    setRefused(sent.kind === "refused" && refusalCode(sent.answer).startsWith("harvest."));
    if (sent.kind !== "refused") setEarly("");
    setBusy(false);
  };

  return (
    <form class="form" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <FormHead title={t("pages.harvest.title")} garden={garden} />
      <BedChoice garden={garden} value={bed} change={(value) => { setBed(value); setPlanting(""); setRefused(false); setEarly(""); }} />
      {board?.ok === true && row !== undefined && isOld(board.at) && <p class="warning" role="alert">{t("pages.sync.old")}. {t("pages.sync.old_why", { when: dayAndTime(board.at) })}</p>}
      {row !== undefined && row.pick !== "yes" && <p class="warning" role="alert">{t("pages.harvest.locked", { bed, text: row.text })}</p>}
      {bed !== "" && plantings.length === 0 && <p class="warning">{t("pages.harvest.none")}</p>}
      {plantings.length > 1 && (
        <Choice label={t("pages.harvest.planting")} value={plantingName} change={setPlanting} options={plantings.map((one) => ({ value: one.planting, text: `${one.name} (${one.planting})` }))} />
      )}
      <Pick label={t("pages.harvest.which")} value={which} change={setWhich}
        options={[{ value: "taken", text: t("pages.harvest.taken") }, { value: "planned", text: t("pages.harvest.planned") }]} />
      {which === "taken" ? (
        <>
          <TextField label={`${t("pages.harvest.amount")} (${t(us ? "pages.harvest.unit_lb" : "pages.harvest.unit_kg")})`} hint={t("pages.common.optional")} type="number" value={amount} change={setAmount} />
          <TextField label={t("pages.harvest.detail")} hint={t("pages.common.optional")} value={detail} change={setDetail} />
        </>
      ) : (
        <TextField label={t("pages.harvest.day")} type="date" value={planned} change={setPlanned} required />
      )}
      <WhenAndWho civil={when.civil} set={when.set} />
      <EndingNote ending={ending} bed={bed} />
      {(refused || early !== "" || (row !== undefined && row.pick !== "yes")) && which === "taken" && (
        <div class="answer-card no-way">
          <p>{t("pages.harvest_early.explain")}</p>
          <Pick label={t("pages.harvest_early.title")} value={early} change={setEarly}
            options={[{ value: "destroyed", text: t("pages.harvest_early.destroyed") }, { value: "held", text: t("pages.harvest_early.held") }]} />
        </div>
      )}
      <button class="button button-main" disabled={busy || planting === undefined}>{busy ? t("pages.common.saving") : t("pages.common.save")}</button>
    </form>
  );
}
