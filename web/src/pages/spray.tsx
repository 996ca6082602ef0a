// A spray: the card is asked first. What it refuses, or doesn't say, can't be planned or written here by anyone; one that was already made goes
// to a page of its own (outside.tsx).
import { useState } from "preact/hooks";
import { ask } from "../api";
import { writeDown } from "../events";
import { BedChoice, Choice, Confirm, type Ending, EndingNote, endingOf, FormHead, TextField, useWhen, wanted, WhenAndWho } from "../form_parts";
import { HourStrip } from "../hour_strip";
import { maySee } from "../may";
import { Cautions, Failure, Link } from "../parts";
import { showsUs, t } from "../state";
import { ToldFields, toldOf, useTold } from "../told_fields";
import type { ApiError, BedPage, GardenView, MayTreat } from "../types";
import { useAnswer } from "../use";
import { CardRates, mayGoAhead, mustConfirm, Verdicts, worst } from "../verdict";
import { OpenPlans } from "./plan";

interface Asked {
  key: string; // what was asked, to notice a change
  answer: MayTreat;
}

export function SprayPage({ garden }: { garden: GardenView }) {
  const [bed, setBed] = useState(wanted("bed"));
  const [product, setProduct] = useState(wanted("product"));
  const [rate, setRate] = useState("");
  const [pest, setPest] = useState(wanted("pest"));
  const [asked, setAsked] = useState<Asked | null>(null);
  const [failure, setFailure] = useState<ApiError | null | undefined>(undefined);
  const told = useTold();
  const us = showsUs(garden.units);
  const [confirmed, setConfirmed] = useState(false);
  const [busy, setBusy] = useState(false);
  const [ending, setEnding] = useState<Ending | null>(null);
  const when = useWhen(garden);
  const page = useAnswer<BedPage>(bed === "" ? null : `/api/beds/${encodeURIComponent(bed)}`);
  const card = garden.cards.find((one) => one.product === product);
  const key = JSON.stringify([bed, product, rate, pest, when.civil, told.state]);
  const answer = asked !== null && asked.key === key ? asked.answer : null;
  const verdict = answer === null ? null : worst(answer);

  const askCard = async () => {
    setBusy(true);
    setEnding(null);
    setConfirmed(false);
    const said = toldOf(told.state, us);
    const got = await ask<MayTreat>("/api/may-treat", { bed, product, rate, pest, on: when.instant(), ...(said === undefined ? {} : { told: said }) });
    setFailure(got.ok ? undefined : got.error);
    setAsked(got.ok ? { key, answer: got.value } : null);
    setBusy(false);
  };
  const write = async (state: "planned" | "made") => {
    if (answer === null) return;
    setBusy(true);
    setEnding(null);
    const line = t(state === "planned" ? "pages.spray.told_plan" : "pages.spray.told_made", { bed, product });
    const sent = await writeDown("application", when.moment(), { state, bed, product, card: answer.card, rate, pest, told: toldOf(told.state, us) }, line);
    setEnding(endingOf(sent));
    if (sent.kind !== "refused") setAsked(null);
    setBusy(false);
  };

  // The card can't be asked here: what was made is written down all the same, and judged when it arrives.
  const writeUnjudged = async () => {
    setBusy(true);
    setEnding(null);
    const fields = { state: "made", bed, product, card: card?.digest, rate, pest, not_judged: true, told: toldOf(told.state, us) };
    const sent = await writeDown("application", when.moment(), fields, t("pages.spray.told_unjudged", { bed, product }));
    setEnding(endingOf(sent));
    if (sent.kind !== "refused" && sent.kind !== "unkept") setFailure(undefined);
    setConfirmed(false);
    setBusy(false);
  };

  if (garden.cards.length === 0) {
    return (
      <div class="form">
        <FormHead title={t("pages.spray.title")} garden={garden} />
        <p class="warning">{t("pages.spray.no_cards")}</p>
        <p><Link to="/cards/new" class="button button-main">{t("pages.card.new")}</Link></p>
        <p><Link to="/write/outside-label">{t("pages.write.outside")}</Link></p>
      </div>
    );
  }
  return (
    <form class="form" onSubmit={(event) => { event.preventDefault(); void askCard(); }}>
      <FormHead title={t("pages.spray.title")} garden={garden} intro={t("pages.spray.intro")} />
      <BedChoice garden={garden} value={bed} change={setBed} />
      {page?.ok === true && <OpenPlans plans={page.value.plans} bed={bed} />}
      <Choice label={t("pages.spray.product")} value={product} change={setProduct} options={garden.cards.map((one) => ({ value: one.product, text: one.product }))} />
      {card !== undefined && <CardRates card={card} />}
      <TextField label={t("pages.spray.rate")} hint={t("pages.spray.rate_hint")} value={rate} change={setRate} />
      <Choice label={t("pages.spray.pest")} hint={t("pages.common.optional")} value={pest} change={setPest} options={garden.pests.map((one) => ({ value: one.id, text: one.name }))} />
      <WhenAndWho civil={when.civil} set={when.set} label={t("pages.spray.end")} />
      <ToldFields {...told} us={us} />
      <button class="button button-main" disabled={busy || bed === "" || product === ""}>{busy ? t("pages.spray.asking") : t("pages.spray.ask")}</button>
      {failure !== undefined && failure !== null && <Failure error={failure} />}
      {failure === null && (
        <div class="answer-card no-way">
          <p><strong>{t("pages.spray.no_signal")}</strong></p>
          <p>{t("pages.spray.unjudged")}</p>
          <Confirm label={t("pages.spray.unjudged_confirm")} value={confirmed} change={setConfirmed} />
          <button type="button" class="button button-grave" disabled={busy || !confirmed} onClick={() => void writeUnjudged()}>{t("pages.spray.unjudged_submit")}</button>
        </div>
      )}
      {asked !== null && answer === null && <p class="warning" role="status">{t("pages.spray.changed")}</p>}
      {answer !== null && (
        <div class="answer-card" aria-live="polite">
          {answer.plantings.length === 0 ? <p class="warning">{t("pages.spray.empty_bed")}</p> : <Verdicts answer={answer} />}
          {(verdict === "refused" || verdict === "unknown") && (
            <div class="no-way">
              <p><strong>{t("pages.spray.refused_end")}</strong></p>
              {verdict === "unknown" && <p>{t("pages.spray.unknown_end")}</p>}
              {answer.plantings.some((one) => one.reasons.some((reason) => reason.state === "refused" && (reason.rule === "sale" || reason.rule === "setting"))) && maySee("/write/agency") && (
                <p><Link to={`/write/agency?product=${encodeURIComponent(product)}`}>{t("pages.agency.link")}</Link></p>
              )}
              <p class="already">
                {t("pages.spray.already")}: <Link to={`/write/outside-label?bed=${encodeURIComponent(bed)}&product=${encodeURIComponent(product)}`}>{t("pages.spray.already_link")}</Link>
              </p>
            </div>
          )}
          {mayGoAhead(verdict) && (
            <div class="go">
              <HourStrip bed={bed} product={product} told={told.state.flowers === "" ? "" : told.state.flowers === "none" ? "no" : "yes"} />
              <Cautions cautions={answer.cautions} />
              {mustConfirm(answer) && <Confirm label={t("pages.spray.statements_confirm")} value={confirmed} change={setConfirmed} />}
              <p class="hint">{t("pages.spray.plan_explain")}</p>
              <div class="buttons">
                <button type="button" class="button" disabled={busy || (!confirmed && mustConfirm(answer))} onClick={() => void write("planned")}>{t("pages.spray.plan")}</button>
                <button type="button" class="button" disabled={busy || (!confirmed && mustConfirm(answer))} onClick={() => void write("made")}>{t("pages.spray.made")}</button>
              </div>
            </div>
          )}
        </div>
      )}
      <EndingNote ending={ending} bed={bed} />
    </form>
  );
}
