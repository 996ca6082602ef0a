// A planned spray: its card is asked again, and then it is carried out or called off. Either way the plan's own lock ends.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api";
import { type Fields, writeDown } from "../events";
import { Confirm, type Ending, EndingNote, endingOf, FormHead, TextField, useWhen, wanted, WhenAndWho } from "../form_parts";
import { mayDo } from "../may";
import { Cautions, Failure, Link, Loading } from "../parts";
import { StartCheck } from "../start_check";
import { PrintLink } from "./records";
import { dayAndTime, showsUs, t } from "../state";
import type { ApiError, BedPage, GardenView, MayTreat, Plan } from "../types";
import { useAnswer } from "../use";
import { CardRates, mayGoAhead, mustConfirm, Verdicts, worst } from "../verdict";

function planWords(plan: Plan): string {
  const what = plan.rate === "" ? plan.product : `${plan.product}, ${plan.rate}`;
  return plan.by === "" ? t("pages.plan.line", { what, when: dayAndTime(plan.at) }) : t("pages.plan.line_by", { what, when: dayAndTime(plan.at), by: plan.by_name });
}

export function OpenPlans({ plans, bed }: { plans: Plan[]; bed: string }) {
  if (plans.length === 0) return null;
  return (
    <section class="plans" aria-labelledby="plans-title">
      <h2 id="plans-title">{t("pages.plan.open_title")}</h2>
      <p>{t("pages.plan.open_explain")}</p>
      <ul>
        {plans.map((plan) => (
          <li>
            <p>{planWords(plan)}</p>
            {mayDo("treat") && <Link class="button" to={`/write/plan?bed=${encodeURIComponent(bed)}&plan=${plan.id}`}>{t("pages.plan.go_on")}<span class="sr-only">: {plan.product}</span></Link>}
            <p class="record-links">
              <PrintLink name="sign.pdf" asked={{ bed }}>{t("pages.records.plan_sign")}</PrintLink>
              {mayDo("treat") && <PrintLink name="worksheet.pdf" asked={{ beds: bed, product: plan.product, rate: plan.rate, by: plan.by }}>{t("pages.records.plan_worksheet")}</PrintLink>}
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

function OnePlan({ plan, bed, garden }: { plan: Plan; bed: string; garden: GardenView }) {
  const [rate, setRate] = useState(plan.rate);
  const [asked, setAsked] = useState<{ key: string; answer: MayTreat } | null>(null);
  const [failure, setFailure] = useState<ApiError | null | undefined>(undefined);
  const [confirmed, setConfirmed] = useState(false);
  const [busy, setBusy] = useState(false);
  const [ending, setEnding] = useState<Ending | null>(null);
  const [begun, setBegun] = useState(plan.begun_at);
  const when = useWhen(garden);
  const card = garden.cards.find((one) => one.product === plan.product);
  const key = JSON.stringify([rate, when.civil]);
  const answer = asked !== null && asked.key === key ? asked.answer : null;
  const verdict = answer === null ? null : worst(answer);

  const askCard = async () => {
    setBusy(true);
    setEnding(null);
    setConfirmed(false);
    // Flowers seen when it was planned are no look of now: the start check asks for them.
    const { flowers: _, ...told } = plan.told;
    const got = await ask<MayTreat>("/api/may-treat", { bed, product: plan.product, rate, pest: plan.pest, on: when.instant(), told });
    setFailure(got.ok ? undefined : got.error);
    setAsked(got.ok ? { key, answer: got.value } : null);
    setBusy(false);
  };
  useEffect(() => void askCard(), []);

  const over = ending !== null && ending.state !== "refused";

  const write = async (what: "made" | "cancelled" | "unjudged") => {
    setBusy(true);
    setEnding(null);
    const told = t(what === "made" ? "pages.spray.told_made" : what === "unjudged" ? "pages.spray.told_unjudged" : "pages.plan.told_off", { bed, product: plan.product });
    const made = { state: "made", bed, product: plan.product, rate, pest: plan.pest, plan: plan.id };
    const fields = what === "made" ? { ...made, card: answer?.card } : what === "unjudged" ? { ...made, card: card?.digest, not_judged: true }
      : { state: "cancelled", bed, product: plan.product, rate: plan.rate, plan: plan.id };
    setEnding(endingOf(await writeDown("application", when.moment(), fields, told)));
    setBusy(false);
  };

  const begin = async (look: Fields) => {
    setBusy(true);
    setEnding(null);
    const moment = when.moment();
    const sent = await writeDown("spray_begun", moment, { plan: plan.id, bed, product: plan.product, ...look }, t("pages.begin.told", { bed, product: plan.product }));
    const end = endingOf(sent);
    // Without a signal it waits on this phone, and the spray can still be finished here.
    if (end.state === "refused") setEnding(end);
    else setBegun(moment.happened_at);
    setBusy(false);
  };

  return (
    <form class="form" onSubmit={(event) => { event.preventDefault(); void askCard(); }}>
      <FormHead title={t("pages.plan.title", { bed })} garden={garden} intro={t("pages.plan.intro")} />
      <p class="sum">{planWords(plan)}</p>
      {card !== undefined && <CardRates card={card} />}
      <TextField label={t("pages.plan.rate")} hint={t("pages.spray.rate_hint")} value={rate} change={setRate} />
      <WhenAndWho civil={when.civil} set={when.set} label={t("pages.spray.end")} />
      {answer === null && <button class="button button-main" disabled={busy}>{busy ? t("pages.spray.asking") : t("pages.spray.ask")}</button>}
      {failure !== undefined && failure !== null && <Failure error={failure} />}
      {failure === null && !over && (
        <div class="answer-card no-way">
          <p><strong>{t("pages.spray.no_signal")}</strong></p>
          <p>{t("pages.spray.unjudged")}</p>
          <Confirm label={t("pages.spray.unjudged_confirm")} value={confirmed} change={setConfirmed} />
          <button type="button" class="button button-grave" disabled={busy || !confirmed} onClick={() => void write("unjudged")}>{t("pages.spray.unjudged_submit")}</button>
        </div>
      )}
      {asked !== null && answer === null && <p class="warning" role="status">{t("pages.spray.changed")}</p>}
      {answer !== null && (
        <div class="answer-card" aria-live="polite">
          {answer.plantings.length === 0 ? <p class="warning">{t("pages.spray.empty_bed")}</p> : <Verdicts answer={answer} />}
          {!mayGoAhead(verdict) && (
            <div class="no-way">
              <p><strong>{t(begun === null ? "pages.plan.no_longer" : "pages.begin.no_longer")}</strong></p>
              <p class="already">
                {t("pages.spray.already")}: <Link to={`/write/outside-label?bed=${encodeURIComponent(bed)}&product=${encodeURIComponent(plan.product)}&plan=${plan.id}`}>{t("pages.spray.already_link")}</Link>
              </p>
            </div>
          )}
          {mayGoAhead(verdict) && (
            <div class="go">
              {!over && begun === null && <StartCheck bed={bed} product={plan.product} plan={plan.id} us={showsUs(garden.units)} busy={busy} begin={(look) => void begin(look)} />}
              {begun !== null && <p class="sum begun" role="status">{t("pages.begin.since", { when: dayAndTime(begun) })}</p>}
              <Cautions cautions={answer.cautions} />
              {mustConfirm(answer) && <Confirm label={t("pages.spray.statements_confirm")} value={confirmed} change={setConfirmed} />}
              {begun === null && !over && <p class="hint">{t("pages.begin.not_begun")}</p>}
              <button type="button" class={begun === null ? "button" : "button button-main"} disabled={busy || over || (!confirmed && mustConfirm(answer))} onClick={() => void write("made")}>{t("pages.plan.made")}</button>
            </div>
          )}
        </div>
      )}
      {begun !== null && !over && plan.begun_id !== null && (
        <p class="call-off"><Link to={`/write/withdraw?id=${plan.begun_id}&bed=${encodeURIComponent(bed)}`}>{t("pages.begin.nothing_sprayed")}</Link></p>
      )}
      {begun === null && <p class="call-off"><button type="button" class="button" disabled={busy || over} onClick={() => void write("cancelled")}>{t("pages.plan.call_off")}</button></p>}
      <EndingNote ending={ending} bed={bed} />
    </form>
  );
}

export function PlanPage({ garden }: { garden: GardenView }) {
  const bed = wanted("bed");
  const id = wanted("plan");
  const page = useAnswer<BedPage>(`/api/beds/${encodeURIComponent(bed)}`);
  if (page === null) return <Loading />;
  if (!page.ok) return <Failure error={page.error} />;
  const plan = page.value.plans.find((one) => one.id === id);
  if (plan !== undefined) return <OnePlan plan={plan} bed={bed} garden={garden} />;
  return (
    <div class="form">
      <FormHead title={t("pages.plan.title", { bed })} garden={garden} />
      <p>{t("pages.plan.gone")}</p>
      <p><Link to={`/beds/${encodeURIComponent(bed)}`}>{t("pages.common.to_bed", { bed })}</Link></p>
    </div>
  );
}
